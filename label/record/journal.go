package record

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"vouchmark/assess"
	"vouchmark/assess/infile"
	"vouchmark/assess/site"
)

// Job is a print as the ledger notes it.
type Job struct {
	Kind    Kind // Print or Reprint
	Date    assess.Date
	Thing   string  // "" for labels, else "fault" or "overlay"
	Sheet   []Sheet // in print order, one for each copy
	Stock   string
	Reason  string
	Interim string // why some are printed although they do not hold
	By      string
	Tool    string
	// Planned is the ledger as it was when the job was planned: if a study was taken
	// in since, the rows have changed, and nothing is printed. Nil skips the check.
	Planned *Ledger
	// Judge is called under the lock, before anything is written. It says why what was planned is
	// no longer printed. Nil skips it.
	Judge func() error
}

// errStudy says that a study was taken in while a job was planned.
var errStudy = errors.New("a study was taken in in the meantime, so the rows have changed: run the command again; nothing was printed")

// studiesTaken is how many studies the ledger has taken in.
func (l *Ledger) studiesTaken() (n int) {
	for i := range l.Lines {
		if l.Lines[i].Kind == Intake {
			n++
		}
	}
	return n
}

// Sheet is one label, marking or overlay to print.
type Sheet struct {
	Record *Record
	Code   Code // as drawn: nothing is printed if the record stored has another; "" for none
	Strip  bool // with an INTERIM strip
}

// Carry carries out a print under the lock. The records are written to temporary files,
// as the outputs were; then it writes the intent, moves the records into place, then the
// outputs, and writes a line that says done. So the state after a crash at any point
// differs from that of a forged record.
func (s *Store) Carry(j Job, outputs ...*Pending) error {
	defer func() {
		for _, o := range outputs {
			o.Discard()
		}
	}()
	w, err := s.lockLedger()
	if err != nil {
		return err
	}
	defer w.close()
	if j.Planned != nil && w.studiesTaken() != j.Planned.studiesTaken() {
		return errStudy
	}
	if j.Judge != nil {
		if err := j.Judge(); err != nil {
			return err
		}
	}
	intent := Line{Kind: j.Kind, Date: j.Date, Thing: j.Thing, Stock: j.Stock, Count: len(j.Sheet), Reason: j.Reason,
		By: j.By, Tool: j.Tool}
	made, records, err := s.prepareAll(j.Sheet)
	defer func() {
		for _, r := range records {
			r.Discard()
		}
	}()
	if err != nil {
		return fmt.Errorf("%w; nothing was printed", err)
	}
	var names []string
	for _, n := range made {
		names = append(names, n.id.String())
	}
	copies := s.Replay(w.Ledger, j.Date, Records(names...)).copies
	for i, p := range j.Sheet {
		key := copied{names[i], j.Thing}
		copies[key]++
		label := Printed{ID: p.Record.Location.ID, Record: names[i], Copy: copies[key], Strip: p.Strip}
		if j.Thing == "" {
			label.Gist, label.Joins = made[i].gist, p.Record.Joins()
		}
		intent.Labels = append(intent.Labels, label)
		if p.Strip {
			intent.Interim = j.Interim
		}
	}
	hash, err := w.append(intent)
	if err != nil {
		return fmt.Errorf("%w; nothing was printed", err)
	}
	err = s.output(records, outputs)
	var placed []string
	for _, o := range outputs {
		if o.placed {
			placed = append(placed, o.path)
		}
	}
	end := ""
	switch {
	case err == nil:
		end, err = w.append(Line{Kind: Done, Date: j.Date, Of: hash})
	case placed == nil:
		// No label was made: a later reader must not take the mounted one for
		// replaced. If this fails too, or one of several outputs was made, the
		// intent stays open: labels may exist.
		end, _ = w.append(Line{Kind: Failed, Date: j.Date, Of: hash})
	}
	if err == nil {
		return nil
	}
	state := "nothing was printed"
	if placed != nil {
		state = "labels are in " + strings.Join(placed, ", ")
	}
	if end == "" {
		state += ", but its end is missing in the ledger, which leaves the print open"
	}
	return fmt.Errorf("%w; %s", err, state)
}

// output moves the records into place, then the outputs.
func (s *Store) output(records, outputs []*Pending) error {
	if err := placeAll(records); err != nil {
		return err
	}
	for _, o := range outputs {
		if err := o.Commit(); err != nil {
			return err
		}
	}
	return nil
}

// Note appends one line that announces nothing. write returns it, given the ledger
// under the lock.
func (s *Store) Note(write func(l *Ledger) (Line, error)) error {
	return s.NoteAll(func(l *Ledger) ([]Line, error) {
		line, err := write(l)
		return []Line{line}, err
	})
}

// NoteAll is Note for several lines, or none: all of them or nothing.
func (s *Store) NoteAll(write func(l *Ledger) ([]Line, error)) error {
	w, err := s.lockLedger()
	if err != nil {
		return err
	}
	defer w.close()
	lines, err := write(w.Ledger)
	if err != nil || len(lines) == 0 {
		return err
	}
	hash, err := w.append(lines...)
	if err != nil && hash == "" {
		return unwritten(err)
	}
	return err // if the line is there even so, the error says that a power failure may undo it
}

// Withdraw notes that the label printed last for a location was withdrawn.
func (s *Store) Withdraw(location string, date assess.Date, reason, by, tool string) (was Label, err error) {
	err = s.Note(func(l *Ledger) (Line, error) {
		last := s.Replay(l, date, Locations(location)).Labels[location]
		if last == nil {
			return Line{}, fmt.Errorf("%q: %w", location, errNotPrinted)
		}
		if was = *last; was.Withdrawn != nil {
			return Line{}, fmt.Errorf("the label %s of %s was already withdrawn on %s: %s", was.ID.Code(), location,
				was.Withdrawn.Date, was.Withdrawn.Reason)
		}
		return Line{Kind: Withdrawn, Date: date, Labels: []Printed{{ID: location, Record: was.ID.String()}}, Reason: reason,
			By: by, Tool: tool}, nil
	})
	return was, err
}

// Edit replaces one of the owner's files with what change returns for it, under
// the lock, completely or not at all. A file that does not exist is read as empty.
func (s *Store) Edit(file string, change func(old []byte) ([]byte, error)) error {
	w, err := s.lockLedger()
	if err != nil {
		return err
	}
	defer w.close()
	path := filepath.Join(s.dir, file)
	old, err := readOwn(path)
	if err != nil {
		return err
	}
	data, err := change(old)
	if err != nil {
		return err
	}
	f, err := prepareOwn(path, data)
	if err != nil {
		return unwritten(err)
	}
	if err = f.Commit(); !f.placed {
		return unwritten(err)
	}
	return err
}

// readOwn reads one of the owner's files; one that does not exist is empty.
func readOwn(path string) ([]byte, error) {
	data, err := infile.ReadPath(path, site.SizeLimit(filepath.Base(path)))
	if errors.Is(err, os.ErrNotExist) {
		err = nil
	}
	return data, err
}

// prepareOwn is Prepare for one of the owner's files, which keeps its permissions. It refuses
// one that no command would read.
func prepareOwn(path string, data []byte) (*Pending, error) {
	file := filepath.Base(path)
	if most := site.SizeLimit(file); int64(len(data)) > most {
		return nil, fmt.Errorf("%s would have more than %s, and no command would read it", file, infile.Size(most))
	}
	mode := os.FileMode(0o644)
	if info, err := os.Stat(path); err == nil {
		mode = info.Mode().Perm()
	}
	return Prepare(path, data, mode)
}
