// Package logbook is what a person adds to changes.toml, and what that makes
// of the labels.
//
//	logbook.go  adding an entry, whole or not at all
//	entries.go  a change, a settlement, a review
//	effect.go   which labels' standing is another now
package logbook

import (
	"errors"
	"fmt"
	"io/fs"

	"vouchmark/assess"
	"vouchmark/assess/site"
	"vouchmark/label/plant"
	"vouchmark/label/record"
)

// Entry is what is to be added.
type Entry interface {
	// After gives the text of a changes.toml with the entry behind the old
	// text, and the entry's name. v is the site as it is.
	After(v *plant.Plant, old []byte) (text []byte, name string, err error)
	// notes are what a person might not expect of it.
	notes(v *plant.Plant) []string
	// line is what the ledger notes of it; nil for nothing.
	line(today assess.Date, tool string) *record.Line
}

// WrongError is a part of an entry that a person gave wrongly.
type WrongError struct {
	Part string // as the command spells it, such as "kind"
	Err  error
}

func (e *WrongError) Error() string { return fmt.Sprintf("--%s: %v", e.Part, e.Err) }

// UnknownError is a place that the site does not have.
type UnknownError struct{ Part, ID string }

func (e *UnknownError) Error() string {
	return fmt.Sprintf("--%s: no location %s in this site; ids are spelt as in locations.csv, capitals included",
		e.Part, e.ID)
}

// Site is a site's log with what it is judged by.
type Site struct {
	Folder  fs.FS
	Options site.Options
	History *record.History // what was printed
	Today   assess.Date
	Command plant.Command
}

// after is the text of a log with an entry, the entry's name, and what it makes
// of the labels. Nothing is written.
func (s *Site) after(e Entry, old []byte) ([]byte, *Effect, error) {
	view := func(log []byte) (*plant.Plant, error) {
		read, err := site.Read(site.With(s.Folder, assess.ChangesFile, log), s.Options)
		if err != nil {
			return nil, err
		}
		return plant.New(read, s.History, s.Today, s.Command)
	}
	before, err := view(old)
	if err != nil {
		return nil, nil, err
	}
	text, name, err := e.After(before, old)
	if err != nil {
		return nil, nil, err
	}
	after, err := view(text)
	if err != nil {
		return nil, nil, err
	}
	return text, newEffect(name, before, after, e.notes(before)), nil
}

// Preview says what Add would make of the labels, and writes nothing.
func (s *Site) Preview(e Entry) (*Effect, error) {
	old, err := fs.ReadFile(s.Folder, assess.ChangesFile)
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return nil, err
	}
	_, effect, err := s.after(e, old)
	return effect, err
}

// Add adds an entry, and says what became of the labels. Nothing is written
// where the folder could not be read with it, nor where agreed, which may be
// nil, has an error for what it would make of them. tool is the version of the
// program.
func (s *Site) Add(store *record.Store, tool string, e Entry, agreed func(*Effect) error) (*Effect, error) {
	var effect *Effect
	err := store.Edit(assess.ChangesFile, func(old []byte) (text []byte, _ *record.Line, err error) {
		text, effect, err = s.after(e, old) // under the lock: others may have added since
		if err == nil && agreed != nil {
			err = agreed(effect)
		}
		if err != nil {
			return nil, nil, err
		}
		return text, e.line(s.Today, tool), nil
	})
	return effect, err
}
