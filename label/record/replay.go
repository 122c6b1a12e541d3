package record

import (
	"fmt"
	"reflect"
	"slices"

	"vouchmark/assess"
)

// Replay is what the lines of a ledger mean, taken together.
type Replay struct {
	Labels  map[string]*Label // by location: the label that was printed last
	Records map[string]*Named // by name: the records that lines name
	Studies map[string]*Study // by name: the files in studies/ that lines name
	Entries []Entry           // what each line says of each label, in order
	Open    []*Line           // prints of which nothing more is known: at work, or broken off by a crash
	Wrong   []Wrong           // in the order of the lines; nil where some labels alone are replayed
	copies  map[copied]int
	fates   []fate // by line
}

// Entry is what a line says of one label, and what later lines say of the line.
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
	Printed bool // a print names it, be it one that failed
	Needed  int  // number of the finished print for which it must be there; 0 for none
	Entries []*Entry
}

// Made reports whether a print made a record of which a label or marking may
// exist.
func (n *Named) Made() bool {
	return slices.ContainsFunc(n.Entries, func(e *Entry) bool { return e.Kind.Prints() && !e.Failed })
}

// Record is what lines say of a record; empty where none names it.
func (r *Replay) Record(id ID) *Named {
	if n := r.Records[id.String()]; n != nil {
		return n
	}
	return &Named{}
}

// Tool is the version of the program that named a record first.
func (n *Named) Tool() string {
	for _, e := range n.Entries {
		if e.Tool != "" {
			return e.Tool
		}
	}
	return "unknown"
}

// Wrong is something that this program writes into no ledger.
type Wrong struct {
	Line int // its number, from 1
	What string
}

func (r *Replay) wrong(i int, what string, args ...any) {
	r.Wrong = append(r.Wrong, Wrong{i + 1, fmt.Sprintf(what, args...)})
}

// copied is what is counted in copies: a record as a label, "", or as another
// thing.
type copied struct{ record, thing string }

// fate is what a line has to do with others.
type fate struct {
	End
	by int // number of the first line that ends it; 0 for none
	of int // number of the line before it that it names; 0 for none
}

// fates finds the lines that lines name, which are always before them: nobody
// knows a hash earlier. Nearly always it is the one right before, and the
// hashes are put into a map only where it is not.
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

// Of is the number of the line before it that a line names; 0 for none.
func (r *Replay) Of(number int) int { return r.fates[number-1].of }

// Replay reads what the lines mean, and has tells which records are there.
// Every line is looked at, but the labels printed last are those of a day: what
// is dated later does not count for them.
//
// A print that was announced and never finished counts if its record is there,
// since its label may exist; without the record no label can, nor where its
// output could not be written.
func (l *Ledger) Replay(today assess.Date, has func(ID) bool, only Only) *Replay {
	r := &Replay{Labels: map[string]*Label{}, Records: map[string]*Named{}, Studies: map[string]*Study{},
		copies: map[copied]int{}, fates: l.fates()}
	n := 0
	for i := range l.Lines {
		for range only.of(&l.Lines[i]) {
			n++
		}
	}
	r.Entries = make([]Entry, 0, n) // it must not move: records point into it
	for i := range l.Lines {
		line := &l.Lines[i]
		r.line(l, i, only)
		r.study(line, i, !today.Before(line.Date))
		for p := range only.of(line) {
			r.Entries = append(r.Entries, Entry{line, p, r.fates[i].End})
			e := &r.Entries[len(r.Entries)-1]
			if n := r.enter(e, i); n.Valid && !today.Before(line.Date) {
				r.label(e, n.ID, has)
			}
		}
	}
	for _, h := range r.Labels {
		h.tidy()
	}
	if only != nil {
		r.Wrong = nil // what it was left to see is not whole
	}
	return r
}

// line checks a line as a whole, and ends the print that it ends.
func (r *Replay) line(l *Ledger, i int, only Only) {
	line, f := &l.Lines[i], &r.fates[i]
	switch line.Kind {
	case Print, Reprint:
		if f.by == 0 {
			r.Open = append(r.Open, line)
		}
		if line.Count != len(line.Labels) {
			r.wrong(i, "it counts %d labels and names %d", line.Count, len(line.Labels))
		}
	case Done, Failed, Unfinished:
		if f.of == 0 || !l.Lines[f.of-1].Kind.Prints() || r.fates[f.of-1].by != i+1 {
			r.wrong(i, "it ends a print that is not open")
			return
		}
		ended := &l.Lines[f.of-1]
		for p := range only.of(ended) {
			switch line.Kind {
			case Done:
				r.Records[p.Record].Needed = f.of
			case Failed:
				r.copies[copied{p.Record, ended.Thing}]--
			}
		}
	case Withdrawn, Mounted, Removed, Signed, Settled:
		door := line.Kind == Mounted || line.Kind == Removed
		if line.Thing != "" && !(door && line.Thing == overlay) || line.Kind == Withdrawn && len(line.Labels) != 1 ||
			line.Kind == Settled && (line.Change == "" || len(line.Labels) > 0) {
			r.wrong(i, "a line that no command writes")
		}
		if line.Kind == Signed && len(line.Labels) == 0 && f.of == 0 {
			r.wrong(i, "it signs a line that is not before it")
		}
	case Intake:
		if !line.takesIn() {
			r.wrong(i, "a line that no command writes")
		}
	default:
		r.wrong(i, "an unknown kind of line, %q", line.Kind)
	}
}

// enter puts what a line says of a label to what others say of its record.
func (r *Replay) enter(e *Entry, i int) *Named {
	n := r.Records[e.Record]
	if n == nil {
		id, err := ParseID(e.Record)
		n = &Named{ID: id, Valid: err == nil}
		r.Records[e.Record] = n
	}
	n.Entries = append(n.Entries, e)
	switch e.Kind {
	case Print, Reprint:
		n.Printed = true
		key := copied{e.Record, e.Thing}
		r.copies[key]++
		if e.Copy != r.copies[key] {
			r.wrong(i, "it calls the label of %s copy %d, by the lines before it is copy %d", e.ID, e.Copy, r.copies[key])
		}
	case Withdrawn, Mounted, Removed, Signed, Settled:
		if !n.Printed {
			r.wrong(i, "it tells of a record of %s that no print made", e.ID)
		}
	}
	return n
}

// Study is a file in studies/ that lines name.
type Study struct {
	Stored     // as the first line that names it has it
	Line   int // number of that line
	// Taken is the first line until the day that took it in as a study; nil where
	// none did: for a locations.csv that one replaced.
	Taken *Line
}

// study puts what a line says of files in studies/ to what others say of them.
func (r *Replay) study(line *Line, i int, counts bool) {
	if line.Kind != Intake && (line.Study != nil || line.Before != nil || line.Locations != "") {
		r.wrong(i, "it tells of a study file and takes none in")
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
	only := Line{Schema: l.Schema, Kind: l.Kind, Date: l.Date, By: l.By, Tool: l.Tool, Study: l.Study, Before: l.Before,
		Locations: l.Locations, Prev: l.Prev, Hash: l.Hash}
	return reflect.DeepEqual(*l, only) && l.Study != nil && l.Study.valid() && isSHA256(l.Locations) &&
		(l.Before == nil || l.Before.valid() && l.Before.File != l.Study.File && l.Before.SHA256 != l.Locations)
}
