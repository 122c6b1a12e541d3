package record

import (
	"fmt"
	"reflect"
	"slices"

	"vouchmark/assess"
)

// Replay is what the lines of a ledger mean, taken together.
type Replay struct {
	Labels  map[string]*Label      // by location: the label that was printed last
	Records map[string]*Named      // by name: the records that lines name
	Seen    map[string]*Seeing     // by location: what was found on the equipment last
	Studies map[string]*Study      // by name: the files in studies/ that lines name
	Entries []Entry                // what each line says about each label, in order
	Open    []*Line                // what is announced and has no end: at work, or interrupted by a crash
	Wrong   []Wrong                // in the order of the lines; nil where only some labels are replayed
	handled map[string]assess.Date // by location: when a label was mounted or removed last
	copies  map[copied]int
	fates   []fate          // by line
	stored  map[string]bool // see stored
	begun   bool            // a line about an entry of changes.toml was replayed
}

// Entry is what a line says about one label, and what later lines say about the line.
type Entry struct {
	*Line
	*Printed
	End
}

// End is how a print ended; all false while it is open.
type End struct{ Done, Failed, Unfinished bool }

// Named is a record that lines name.
type Named struct {
	ID      ID
	Valid   bool // its name is the SHA-256 of a record, ID
	Printed bool // a print names it, even one that failed
	Needed  int  // number of the line that proves that it was stored: a finished print, or what came of one; 0 for none
	Entries []*Entry
}

// Made reports whether a print made the record, so that a label or marking of it
// may exist.
func (n *Named) Made() bool {
	return slices.ContainsFunc(n.Entries, func(e *Entry) bool { return e.Kind.Prints() && !e.Failed })
}

// Record is what lines say about a record; empty where none names it.
func (r *Replay) Record(id ID) *Named {
	if n := r.Records[id.String()]; n != nil {
		return n
	}
	return &Named{}
}

// Tool is the version of the program that first named the record.
func (n *Named) Tool() string {
	for _, e := range n.Entries {
		if e.Tool != "" {
			return e.Tool
		}
	}
	return "unknown"
}

// Wrong is something that this program never writes into a ledger.
type Wrong struct {
	Line int // its number, from 1
	What string
}

func (r *Replay) wrong(i int, what string, args ...any) {
	r.Wrong = append(r.Wrong, Wrong{i + 1, fmt.Sprintf(what, args...)})
}

// copied is what copies counts: a record printed as a label ("") or as another
// thing.
type copied struct{ record, thing string }

// fate is how a line relates to others.
type fate struct {
	End
	by int // number of the first line that ends it; 0 for none
	of int // number of the line before it that it names; 0 for none
}

// fates finds the lines that other lines name. These always come before, since a
// hash is not known earlier. Nearly always it is the line right before; only
// otherwise are the hashes put into a map.
func (l *Ledger) fates() []fate {
	all := make([]fate, len(l.Lines))
	var numbers map[string]int
	for i := range l.Lines {
		line, of := &l.Lines[i], i
		if line.Of == "" {
			continue
		}
		if i == 0 || l.Lines[i-1].Hash != line.Of {
			if numbers == nil {
				numbers = make(map[string]int, len(l.Lines))
				for k := range l.Lines {
					numbers[l.Lines[k].Hash] = k + 1
				}
			}
			if of = numbers[line.Of]; of == 0 {
				continue
			}
		}
		all[i].of = of
		f := &all[of-1]
		switch line.Kind {
		case Done:
			f.Done = true
		case Failed:
			f.Failed = true
		case Unfinished:
			f.Unfinished = true
		default:
			continue
		}
		if f.by == 0 {
			f.by = i + 1
		}
	}
	return all
}

// Ended reports whether a print is known to be finished or to have failed.
func (r *Replay) Ended(number int) bool {
	end := r.fates[number-1].End
	return end.Done || end.Failed
}

// Of is the number of the earlier line that a line names; 0 for none.
func (r *Replay) Of(number int) int { return r.fates[number-1].of }

