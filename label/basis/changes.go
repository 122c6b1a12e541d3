package basis

import (
	"fmt"
	"slices"

	"vouchmark/assess"
	"vouchmark/label/record"
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
	Role   record.Role `json:"role,omitempty"` // of who signed in; "" where the name was typed
	Note   string      `json:"note,omitempty"`
	Counts bool        `json:"counts"`
	Why    string      `json:"why"`
}

// Words say what was changed.
func (c *Change) Words() string {
	s := c.Kind + " at " + c.At + report.After(", by ", c.Role.With(c.By))
	if c.Note != "" {
		s += " (" + c.Note + ")"
	}
	return s
}

// changes words what the log says about the location of a record. held are the
// changes whose settlement does not count.
func (h *Shelf) changes(touched []*assess.Change, l *assess.Location, held []string) []Change {
	var all []Change
	base := l.Base() // the date of the study's data
	for _, c := range touched {
		one := Change{Name: c.ID, Date: c.Date, Kind: c.Kind.Name, At: c.At, By: c.By, Role: h.role(c.Sum), Note: c.Note}
		settled := h.settlement(c.ID, l.ID)
		switch {
		case c.Date.Before(base):
			one.Why = fmt.Sprintf("before the study's data, which are from %s", base)
		case slices.Contains(held, c.ID):
			one.Counts, one.Why = true, "puts this label in question"
			if settled != nil {
				one.Why += ": " + h.settledWords(settled) + "; that does not count, " +
					"since the new values exceed what the label prints"
			}
		case settled != nil:
			one.Why = h.settledWords(settled)
		default:
			one.Counts, one.Why = true, "puts this label in question"
		}
		all = append(all, one)
	}
	return all
}

// role is the role of who added an entry of the log, by its sum; "" where that is not known.
func (h *Shelf) role(sum string) record.Role { return h.Site.History.Notes.Role(sum) }

// settledWords describe a settlement.
func (h *Shelf) settledWords(s *assess.Settlement) string {
	return fmt.Sprintf("settled on %s by %s: %s", s.Date, h.role(s.Sum).With(s.By), s.Reason) +
		report.After("; against its screening: ", s.AgainstScreening)
}

// settlement is the settlement of a change that covers a location: one against
// its screening, else the first one.
func (h *Shelf) settlement(change, location string) *assess.Settlement {
	var first *assess.Settlement
	for _, s := range h.settlements[change] {
		switch {
		case !s.Scope.Holds(location):
		case s.AgainstScreening != "":
			return s
		case first == nil:
			first = s
		}
	}
	return first
}

// Review is a review of the study that a label rests on.
type Review struct {
	Date    assess.Date  `json:"date"`
	By      string       `json:"by"`
	Role    record.Role  `json:"role,omitempty"` // see [Change]
	Finding assess.Finds `json:"finding"`
	Reason  string       `json:"reason,omitempty"` // older entries have none
}

// Words describe a review, without its date.
func (r *Review) Words() string {
	return "the study was reviewed by " + r.Role.With(r.By) + " and found " + string(r.Finding) + report.After(": ", r.Reason)
}

// reviews are those of a location up to today, oldest first.
func (h *Shelf) reviews(location string) []Review {
	var all []Review
	for i := range h.Site.Site.Log.Reviews {
		r := &h.Site.Site.Log.Reviews[i]
		if r.Scope.Holds(location) && !h.Site.Today.Before(r.Date) {
			all = append(all, Review{r.Date, r.By, h.role(r.Sum), r.Finding, r.Reason})
		}
	}
	return all
}
