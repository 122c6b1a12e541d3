package basis

import (
	"fmt"

	"vouchmark/assess"
	"vouchmark/label/report"
)

// Change is a change of the power system that reaches the location of a label,
// and whether it counts against the label.
type Change struct {
	Name   string      `json:"change"`
	Date   assess.Date `json:"date"`
	Kind   string      `json:"kind"`
	At     string      `json:"at"`
	By     string      `json:"by"`
	Note   string      `json:"note,omitempty"`
	Counts bool        `json:"counts"`
	Why    string      `json:"why"`
}

// Words tell what was changed.
func (c *Change) Words() string {
	s := c.Kind + " at " + c.At + report.After(", by ", c.By)
	if c.Note != "" {
		s += " (" + c.Note + ")"
	}
	return s
}

// changes words what the log says of the record's location. base is the day of
// which the study speaks.
func (h *Shelf) changes(b *View, base assess.Date) []Change {
	var all []Change
	for _, c := range b.touched.Changes {
		one := Change{Name: c.ID, Date: c.Date, Kind: c.Kind.Name, At: c.At, By: c.By, Note: c.Note}
		settled := h.settlement(c.ID, b.Record.Location.ID)
		switch {
		case c.Date.Before(base):
			one.Why = fmt.Sprintf("before the data of the study, which is of %s", base)
		case settled != nil:
			one.Why = fmt.Sprintf("settled on %s by %s: %s", settled.Date, settled.By, settled.Reason)
		default:
			one.Counts, one.Why = true, "puts this label in question"
		}
		all = append(all, one)
	}
	return all
}

// settlement is the first settlement of a change that holds for a location.
func (h *Shelf) settlement(change, location string) *assess.Settlement {
	for _, s := range h.settlements[change] {
		if s.Scope.Holds(location) {
			return s
		}
	}
	return nil
}

// Review is a review of the study that a label rests on.
type Review struct {
	Date    assess.Date  `json:"date"`
	By      string       `json:"by"`
	Finding assess.Finds `json:"finding"`
}

// reviews are those of a location until a day, oldest first.
func (h *Shelf) reviews(location string) []Review {
	var all []Review
	for i := range h.Site.Site.Log.Reviews {
		r := &h.Site.Site.Log.Reviews[i]
		if r.Scope.Holds(location) && !h.Site.Today.Before(r.Date) {
			all = append(all, Review{r.Date, r.By, r.Finding})
		}
	}
	return all
}
