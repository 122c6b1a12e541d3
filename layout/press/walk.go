package press

import (
	"slices"

	"vouchmark/label/record"
	"vouchmark/label/report"
	"vouchmark/layout"
)

// WalkRow is one stop of a walk through the plant to change labels.
type WalkRow struct {
	Area      string      `json:"area"`
	ID        string      `json:"id"`
	Equipment string      `json:"equipment"`
	Off       record.Code `json:"take_off,omitempty"` // the label that hangs there, if it is another
	On        record.Code `json:"put_on,omitempty"`   // the label that print would make now; "" where it is refused
}

// NewWalk lists all locations in walking order, with the code to take off and
// the code to put on. Where the newest printed label is the one that print
// would make now, the code to take off is that of the label before it.
func NewWalk(v *report.View, s *record.Store) ([]WalkRow, error) {
	l, err := s.Ledger()
	if err != nil {
		return nil, err
	}
	before := s.Before(l)
	var rows []WalkRow
	for i := range v.Places {
		p := &v.Places[i]
		at := p.Assessment.Location
		row := WalkRow{Area: at.Area, ID: at.ID, Equipment: at.Equipment, On: p.Code}
		if _, refused := refusal(p); refused {
			row.On = ""
		}
		for _, id := range before[at.ID] {
			if id.Code() != row.On {
				row.Off = id.Code()
			}
		}
		rows = append(rows, row)
	}
	slices.SortStableFunc(rows, func(a, b WalkRow) int {
		if c := natural(a.Area, b.Area); c != 0 {
			return c
		}
		return natural(a.ID, b.ID)
	})
	return rows, nil
}

// WalkPDF sets a walk on paper.
func WalkPDF(rows []WalkRow, v *report.View, paper layout.Paper) ([]byte, error) {
	w := &layout.Walk{Site: v.Site.Policy.Name, Date: v.Today.String(), Paper: paper}
	for _, r := range rows {
		w.Rows = append(w.Rows, layout.WalkRow{Area: r.Area, ID: r.ID, Equipment: r.Equipment, Off: string(r.Off), On: string(r.On)})
	}
	return layout.WritePages(layout.Document{Title: "Label walk", Language: "en", Date: v.Today.Time()}, layout.WalkPages(w))
}
