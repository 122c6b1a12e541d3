package basis

import (
	"slices"

	"vouchmark/assess"
	"vouchmark/label/record"
	"vouchmark/label/report"
)

// Source is where the row of a case came from: a study file, its sheet and row,
// and what the ledger says about that file.
type Source struct {
	Case   string      `json:"case,omitempty"`
	Text   string      `json:"source"`         // as the record has it; "" where it has none
	File   string      `json:"file,omitempty"` // "" where the text names none
	Sheet  string      `json:"sheet,omitempty"`
	Row    int         `json:"row,omitempty"`
	SHA256 string      `json:"sha256,omitempty"`  // of the file, where the ledger knows it
	Taken  assess.Date `json:"taken_in,omitzero"` // the date on which it was taken in
	By     string      `json:"by,omitempty"`      // who took it in
	// Newer is the source of the row in locations.csv now, where that row has the
	// same facts from another source: the record stays, and so does its code.
	Newer *Source `json:"newer,omitempty"`
}

// sourceOf is the source that a text names.
func sourceOf(name, text string, studies map[string]*record.Study) Source {
	s := Source{Case: name, Text: text}
	from, ok := assess.ParseSource(text)
	if !ok {
		return s
	}
	s.File, s.Sheet, s.Row = from.File, from.Sheet, from.Row
	if k := studies[s.File]; k != nil && k.Taken != nil {
		s.SHA256, s.Taken, s.By = k.SHA256, k.Taken.Date, k.Taken.By
	}
	return s
}

// sources are those of a record's cases, and of the present row where that has
// the same facts; nil for none. Where all cases have one source, it is given
// once.
func sources(r *record.Record, row *assess.Location, studies map[string]*record.Study) []Source {
	var all []Source
	for i := range r.Location.Cases {
		c := &r.Location.Cases[i]
		s := sourceOf(c.Name, c.Source, studies)
		if row != nil {
			if now := row.CaseNamed(c.Name); now != nil && now.Source != "" && now.Source != c.Source {
				newer := sourceOf("", now.Source, studies)
				s.Newer = &newer
			}
		}
		if s.Text != "" || s.Newer != nil {
			all = append(all, s)
		}
	}
	same := func(s Source) bool {
		return s.Text == all[0].Text && (s.Newer == nil) == (all[0].Newer == nil) && (s.Newer == nil || s.Newer.Text == all[0].Newer.Text)
	}
	if len(all) == len(r.Location.Cases) && len(all) > 1 && !slices.ContainsFunc(all, func(s Source) bool { return !same(s) }) {
		all = all[:1]
		all[0].Case = ""
	}
	return all
}

// Items are the source for a person, followed by the newer one.
func (s *Source) Items() []Item {
	name := "Source" + report.After(", case ", s.Case)
	items := []Item{{name, s.words(), s.known()}}
	if s.Text == "" {
		items[0] = Item{name, "not noted", "the row had none when this label was first printed"}
	}
	if n := s.Newer; n != nil {
		items = append(items, Item{"Source of the row now" + report.After(", case ", s.Case), n.words(),
			"the row has the same facts from this source, so the record stays as it is; " + n.known()})
	}
	return items
}

// words are the file, the sheet and the row, or else the text as it was entered.
func (s *Source) words() string {
	if s.File == "" {
		return s.Text
	}
	return assess.Source{File: s.File, Sheet: s.Sheet, Row: s.Row}.Words()
}

// known says what the ledger says about the file.
func (s *Source) known() string {
	switch {
	case s.File == "":
		return "from the row; it does not name a file that was taken in"
	case s.SHA256 == "":
		return "the ledger does not name this file: nothing proves what it said"
	}
	return record.StudyPath(s.File) + ", taken in on " + s.Taken.String() + report.After(" by ", s.By) + ", SHA-256 " + s.SHA256
}
