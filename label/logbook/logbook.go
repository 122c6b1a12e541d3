// Package logbook adds what a person enters to changes.toml, says what that
// does to the labels, and adds what a named person accepts to site.toml.
//
//	logbook.go  adding an entry, whole or not at all
//	entries.go  a change, a settlement, a review
//	note.go     an entry that was typed by hand, noted by name
//	effect.go   which labels' standing it changes
//	accept.go   a finding that a named person takes responsibility for
//	seen.go     what somebody found on the equipment
//	door.go     what was mounted on the equipment, removed or withdrawn
package logbook

import (
	"errors"
	"fmt"
	"io/fs"
	"slices"
	"strings"

	"vouchmark/assess"
	"vouchmark/assess/infile"
	"vouchmark/assess/site"
	"vouchmark/label/plant"
	"vouchmark/label/record"
)

// Entry is what is to be added.
type Entry interface {
	// after appends the entry to the old text of changes.toml. v is the site
	// as it is.
	after(v *plant.Plant, old []byte) (*added, error)
}

// added is an entry with the text that it makes.
type added struct {
	text  []byte // of changes.toml
	name  string // of the entry
	notes []string

	sealed  func(*assess.Log) []byte // the text again, with what is known only after reading it; nil for nothing
	settled []string                 // labels for which a settlement settles its change
}

// WrongError is a part of an entry that is wrong.
type WrongError struct {
	Part string // as the command spells it, such as "kind"
	Err  error
}

func (e *WrongError) Error() string {
	if e.Part == "" { // an operand
		return e.Err.Error()
	}
	return fmt.Sprintf("--%s: %v", e.Part, e.Err)
}

// Site is a site's log of changes and all that is needed to judge the labels.
type Site struct {
	Folder  fs.FS
	Options site.Options
	History *record.History // what was printed
	Today   assess.Date
	Command plant.Command
}

// after is the log with an entry, and what the entry does to the labels.
// Nothing is written.
func (s *Site) after(e Entry, old []byte) (*added, *Effect, error) {
	before, err := s.view(assess.ChangesFile, old)
	if err != nil {
		return nil, nil, err
	}
	return s.from(before, e, old)
}

// from is after for a site that is judged already.
func (s *Site) from(before *plant.Plant, e Entry, old []byte) (*added, *Effect, error) {
	a, err := e.after(before, old)
	if err != nil {
		return nil, nil, err
	}
	line, err := announced(old, a.text, before.History.Notes)
	if err != nil {
		return nil, nil, err
	}
	after, err := s.changed(before, a.text, before.History.Noted(before.History.Notes.With(line)))
	if bad := (site.Problems)(nil); errors.As(err, &bad) {
		return nil, nil, wrongEntry(bad)
	}
	if err != nil {
		return nil, nil, err
	}
	if a.sealed != nil {
		a.text = a.sealed(after.Logged.File)
	}
	return a, newEffect(a, before, after), nil
}

// view is the site with a new text of one of its files.
func (s *Site) view(file string, text []byte) (*plant.Plant, error) {
	read, err := site.Read(site.With(s.Folder, file, text), s.Options)
	if err != nil {
		return nil, err
	}
	return plant.New(read, s.History, s.Today, s.Command)
}

// changed is the site with a new text of its log, and what the ledger notes then.
func (s *Site) changed(before *plant.Plant, text []byte, h *record.History) (*plant.Plant, error) {
	read, err := site.ReadLog(site.With(s.Folder, assess.ChangesFile, text), s.Options, before.Site)
	if err != nil {
		return nil, err
	}
	return before.With(read, h)
}

// announced is the line about the entry that a text of changes.toml has at its end, given the
// text before it and what the ledger notes.
func announced(old, text []byte, notes *record.Notes) (record.Line, error) {
	was, err := site.Entries(old)
	if err != nil {
		return record.Line{}, err
	}
	all, err := site.Entries(text)
	if err != nil {
		return record.Line{}, err
	}
	last := slices.MaxFunc(all, func(a, b assess.Entry) int { return a.Line - b.Line })
	return logged(record.Entered, &last, all, was, notes), nil
}

// logged is the line about an entry. all are the entries of changes.toml, was those before it.
func logged(kind record.Kind, e *assess.Entry, all, was []assess.Entry, notes *record.Notes) record.Line {
	line := record.NewLogged(kind, e)
	line.By, _ = e.Values["by"].(string)
	if i := slices.IndexFunc(all, func(c assess.Entry) bool { return c.Table == assess.ChangeEntry && c.Name == e.Name }); i >= 0 &&
		e.Table == assess.SettlementEntry {
		line.Log.Settles = all[i].Sum
	}
	if notes.None() {
		for i := range was {
			line.Log.Earlier = append(line.Log.Earlier, was[i].Sum)
		}
	}
	return line
}

// wrongEntry finds which part of an entry caused a problem that the folder did
// not have without it.
func wrongEntry(bad site.Problems) error {
	part := "new-…" // such as a curve that cannot be read
	if _, key, ok := strings.Cut(bad[0].Column, "]."); ok && !strings.HasPrefix(key, "new_") {
		key, _, _ = strings.Cut(key, ".")
		part = strings.ReplaceAll(key, "_", "-")
	}
	return &WrongError{part, bad}
}

// Preview says what Add would do to the labels of a site as it was judged a moment ago,
// and writes nothing. Only the log is read.
func (s *Site) Preview(v *plant.Plant, e Entry) (*Effect, error) {
	old, err := infile.Read(s.Folder, assess.ChangesFile, site.SizeLimit(assess.ChangesFile))
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return nil, err
	}
	_, effect, err := s.from(v, e, old)
	return effect, err
}

// Add adds an entry, and says what it did to the labels. Nothing is written
// where the folder could not be read with it, nor where agreed, which may be
// nil, returns an error for its effect. tool is the version of the program.
func (s *Site) Add(store *record.Store, tool string, e Entry, agreed func(*Effect) error) (*Effect, error) {
	var effect *Effect
	err := store.Enter(func(old []byte, l *record.Ledger) ([]byte, record.Line, error) {
		now := *s // under the lock: others may have added since
		now.History = s.History.Noted(l.Notes())
		a, made, err := now.after(e, old)
		if effect = made; err == nil && agreed != nil {
			err = agreed(effect)
		}
		if err != nil {
			return nil, record.Line{}, err
		}
		line, err := announced(old, a.text, now.History.Notes)
		line.Date, line.Tool = s.Today, tool
		return a.text, line, err
	})
	return effect, err
}
