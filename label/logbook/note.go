package logbook

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"slices"
	"strings"

	"vouchmark/assess"
	"vouchmark/assess/infile"
	"vouchmark/assess/site"
	"vouchmark/label/plant"
	"vouchmark/label/record"
	"vouchmark/label/report"
)

// Unnoted are the entries of changes.toml that the ledger does not note.
type Unnoted struct {
	File    string    `json:"file"`
	Entries []Pending `json:"entries"`
}

// Pending is an entry that the ledger does not note.
type Pending struct {
	Mark   string         `json:"mark"` // by which Note takes it
	Line   int            `json:"line"`
	Table  string         `json:"table"`
	Name   string         `json:"name"`
	Counts bool           `json:"counts"`
	Before bool           `json:"before"` // it was there before entries were noted
	Values map[string]any `json:"values"`
	what   string
	text   []byte
}

// NewUnnoted lists the entries of a site's log that the ledger does not note.
func NewUnnoted(v *plant.Plant) *Unnoted {
	all := &Unnoted{File: assess.ChangesFile, Entries: []Pending{}}
	for i := range v.Logged.Unnoted {
		u := &v.Logged.Unnoted[i]
		what := "counts"
		switch {
		case u.Other:
			what = "has another text than the ledger notes of it; restore that"
		case u.Before:
			what = "counts, as from before entries were noted"
		case !u.Counts():
			what = "does not count"
		}
		all.Entries = append(all.Entries, Pending{u.Mark(), u.Line, u.Table, u.Name, u.Counts(), u.Before, u.Values, what, site.EntryText(u.Entry)})
	}
	return all
}

// Text lists them for a person, with their texts.
func (u *Unnoted) Text(w io.Writer, width int) error {
	var b strings.Builder
	if len(u.Entries) == 0 {
		fmt.Fprintf(&b, "%s: the ledger notes every entry\n", u.File)
	}
	for i := range u.Entries {
		e := &u.Entries[i]
		head := fmt.Sprintf("%s, line %d: %s %s, %s", u.File, e.Line, e.Table, e.Name, e.what)
		b.WriteString(report.Wrap(head, e.Mark+"  ", "          ", width))
		for _, line := range strings.Split(strings.TrimSpace(string(e.text)), "\n") {
			b.WriteString(report.Wrap(line, "          ", "            ", width))
		}
	}
	if len(u.Entries) > 0 {
		b.WriteString("\n" + report.Wrap(`to note entries: vouchmark change note MARK… --by "NAME"; read each one first: by noting it a person vouches for it`, "", "  ", width))
	}
	_, err := io.WriteString(w, b.String())
	return err
}

// Note notes in the ledger that a person vouches for entries that were typed into changes.toml
// by hand, each named by its mark; and says what that does to the labels.
func (s *Site) Note(store *record.Store, tool, by string, marks []string) (*Effect, error) {
	by, err := answer("by", by, "name the person who vouches for the entries")
	if err != nil {
		return nil, err
	}
	var effect *Effect
	err = store.NoteAll(func(l *record.Ledger) ([]record.Line, error) {
		now := *s // under the lock: others may have noted since
		now.History = s.History.Noted(l.Notes())
		old, err := infile.Read(s.Folder, assess.ChangesFile, site.SizeLimit(assess.ChangesFile))
		if err != nil && !errors.Is(err, fs.ErrNotExist) {
			return nil, err
		}
		before, err := now.view(assess.ChangesFile, old)
		if err != nil {
			return nil, err
		}
		chosen, err := marked(before.Logged, marks)
		if err != nil {
			return nil, err
		}
		a := &added{name: "noted " + names(chosen)}
		notes := now.History.Notes
		var lines []record.Line
		for _, e := range chosen {
			line := logged(record.Noted, e, before.Logged.File.Entries, before.Logged.File.Entries, notes)
			line.Date, line.By, line.Tool = s.Today, by, tool
			lines, notes = append(lines, line), notes.With(line)
		}
		after, err := now.changed(before, old, now.History.Noted(notes))
		if err != nil {
			return nil, err
		}
		effect = newEffect(a, before, after)
		return lines, nil
	})
	return effect, err
}

// marked are the entries that a person names.
func marked(j *plant.Logged, marks []string) (all []*assess.Entry, err error) {
	for _, mark := range marks {
		var found []*plant.Unnoted
		for i := range j.Unnoted {
			if u := &j.Unnoted[i]; strings.HasPrefix(u.Sum, strings.ToLower(mark)) && len(mark) >= len(u.Mark()) {
				found = append(found, u)
			}
		}
		switch {
		case len(found) == 0:
			return nil, fmt.Errorf("no entry that the ledger does not note has the mark %q; vouchmark change note lists them", mark)
		case len(found) > 1 && found[0].Sum != found[1].Sum:
			return nil, fmt.Errorf("more than one entry begins with the mark %q: give more of its digits", mark)
		case found[0].Other:
			return nil, fmt.Errorf("%s has another text than the ledger notes of it, or of the change that it is about: restore that text; "+
				"then log what is new as another entry", found[0].Words())
		}
		if e := found[0].Entry; !slices.Contains(all, e) {
			all = append(all, e)
		}
	}
	return all, nil
}

// names name entries.
func names(all []*assess.Entry) string {
	var words []string
	for _, e := range all {
		words = append(words, e.Words())
	}
	return report.Few(words)
}