// Replay interprets the lines; has says which records exist. It looks at every
// line, but the labels printed last are those on a day: lines dated later do not
// count for them.
//
// A print that was announced and never finished counts if its record exists, or if a
// later line proves that it did, since its label may exist too. Without the record, or
// where the output could not be written, there can be no label.
func (l *Ledger) Replay(today assess.Date, has func(ID) bool, only Only) *Replay {
	r := &Replay{Labels: map[string]*Label{}, Records: map[string]*Named{}, Seen: map[string]*Seeing{}, Studies: map[string]*Study{},
		handled: map[string]assess.Date{}, copies: map[copied]int{}, fates: l.fates()}
	r.stored = l.stored(r.fates)
	n := 0
	for i := range l.Lines {
		if l.Lines[i].Kind != Unfinished {
			for range only.of(&l.Lines[i]) {
				n++
			}
		}
	}
	r.Entries = make([]Entry, 0, n) // must not move: records point into it
	for i := range l.Lines {
		line := &l.Lines[i]
		r.line(l, i, only)
		r.study(line, i, !today.Before(line.Date))
		if !today.Before(line.Date) {
			r.see(line)
		}
		if line.Kind == Unfinished {
			continue // its labels are those of the print
		}
		for p := range only.of(line) {
			r.Entries = append(r.Entries, Entry{line, p, r.fates[i].End})
			e := &r.Entries[len(r.Entries)-1]
			if n := r.enter(e, i); n.Valid && !today.Before(line.Date) {
				r.label(e, n.ID, has)
			}
		}
	}
	for location, h := range r.Labels {
		h.Seen = r.Seen[location]
		h.tidy()
	}
	if only != nil {
		r.Wrong = nil // it did not see everything
	}
	return r
}

// line checks a line as a whole, and closes the print that the line ends.
func (r *Replay) line(l *Ledger, i int, only Only) {
	line, f := &l.Lines[i], &r.fates[i]
	if line.Role != "" && (!line.Role.Known() || line.By == "") {
		r.wrong(i, "it has an unknown role, %q, or a role of nobody", line.Role)
	}
	if line.Torn != nil && line.Kind != Torn {
		r.wrong(i, "it names a file with half a line and is of another kind")
	}
	switch is := line.Kind == Entered || line.Kind == Noted; {
	case !is && line.Log != nil:
		r.wrong(i, "it has an entry of changes.toml and is of another kind")
	case is && !line.logs():
		r.wrong(i, "no command writes such a line")
	case is && r.begun && line.Log.Earlier != nil:
		r.wrong(i, "it lists the entries before the first one that was noted, and is not the first one")
	case is:
		r.begun = true
	}
	if is := line.Kind == Accepted; is != (line.Accept != nil) || is && !line.accepts() {
		r.wrong(i, "no command writes such an acceptance")
	}
	switch line.Kind {
	case Print, Reprint, Entered, Accepted:
		if f.by == 0 {
			r.Open = append(r.Open, line)
		}
		if line.Kind.edits() {
			break
		}
		if line.Count != len(line.Labels) {
			r.wrong(i, "it counts %d labels and names %d", line.Count, len(line.Labels))
		}
	case Done, Failed, Unfinished:
		if f.of == 0 || !l.Lines[f.of-1].Kind.announces() || r.fates[f.of-1].by != i+1 {
			r.wrong(i, "it ends a print that is not open")
			return
		}
		ended := &l.Lines[f.of-1]
		if line.Kind == Unfinished {
			r.found(line, ended, i, only)
		}
		if !ended.Kind.Prints() {
			return
		}
		for p := range only.of(ended) {
			switch line.Kind {
			case Done:
				r.Records[p.Record].Needed = f.of
			case Failed:
				r.copies[copied{p.Record, ended.Thing}]--
			}
		}
	case Seen:
		if !line.sees() {
			r.wrong(i, "no command writes such a line")
		}
	case Withdrawn, Mounted, Removed, Signed, Settled:
		door := line.Kind == Mounted || line.Kind == Removed
		if line.Thing != "" && !(door && line.Thing == overlay) || line.Kind == Withdrawn && len(line.Labels) != 1 ||
			line.Kind == Settled && (line.Change == "" || len(line.Labels) > 0) {
			r.wrong(i, "no command writes such a line")
		}
		if line.Kind == Signed && len(line.Labels) == 0 && f.of == 0 {
			r.wrong(i, "it signs a line that is not before it")
		}
	case Intake:
		if !line.takesIn() {
			r.wrong(i, "no command writes such a line")
		}
	case Torn:
		if !line.tears() {
			r.wrong(i, "no command writes such a line")
		}
	case Noted:
	default:
		r.wrong(i, "an unknown kind of line, %q", line.Kind)
	}
}

// found marks the records that the writer found which ended an interrupted print.
func (r *Replay) found(line, ended *Line, i int, only Only) {
	for p := range only.of(line) {
		if !slices.ContainsFunc(ended.Labels, func(of Printed) bool { return of.ID == p.ID && of.Record == p.Record }) {
			r.wrong(i, "it found a label of %s, which the print did not name", p.ID)
		} else if n := r.Records[p.Record]; n.Needed == 0 {
			n.Needed = i + 1
		}
	}
}

