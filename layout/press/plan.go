// Package press is a print job: which labels, in which order, on which stock,
// and what is refused and why.
package press

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"time"

	"vouchmark/assess"
	"vouchmark/assess/standing"
	"vouchmark/label"
	"vouchmark/label/record"
	"vouchmark/label/report"
)

// Item is one thing to print and the record that vouches for it. Of the last
// three, the one that the plan's Thing names is set.
type Item struct {
	Record  *record.Record
	Code    record.Code
	Label   *label.Label
	Marking *label.Marking
	Overlay *label.Overlay
}

// less is the order in which a person walks the plant: by area, then by id.
func less(a, b Item) int {
	x, y := a.Record.Row(), b.Record.Row()
	return cmp.Or(natural(x.Area, y.Area), natural(x.ID, y.ID))
}

// Refusal is a label that is not printed.
type Refusal struct {
	ID  string `json:"id"`
	Why string `json:"why"`
	Do  string `json:"do"` // what would clear it
}

// Thing is what is printed.
type Thing string

// The things, as the command and the ledger spell them.
const (
	Labels   Thing = ""
	Markings Thing = "fault"   // available fault current markings
	Overlays Thing = "overlay" // strips over labels that do not hold
)

// Plan is what a print would make.
type Plan struct {
	Thing   Thing
	Items   []Item
	Refused []Refusal
}

// UnknownError names ids that the site does not have.
type UnknownError struct{ IDs []string }

func (e *UnknownError) Error() string {
	return fmt.Sprintf("no location or printed label %s in this site; ids are spelt as in locations.csv, capitals included", strings.Join(e.IDs, ", "))
}

// New plans the labels of a site, or of those in only where it is not empty,
// in the order in which a person walks the plant: by area, then by id. What
// has an error finding or has lapsed is refused.
func New(v *report.View, only []string, look label.Presentation) (*Plan, error) {
	if err := known(v, only); err != nil {
		return nil, err
	}
	p := &Plan{}
	for i := range v.Places {
		place := &v.Places[i]
		id := place.Assessment.Location.ID
		if len(only) > 0 && !slices.Contains(only, id) {
			continue
		}
		if r, refused := refusal(place); refused {
			p.Refused = append(p.Refused, r)
			continue
		}
		r := record.New(place.Assessment, v.Site)
		p.Items = append(p.Items, Item{Record: r, Code: place.Code, Label: label.Compose(r, place.Code, look)})
	}
	slices.SortStableFunc(p.Refused, func(a, b Refusal) int { return cmp.Compare(a.Do, b.Do) })
	slices.SortStableFunc(p.Items, less)
	return p, nil
}

func known(v *report.View, only []string) error {
	var unknown []string
	for _, id := range only {
		if _, ok := v.Site.Location(id); !ok {
			unknown = append(unknown, id)
		}
	}
	if unknown != nil {
		return &UnknownError{unknown}
	}
	return nil
}

func refusal(p *report.Place) (Refusal, bool) {
	id := p.Assessment.Location.ID
	for _, f := range p.Assessment.Findings {
		if f.Level == assess.Error {
			return Refusal{id, f.Field + ": " + f.Message, "correct it in locations.csv; vouchmark check lists every finding"}, true
		}
	}
	if p.Standing.Status == standing.Lapsed {
		return Lapsed(id, p.Standing), true
	}
	return Refusal{}, false
}

// Lapsed is the refusal of a label whose study is too old.
func Lapsed(id string, s standing.Standing) Refusal {
	return Refusal{id, fmt.Sprintf("lapsed since %s: %s", s.Reasons[0].Since, s.Reasons[0].Detail),
		"it prints again when a newer study is in locations.csv"}
}

// newest is the newest study date of records: the only date in the document,
// so that the same labels give the same bytes on every day.
func newest(records []*record.Record) time.Time {
	var newest assess.Date
	for _, r := range records {
		if d, err := assess.ParseDate(r.Assessment.Prepared); err == nil && newest.Before(d) {
			newest = d
		}
	}
	return newest.Time()
}

// Records are the records of the plan, in print order.
func (p *Plan) Records() []*record.Record {
	all := make([]*record.Record, len(p.Items))
	for i := range p.Items {
		all[i] = p.Items[i].Record
	}
	return all
}
