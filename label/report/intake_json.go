package report

import (
	"errors"

	"vouchmark/assess"
	"vouchmark/assess/intake"
	"vouchmark/assess/site"
)

type intakeColumnJSON struct {
	Heading   string           `json:"heading"`
	Column    *string          `json:"column"` // of locations.csv, or something that is only compared; null if it is not read
	Unit      string           `json:"unit,omitempty"`
	Certainty intake.Certainty `json:"certainty"`
	Why       string           `json:"why,omitempty"`
	Perhaps   []string         `json:"perhaps,omitempty"`
	Samples   []string         `json:"samples"`
}

type intakeLabelJSON struct {
	ID      string  `json:"id"`
	Ready   bool    `json:"ready"`
	Refused *string `json:"refused"`
}

// IntakeJSON is the intake for a program.
func IntakeJSON(i *Intake) any {
	s := i.Study
	columns := []intakeColumnJSON{}
	for k := range s.Columns {
		c := &s.Columns[k]
		one := intakeColumnJSON{Heading: c.Heading, Certainty: intake.Unknown, Why: c.Why, Perhaps: c.Perhaps, Samples: c.Samples}
		if len(c.Means) == 0 {
			columns = append(columns, one)
		}
		for j := range c.Means {
			m := &c.Means[j]
			of := one
			of.Column, of.Certainty, of.Why = &m.Name, m.Certainty, m.Why
			if m.Kind == assess.Quantity {
				of.Unit = m.Unit.Symbol()
			}
			columns = append(columns, of)
		}
	}
	out := map[string]any{
		"file": s.File, "sheet": s.Sheet, "encoding": s.Book.Encoding, "notes": orEmpty(s.Book.Notes),
		"heading_rows": s.Heading.Rows, "unit_row": s.Heading.Units, "rows": len(s.Rows), "columns": columns,
		"left_out": orEmpty(s.Left), "filled_down": orEmpty(s.Filled), "converted": orEmpty(s.Converted),
		"missing": orEmpty(s.Missing), "questions": orEmpty(s.Questions),
		"feeds":   map[string]any{"found": orEmpty(s.Feeds.Found), "unnamed": orEmpty(s.Feeds.Unnamed)},
		"differs": orEmpty(i.Differs), "ppe": orEmpty(i.Pairs), "stored_as": i.Stored,
		"written": orEmpty(i.Written), "already": i.Already,
	}
	if bad := (site.Problems)(nil); errors.As(i.Problems, &bad) {
		out["problems"] = bad
	}
	if l := i.Locations; l != nil {
		out["locations"] = map[string]any{"new": orEmpty(l.New), "stay": orEmpty(l.Stay), "dropped": orEmpty(l.Dropped),
			"kept_columns": orEmpty(l.Kept), "emptied_columns": orEmpty(l.Emptied), "unmatched_cases": orEmpty(l.Unmatched)}
	}
	if i.After != nil {
		labels := []intakeLabelJSON{}
		for k := range i.After.Places {
			p := &i.After.Places[k]
			one := intakeLabelJSON{ID: p.ID(), Ready: true}
			if r := p.PreviewRefusal(false); r != nil {
				one.Ready, one.Refused = false, &r.Why
			}
			labels = append(labels, one)
		}
		out["labels"] = labels
	}
	if i.Restudy != nil {
		out["restudy"] = RestudyJSON(i.Restudy)
	}
	return out
}

// orEmpty turns a nil list into an empty one: [] in JSON.
func orEmpty[T any](list []T) []T {
	if list == nil {
		return []T{}
	}
	return list
}