// stored are the records of prints that are open or were interrupted, as far as another
// line proves that they were stored: a finished print, the writer that found them, or
// somebody who mounted, removed, withdrew or signed.
func (l *Ledger) stored(fates []fate) map[string]bool {
	doubted := map[string]bool{}
	for i := range l.Lines {
		if line := &l.Lines[i]; line.Kind.Prints() && !fates[i].Done && !fates[i].Failed {
			for k := range line.Labels {
				doubted[line.Labels[k].Record] = true
			}
		}
	}
	if len(doubted) == 0 {
		return nil
	}
	all := map[string]bool{}
	for i := range l.Lines {
		if line := &l.Lines[i]; line.proves() || fates[i].Done {
			for k := range line.Labels {
				if name := line.Labels[k].Record; doubted[name] {
					all[name] = true
				}
			}
		}
	}
	return all
}

// proves reports whether a line can name a label only if its record is stored.
func (l *Line) proves() bool {
	switch l.Kind {
	case Unfinished, Withdrawn, Mounted, Removed, Seen, Signed:
		return true
	}
	return false
}

// enter adds what a line says about a label to what others say about its record.
func (r *Replay) enter(e *Entry, i int) *Named {
	n := r.Records[e.Record]
	if n == nil {
		id, err := ParseID(e.Record)
		n = &Named{ID: id, Valid: err == nil}
		r.Records[e.Record] = n
	}
	n.Entries = append(n.Entries, e)
	if (e.Gist != "" || e.Up != nil || e.Ties != nil) && (!e.Kind.Prints() || e.Thing != "") {
		r.wrong(i, "it notes feeds or a gist of %s and prints no label", e.ID)
	}
	if e.Sight != nil && e.Kind != Seen {
		r.wrong(i, "it says what was found at %s and is of another kind", e.ID)
	}
	switch e.Kind {
	case Print, Reprint:
		n.Printed = true
		key := copied{e.Record, e.Thing}
		r.copies[key]++
		if e.Copy != r.copies[key] {
			r.wrong(i, "it counts the label of %s as copy %d, but after the lines before it this is copy %d", e.ID, e.Copy, r.copies[key])
		}
	case Withdrawn, Mounted, Removed, Seen, Signed, Settled:
		if !n.Printed {
			r.wrong(i, "it names a record of %s that no print made", e.ID)
		}
		if n.Needed == 0 && e.proves() {
			n.Needed = i + 1
		}
	}
	if e.Sight != nil && e.Sight.There != "" {
		switch there := r.Records[e.Sight.There]; {
		case there == nil || !there.Printed:
			r.wrong(i, "it names a label that was found at %s, and no print made it", e.ID)
		case there.Needed == 0:
			there.Needed = i + 1
		}
	}
	return n
}

// Study is a file in studies/ that lines name.
type Study struct {
	Stored     // as in the first line that names it
	Line   int // number of that line
	// Taken is the first line, up to the day, that took it in as a study; nil where
	// none did, as for a locations.csv that a study replaced.
	Taken *Line
}

// study adds what a line says about files in studies/ to what others say.
func (r *Replay) study(line *Line, i int, counts bool) {
	if line.Kind != Intake && (line.Study != nil || line.Before != nil || line.Locations != "") {
		r.wrong(i, "it names a study file and takes none in")
		return
	}
	for _, file := range []*Stored{line.Study, line.Before} {
		if file == nil {
			continue
		}
		s := r.Studies[file.File]
		if s == nil {
			s = &Study{Stored: *file, Line: i + 1}
			r.Studies[file.File] = s
		} else if s.Stored != *file {
			r.wrong(i, "it names other bytes for %s than %s does", file.Path(), LineName(s.Line))
			continue
		}
		if file == line.Study && s.Taken == nil && counts {
			s.Taken = line
		}
	}
}

// takesIn reports whether a line takes a study in and says nothing else.
func (l *Line) takesIn() bool {
	only := Line{Schema: l.Schema, Kind: l.Kind, Date: l.Date, By: l.By, Role: l.Role, Tool: l.Tool, Study: l.Study, Before: l.Before,
		Locations: l.Locations, Prev: l.Prev, Hash: l.Hash}
	return reflect.DeepEqual(*l, only) && l.Study != nil && l.Study.valid() && isSHA256(l.Locations) &&
		(l.Before == nil || l.Before.valid() && l.Before.File != l.Study.File && l.Before.SHA256 != l.Locations)
}
