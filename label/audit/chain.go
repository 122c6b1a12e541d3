package audit

import (
	"bytes"
	"encoding/json"
	"errors"
	"io/fs"

	"vouchmark/label/record"
	"vouchmark/label/report"
)

// printed is what the lines of the ledger say of records.
type printed struct {
	known  map[string]bool // every record that a line names
	empty  bool            // there is no ledger
	needed map[string]int  // records that must be there, and the line that says so
}

// chain checks the ledger: that each line is bound to the one before, and that
// together they make sense.
func (a *audit) chain() error {
	a.known, a.needed = map[string]bool{}, map[string]int{}
	if info, err := fs.Lstat(a.folder, record.LedgerFile); err == nil && !info.Mode().IsRegular() {
		a.problem(record.LedgerFile, "find out what came in its place", "it is no ordinary file")
		a.ledger = &record.Ledger{}
		return nil
	}
	data, err := a.read(record.LedgerFile)
	if err != nil {
		return err
	}
	a.empty = data == nil
	a.ledger, err = record.ParseLedger(data)
	var broken *record.LedgerError
	switch {
	case errors.As(err, &broken):
		a.problem(record.LineName(broken.Line), broken.Do+"; what follows this line could not be looked at", "%v", broken.Err)
	case err != nil:
		return err
	}
	if torn := a.ledger.Torn(); torn != nil {
		where := record.LineName(len(a.ledger.Lines) + 1)
		var line record.Line
		if d := json.NewDecoder(bytes.NewReader(torn)); d.Decode(&line) == nil {
			a.problem(where, "bring the ledger back from a copy of the folder", "the last line does not end as the program ends it")
		} else {
			a.Passing = true
			a.problem(where, "the next writer cuts it off: nobody was told that it was written", "an unfinished last line, of a writer at work or of one that was stopped")
		}
	}
	if a.ledger.Unended() {
		a.Passing = true
		a.problem(record.LineName(len(a.ledger.Lines)), "the next writer puts it back; do not open the ledger in an editor", "the end of the last line was taken off")
	}
	a.Head, a.Lines = a.ledger.Head(), len(a.ledger.Lines)
	if n := len(a.ledger.Lines); n > 0 {
		a.First, a.Last = a.ledger.Lines[0].Date, a.ledger.Lines[n-1].Date
	}
	a.lines()
	return nil
}

// lines checks what the lines say of each other.
func (a *audit) lines() {
	const do = "the program does not write such a line: find out who did"
	open := map[string]int{} // prints of which nothing more was said yet
	copies := map[string]int{}
	hashes := map[string]bool{}
	for i := range a.ledger.Lines {
		l := &a.ledger.Lines[i]
		where := record.LineName(i + 1)
		hashes[l.Hash] = true
		if text := l.Unprintable(); text != "" {
			a.problem(where, do, "the text %q has characters that no label and no terminal shows", text)
		}
		if i > 0 && l.Date.Before(a.ledger.Lines[i-1].Date) {
			a.note("%s is dated %s, before the line above it (%s)", where, l.Date, a.ledger.Lines[i-1].Date)
		}
		if a.Today.Before(l.Date) || l.Date.Before(l.Applied) {
			a.note("%s is dated %s, with labels mounted on %s: after today (%s), or mounted after it was written", where, l.Date, orNone(l.Applied.String()), a.Today)
		}
		switch l.Kind {
		case record.Print, record.Reprint:
			open[l.Hash] = i
			if l.Count != len(l.Labels) {
				a.problem(where, do, "it counts %d labels and names %d", l.Count, len(l.Labels))
			}
			for _, p := range l.Labels {
				a.known[p.Record] = true
				a.Prints++
				key := l.Thing + " " + p.Record
				if copies[key]++; p.Copy != copies[key] {
					a.problem(where, do, "it calls the label of %s copy %d, by the lines before it is copy %d", p.ID, p.Copy, copies[key])
				}
			}
		case record.Done, record.Failed, record.Unfinished:
			of, ok := open[l.Of]
			if !ok {
				a.problem(where, do, "it ends a print that is not open")
				continue
			}
			delete(open, l.Of)
			for _, p := range a.ledger.Lines[of].Labels {
				switch l.Kind {
				case record.Done:
					a.needed[p.Record] = of + 1
				case record.Failed:
					copies[a.ledger.Lines[of].Thing+" "+p.Record]--
				}
			}
		case record.Withdrawn, record.Mounted, record.Signed, record.Settled:
			if l.Thing != "" || l.Kind == record.Settled && (l.Change == "" || len(l.Labels) > 0) || l.Kind == record.Withdrawn && len(l.Labels) != 1 {
				a.problem(where, do, "a line that no command writes")
			}
			for _, p := range l.Labels {
				if !a.known[p.Record] {
					a.problem(where, do, "it tells of a record of %s that no print made", p.ID)
				}
			}
			if l.Kind == record.Signed && len(l.Labels) == 0 && !hashes[l.Of] {
				a.problem(where, do, "it signs a line that is not before it")
			}
		default:
			a.problem(where, do, "an unknown kind of line, %q", l.Kind)
		}
	}
	for _, l := range a.ledger.Open() {
		a.note("the %s of %s on %s is at work, or was broken off: the next writer ends it", l.Kind, names(l.Labels), l.Date)
	}
}

func names(labels []record.Printed) string {
	var ids []string
	for _, p := range labels {
		ids = append(ids, p.ID)
	}
	return report.Few(ids)
}
