package plant

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"vouchmark/assess"
	"vouchmark/assess/site"
	"vouchmark/label/record"
)

// What somebody decided by name is in the ledger. So an entry of changes.toml that the ledger
// does not note may put labels in question, but does not release any; and an entry that the
// ledger notes puts labels in question even where it was removed from the file. In a folder
// without noted entries all of them count, and so do those from before the first one later.

// Logged is a log of changes joined with what the ledger notes of it.
type Logged struct {
	File    *assess.Log    // as changes.toml has it
	Log     assess.Log     // as it counts
	Unnoted []Unnoted      // in the order of the file
	Lost    []*record.Note // entries that the file had and no longer has, in the order of the ledger

	entries map[string]*assess.Entry // of the file, by their sums
}

// Unnoted is an entry that the ledger does not note.
type Unnoted struct {
	*assess.Entry
	Before bool // it counts as it did before entries were noted
	Other  bool // the ledger notes another text of it, or of the change that it settles
}

// Counts reports whether the entry counts.
func (u *Unnoted) Counts() bool { return !u.Relieves() || u.Before && !u.Other }

// Join joins a log, as the file has it, with the ledger.
func Join(log *assess.Log, notes *record.Notes) *Logged {
	j := &Logged{File: log, Log: *log, entries: make(map[string]*assess.Entry, len(log.Entries))}
	for i := range log.Entries {
		j.entries[log.Entries[i].Sum] = &log.Entries[i]
	}
	j.Lost = notes.Lost(func(sum string) bool { return j.entries[sum] != nil })
	others := map[string]bool{} // entries of which the ledger has another text, by table and name
	for _, n := range j.Lost {
		others[n.Table+" "+n.Name] = true
	}
	for i := range log.Entries {
		if e := &log.Entries[i]; !notes.Knows(e) {
			before := notes.Before(e)
			j.Unnoted = append(j.Unnoted, Unnoted{e, before, !before && others[e.Table+" "+e.Name]})
		}
	}
	slices.SortStableFunc(j.Unnoted, func(a, b Unnoted) int { return a.Line - b.Line })
	if notes.None() {
		return j
	}
	restored, names := site.Restore(entriesOf(j.Lost)), j.names(notes)
	j.changes(restored.Changes, names)
	j.settle(notes, names)
	j.Log.Reviews = slices.Clone(log.Reviews)
	for _, r := range restored.Reviews {
		same := func(is assess.Review) bool { return is.Sum == r.Sum }
		if r.Finding == assess.FoundWrong && !slices.ContainsFunc(log.Reviews, same) {
			j.Log.Reviews = append(j.Log.Reviews, r)
		}
	}
	void := map[string]bool{}
	for i := range j.Unnoted {
		if u := &j.Unnoted[i]; !u.Counts() {
			void[u.Sum] = true
		}
	}
	j.Log.Settlements = slices.DeleteFunc(j.Log.Settlements, func(t assess.Settlement) bool { return void[t.Sum] })
	j.Log.Reviews = slices.DeleteFunc(j.Log.Reviews, func(r assess.Review) bool { return void[r.Sum] })
	slices.SortStableFunc(j.Unnoted, func(a, b Unnoted) int { return a.Line - b.Line })
	return j
}

func entriesOf(notes []*record.Note) (all []assess.Entry) {
	for _, n := range notes {
		all = append(all, n.Entry)
	}
	return all
}

// settle finds the change that each settlement is about, given the names of the changes by their
// sums. A settlement from before the first noted entry is about a change from before it too.
func (j *Logged) settle(notes *record.Notes, names map[string]string) {
	before := map[string]bool{} // changes by their names
	for _, sum := range notes.Earlier() {
		before[names[sum]] = true
	}
	j.Log.Settlements = slices.Clone(j.File.Settlements)
	unnoted := make(map[string]int, len(j.Unnoted)) // their places, by their sums
	for i := range j.Unnoted {
		unnoted[j.Unnoted[i].Sum] = i
	}
	for i := range j.Log.Settlements {
		t := &j.Log.Settlements[i]
		e, n, about := j.entries[t.Sum], notes.Of(t.Sum), true
		switch {
		case n != nil && n.Settles != "":
			t.Change, about = names[n.Settles], names[n.Settles] != ""
		case n == nil && e != nil && (notes.Before(e) || notes.Knows(e)):
			about = before[t.Change]
		}
		if about || e == nil {
			continue
		}
		if _, known := unnoted[t.Sum]; !known {
			unnoted[t.Sum] = len(j.Unnoted)
			j.Unnoted = append(j.Unnoted, Unnoted{Entry: e})
		}
		j.Unnoted[unnoted[t.Sum]].Other = true
	}
}

// names gives each change a name of its own, by its sum: the one that the ledger notes has its
// name. Changes that were not read, because they are far away, have theirs too.
func (j *Logged) names(notes *record.Notes) map[string]string {
	names, taken := map[string]string{}, map[string]bool{}
	name := func(e *assess.Entry, why string) {
		if e.Table != assess.ChangeEntry || names[e.Sum] != "" {
			return
		}
		id := e.Name
		for n := 1; taken[id]; n++ {
			if id = e.Name + " (" + why + ")"; n > 1 {
				id = fmt.Sprintf("%s (%s, %d)", e.Name, why, n)
			}
		}
		taken[id], names[e.Sum] = true, id
	}
	file := j.File.Entries
	for i := range file {
		if notes.Of(file[i].Sum) != nil {
			name(&file[i], "")
		}
	}
	for _, n := range j.Lost {
		name(&n.Entry, "removed")
	}
	for i := range file {
		name(&file[i], "altered")
	}
	return names
}

