package audit

import (
	"errors"
	"fmt"
	"io/fs"
	"strings"

	"vouchmark/assess"
	"vouchmark/assess/infile"
	"vouchmark/assess/site"
	"vouchmark/label/plant"
	"vouchmark/label/record"
	"vouchmark/label/report"
)

// log compares changes.toml with the entries that the ledger notes: what was removed, altered,
// or never noted. The text of the file alone decides, so that an archive can be checked too.
func (a *audit) log() error {
	data, err := infile.Read(a.folder, assess.ChangesFile, site.SizeLimit(assess.ChangesFile))
	var in *infile.Error
	switch {
	case errors.As(err, &in):
		a.problem(assess.ChangesFile, in.Do, "found %s, expected %s", in.Found, in.Expected)
		return nil
	case err != nil && !errors.Is(err, fs.ErrNotExist):
		return err
	}
	notes := a.ledger.Notes()
	entries, err := site.Entries(data)
	if err != nil {
		if !notes.None() {
			a.problem(assess.ChangesFile, "restore it from a backup", "the ledger notes entries of it, and it cannot be read: %s",
				strings.ReplaceAll(err.Error(), "\n", "; "))
		}
		return nil
	}
	log := site.Restore(entries)
	log.Entries = entries
	j := plant.Join(&log, notes)
	there := map[string]bool{}
	names := map[string]bool{}
	for i := range entries {
		there[entries[i].Sum], names[entries[i].Words()] = true, true
	}
	for _, n := range j.Lost {
		was := "removed"
		if names[n.Words()] {
			was = "altered"
		}
		a.problem(record.LineName(n.Number), "restore the entry from a backup, or as this line has it",
			"%s, by %s, was %s in %s since it was noted", n.Words(), orUnknown(by(&n.Entry)), was, assess.ChangesFile)
	}
	a.entered(notes, there)
	a.unnoted(j.Unnoted)
	a.settled(&log)
	return nil
}

func entriesIn(n int) string {
	if n == 1 {
		return "1 entry"
	}
	return fmt.Sprintf("%d entries", n)
}

// by is who made an entry.
func by(e *assess.Entry) string {
	name, _ := e.Values["by"].(string)
	return name
}

// entered reports entries that were there before the first one was noted and are gone, and
// those that a stopped command may have added.
func (a *audit) entered(notes *record.Notes, there map[string]bool) {
	gone := 0
	for _, sum := range notes.Earlier() {
		if !there[sum] {
			gone++
		}
	}
	if gone > 0 {
		a.problem(record.LineName(notes.Begun), "restore "+assess.ChangesFile+" from a backup",
			"of the entries that %s had when this line was written, %d removed or altered since", assess.ChangesFile, gone)
	}
	for i := range notes.All {
		if n := &notes.All[i]; !n.Sure() && !n.Ended.Failed && !there[n.Sum] {
			a.note("%s announces %s; the command was stopped, and %s does not have it", record.LineName(n.Number), n.Words(), assess.ChangesFile)
		}
	}
}

// unnoted reports the entries that the ledger does not note.
func (a *audit) unnoted(all []plant.Unnoted) {
	var before []string
	for i := range all {
		u := &all[i]
		where := fmt.Sprintf("%s, line %d", assess.ChangesFile, u.Line)
		name := fmt.Sprintf("%s, by %s (%s)", u.Words(), orUnknown(by(u.Entry)), u.Mark())
		switch {
		case u.Before && !u.Other:
			before = append(before, name)
		case u.Other && u.Table == assess.SettlementEntry:
			a.problem(where, "restore the text that was noted, or settle the change again",
				"%s does not count: it, or the change that it is about, has another text than when it was noted", name)
		case u.Other: // reported as altered
		case u.Relieves():
			a.Passing = true // a command may have added it meanwhile
			a.problem(where, "a qualified person must note it by name (vouchmark change note), or delete it",
				"%s is not in the ledger: somebody typed it into the file, and it releases no label", name)
		default:
			a.note("%s: %s is not in the ledger: somebody typed it into the file; it counts, and should be noted by name "+
				"(vouchmark change note)", where, name)
		}
	}
	if before != nil {
		a.note("%s of %s from before entries were noted in the ledger: they count, but nothing proves who wrote them, or that none is missing; "+
			"note them by name (vouchmark change note): %s", entriesIn(len(before)), assess.ChangesFile, report.Few(before))
	}
}

// settled notes the settlements that older versions noted and that are gone: the owner could
// edit the file then, so this is not a problem.
func (a *audit) settled(log *assess.Log) {
	texts := map[[2]string]bool{}
	for i := range log.Settlements {
		s := &log.Settlements[i]
		texts[[2]string{s.Change, site.SettlementHash(s)}] = true
	}
	for i := range a.ledger.Lines {
		if l := &a.ledger.Lines[i]; l.Kind == record.Settled && !texts[[2]string{l.Change, l.Text}] {
			a.note("the settlement of %s noted on %s is now missing from changes.toml or has a different text there",
				l.Change, l.Date)
		}
	}
}
