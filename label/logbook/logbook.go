// Package logbook is what a person adds to changes.toml, and what that makes
// of the labels.
//
//	logbook.go  adding an entry, whole or not at all
//	entries.go  a change, a settlement, a review
//	effect.go   which labels' standing is another now
package logbook

import (
	"fmt"
	"io/fs"

	"vouchmark/assess"
	"vouchmark/assess/site"
	"vouchmark/label/record"
	"vouchmark/label/report"
)

// Entry is what is to be added.
type Entry interface {
	// After gives the text of a changes.toml with the entry behind the old
	// text, and the entry's name. v is the site as it is.
	After(v *report.View, old []byte) (text []byte, name string, err error)
	// notes are what a person might not expect of it.
	notes(v *report.View) []string
	// line is what the ledger notes of it; nil for nothing.
	line(today assess.Date, tool string) *record.Line
}

// WrongError is a part of an entry that a person gave wrongly.
type WrongError struct {
	Part string // as the command spells it, such as "kind"
	Err  error
}

func (e *WrongError) Error() string { return fmt.Sprintf("--%s: %v", e.Part, e.Err) }

// Add adds an entry to a site's log, and says what became of the labels.
// Nothing is written where the folder could not be read with it. h is what was
// printed, tool the version of the program.
func Add(folder fs.FS, o site.Options, s *record.Store, h *record.History, today assess.Date, tool string, e Entry) (*Effect, error) {
	view := func(log []byte) (*report.View, error) {
		read, err := site.Read(site.With(folder, assess.ChangesFile, log), o)
		if err != nil {
			return nil, err
		}
		return report.New(read, h, today)
	}
	var effect *Effect
	err := s.Edit(assess.ChangesFile, func(old []byte) ([]byte, *record.Line, error) {
		before, err := view(old) // under the lock: others may have added since
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
		effect = newEffect(name, before, after, e.notes(before))
		return text, e.line(before.Today, tool), nil
	})
	return effect, err
}
