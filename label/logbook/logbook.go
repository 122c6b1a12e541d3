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
}

// WrongError is a part of an entry that a person gave wrongly.
type WrongError struct {
	Part string // as the command spells it, such as "kind"
	Err  error
}

func (e *WrongError) Error() string { return fmt.Sprintf("--%s: %v", e.Part, e.Err) }

// Add adds an entry to a site's log, and says what became of the labels.
// Nothing is written where the folder could not be read with it. before is the
// site as it is.
func Add(folder fs.FS, o site.Options, s *record.Store, before *report.View, e Entry) (*Effect, error) {
	name, after := "", before
	err := s.Edit(assess.ChangesFile, func(old []byte) ([]byte, error) {
		text, n, err := e.After(before, old)
		if err != nil {
			return nil, err
		}
		read, err := site.Read(site.With(folder, assess.ChangesFile, text), o)
		if err != nil {
			return nil, err
		}
		name = n
		after, err = report.New(read, before.History, before.Today)
		return text, err
	})
	if err != nil {
		return nil, err
	}
	return newEffect(name, before, after), nil
}
