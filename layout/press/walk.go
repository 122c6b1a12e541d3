package press

import (
	"cmp"
	"slices"

	"vouchmark/label/plant"
	"vouchmark/label/record"
	"vouchmark/layout"
)

// WalkRow is one stop of a walk through the plant to change labels.
type WalkRow struct {
	Area      string      `json:"area"`
	ID        string      `json:"id"`
	Equipment string      `json:"equipment"`
	Off       record.Code `json:"take_off,omitempty"` // the label that is mounted there, if it is another
	On        record.Code `json:"put_on,omitempty"`   // the label that print would make now; "" where it is refused
	Overlay   bool        `json:"overlay,omitempty"`  // the overlay that was printed for the label there is to be put on it
}

// NewWalk lists all locations that carry a label in walking order, with the
// code to take off and the code to put on; also one that carries none any more,
// as long as a label was printed for it. Where the newest printed label is the
// one that print would make now, the code to take off is that of the label before
// it. A label that does not hold stays where an overlay was printed for it. Where
// there is nothing to take off or to put on, nobody has to go.
func NewWalk(v *plant.Plant) []WalkRow {
	var rows []WalkRow
	for i := range v.Places {
		p := &v.Places[i]
		at := p.Assessment.Location
		if at.Unlabeled && p.Printed == nil {
			continue
		}
		row := WalkRow{Area: at.Area, ID: at.ID, Equipment: at.Equipment, On: p.Code}
		if at.Unlabeled || p.Refusal(false) != nil {
			row.On = ""
		}
		switch {
		case p.Printed == nil:
		case row.On == "" && !p.Printed.Overlay.IsZero():
			row.Overlay = true
		default:
			row.Off = mounted(p.Printed, row.On)
		}
		if row.Off != "" || row.On != "" || row.Overlay {
			rows = append(rows, row)
		}
	}
	for i := range v.Unlisted {
		u := &v.Unlisted[i]
		row := WalkRow{ID: u.ID, Off: u.Printed.ID.Code()}
		if r := u.Printed.Record; r != nil {
			row.Area, row.Equipment = r.Location.Area, r.Location.Equipment
		}
		rows = append(rows, row)
	}
	slices.SortStableFunc(rows, func(a, b WalkRow) int { return cmp.Or(natural(a.Area, b.Area), natural(a.ID, b.ID)) })
	return rows
}

// mounted is the newest label of a location that differs from the one to put on.
func mounted(p *plant.Printed, on record.Code) record.Code {
	if p.ID.Code() != on {
		return p.ID.Code()
	}
	for i := len(p.Earlier) - 1; i >= 0; i-- {
		if c := p.Earlier[i].ID.Code(); c != on {
			return c
		}
	}
	return ""
}

// WalkPDF sets a walk on paper.
func WalkPDF(rows []WalkRow, v *plant.Plant, paper layout.Paper) ([]byte, error) {
	w := &layout.Walk{Site: v.Site.Policy.Name, Date: v.Today.String(), Paper: paper}
	for _, r := range rows {
		on := string(r.On)
		if r.Overlay {
			on = layout.WalkOverlay
		}
		w.Rows = append(w.Rows, layout.WalkRow{Area: r.Area, ID: r.ID, Equipment: r.Equipment, Off: string(r.Off), On: on})
	}
	document := layout.Document{Title: "Label walk", Language: "en", Date: v.Today.Time()}
	return layout.WritePages(document, layout.WalkPages(w))
}
