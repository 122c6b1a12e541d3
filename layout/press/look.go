package press

import (
	"vouchmark/label"
	"vouchmark/label/plant"
	"vouchmark/label/record"
)

// Look is how labels are presented, and whether they are printed where they do
// not hold.
type Look struct {
	label.Presentation
	Interim string // why labels are printed all the same; "" refuses them
	Ask     string // whom a worker asks about a label that does not hold
}

// overrides reports whether a refused label is printed with the strip.
func (l *Look) overrides(r *plant.Refusal) bool { return l.Interim != "" && r.Interim }

// compose words a label; one that was refused carries the strip.
func (l *Look) compose(r *record.Record, code record.Code, refused *plant.Refusal) *label.Label {
	made := label.Compose(r, code, l.Presentation)
	if refused != nil {
		made.MarkInterim(refused.Standing, l.Ask, l.Presentation)
	}
	return made
}