// changes adds what was removed to the changes that count, and gives them their names.
func (j *Logged) changes(restored []assess.Change, names map[string]string) {
	j.Log.Changes = slices.Clone(j.File.Changes)
	there := map[string]bool{}
	for i := range j.Log.Changes {
		c := &j.Log.Changes[i]
		c.ID, there[c.Sum] = cmp.Or(names[c.Sum], c.ID), true
	}
	for _, c := range restored {
		if there[c.Sum] {
			continue // this log was joined before
		}
		c.ID = names[c.Sum]
		c.Note = strings.TrimPrefix(c.Note+"; "+assess.ChangesFile+" no longer has this entry as the ledger notes it", "; ")
		j.Log.Changes = append(j.Log.Changes, c)
	}
}

// LogFindings are the findings about the log of changes joined with the ledger.
func (p *Plant) LogFindings() (all []assess.Finding) {
	for _, f := range p.Findings {
		if f.Code == assess.EntryUnnoted || f.Code == assess.EntryLost {
			all = append(all, f)
		}
	}
	return all
}

// Has reports whether changes.toml has a change that counts, under its name.
func (j *Logged) Has(c *assess.Change) bool {
	return slices.ContainsFunc(j.File.Changes, func(of assess.Change) bool { return of.ID == c.ID && of.Sum == c.Sum })
}

// mostEntries is how many entries of one kind have a finding of their own.
const mostEntries = 12

// findings are what a person must look at in the log: entries that nothing proves, and entries
// that are gone.
func (j *Logged) findings(command Command) (all []assess.Finding) {
	add := func(f assess.Finding, r assess.Remedy) {
		f.Level, f.Field = assess.Caution, "entry"
		f.Message += r.Text(command)
		all = append(all, f)
	}
	of := func(e *assess.Entry) assess.Finding {
		return assess.Finding{Code: assess.EntryUnnoted, File: assess.ChangesFile, Line: e.Line}
	}
	var before []*Unnoted
	typed, more := 0, 0
	for i := range j.Unnoted {
		u := &j.Unnoted[i]
		switch {
		case u.Before && !u.Other:
			before = append(before, u)
			continue
		case typed == mostEntries:
			more++
			continue
		}
		typed++
		f, r := of(u.Entry), assess.Remedy{Words: "{}", Act: assess.ToNote, On: u.Mark()}
		switch {
		case u.Other && u.Table == assess.SettlementEntry:
			f.Message = u.Words() + " does not count: it, or the change that it is about, has another text than when it was noted; "
			r = assess.Remedy{Words: "restore that text, or settle the change again"}
		case u.Other:
			f.Message = u.Words() + " has another text than the ledger notes of it, and counts too; "
			r = assess.Remedy{Words: "restore that text, and log what is new as another entry"}
		case u.Relieves():
			f.Message = u.Words() + " was typed into the file by hand, and releases no label until a qualified person notes it by name: "
		default:
			f.Message = u.Words() + " was typed into the file by hand; it counts, and whoever reported it should note it: "
		}
		add(f, r)
	}
	if more > 0 {
		add(assess.Finding{Code: assess.EntryUnnoted, File: assess.ChangesFile, Message: fmt.Sprintf("%d more entries are not noted: ", more)},
			assess.Remedy{Words: "{} lists them", Act: assess.ToNote})
	}
	if before != nil {
		f := of(before[0].Entry)
		entries := "1 entry is"
		if len(before) > 1 {
			entries = fmt.Sprintf("%d entries are", len(before))
		}
		f.Message = entries + " from before entries were noted in the ledger, and counted, but nothing proves who wrote them: " + few(before)
		add(f, assess.Remedy{Words: "; to list and note them: {}", Act: assess.ToNote})
	}
	for i, n := range j.Lost {
		if i == mostEntries {
			add(assess.Finding{Code: assess.EntryLost, File: record.LedgerFile, Message: fmt.Sprintf("%d more entries are gone from %s; ",
				len(j.Lost)-i, assess.ChangesFile)}, assess.Remedy{Words: "restore the file from a backup"})
			break
		}
		what := "it still counts"
		if n.Relieves() {
			what = "it no longer counts"
		}
		add(assess.Finding{Code: assess.EntryLost, File: record.LedgerFile, Line: n.Number, Message: fmt.Sprintf(
			"%s no longer has %s as this line notes it: %s; ", assess.ChangesFile, n.Words(), what)},
			assess.Remedy{Words: "restore the entry from a backup, or as this line has it"})
	}
	return all
}

// few names entries, the first ones of many.
func few(all []*Unnoted) string {
	var names []string
	for i, u := range all {
		if i == mostEntries {
			names = append(names, fmt.Sprintf("and %d more", len(all)-i))
			break
		}
		names = append(names, strings.TrimPrefix(u.Words(), "the "))
	}
	return strings.Join(names, ", ")
}
