// Package press is a print job: which labels, in which order, on which stock,
// and what is refused and why.
package press

import (
	"cmp"
	"fmt"
	"slices"
	"time"

	"vouchmark/assess"
	"vouchmark/assess/standing"
	"vouchmark/label"
	"vouchmark/label/record"
	"vouchmark/label/report"
	"vouchmark/layout"
)

// Item is one label to print and the record that vouches for it.
type Item struct {
	Record *record.Record
	Label  *label.Label
}

// Refusal is a label that is not printed.
type Refusal struct {
	ID  string `json:"id"`
	Why string `json:"why"`
	Do  string `json:"do"` // what would clear it
}

// Plan is what a print would make.
type Plan struct {
	Items   []Item
	Refused []Refusal
}

// UnknownError names ids that the site does not have.
type UnknownError struct{ IDs []string }

func (e *UnknownError) Error() string {
	return fmt.Sprintf("no location %q in this site; vouchmark check lists them", e.IDs)
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
		p.Items = append(p.Items, Item{r, label.Compose(r, place.Code, look)})
	}
	slices.SortStableFunc(p.Refused, func(a, b Refusal) int { return cmp.Compare(a.Do, b.Do) })
	slices.SortStableFunc(p.Items, func(a, b Item) int {
		return cmp.Or(natural(a.Label.Area, b.Label.Area), natural(a.Label.ID, b.Label.ID))
	})
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

// PDF draws the plan. A label that cannot stand on the stock is moved to the
// refused ones, and the others are drawn without it.
func (p *Plan) PDF(stock layout.Stock, start int) ([]byte, error) {
	for len(p.Items) > 0 {
		pdf, err := layout.PDF(p.job(stock, start))
		misfits := layout.Misfits(err)
		if misfits == nil {
			return pdf, err
		}
		p.refuse(misfits)
	}
	return nil, nil
}

func (p *Plan) refuse(misfits []*layout.FitError) {
	for _, m := range misfits {
		p.Items = slices.DeleteFunc(p.Items, func(i Item) bool { return i.Label.ID == m.ID })
		p.Refused = append(p.Refused, Refusal{m.ID, fmt.Sprintf("%s: %s", m.Field, m.Why),
			fmt.Sprintf("shorten %q, or take a larger stock", m.Text)})
	}
}

func (p *Plan) job(stock layout.Stock, start int) *layout.Job {
	j := &layout.Job{Stock: stock, Start: start, Date: p.newest(), Title: "Arc-flash labels"}
	for _, i := range p.Items {
		j.Labels = append(j.Labels, i.Label)
	}
	return j
}

// newest is the newest study date of the plan: the only date in the document,
// so that the same labels give the same bytes on every day.
func (p *Plan) newest() time.Time {
	var newest assess.Date
	for _, i := range p.Items {
		if d, err := assess.ParseDate(i.Record.Assessment.Prepared); err == nil && newest.Before(d) {
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
