// Package press plans and prints a job: which labels, in which order, on which
// stock, and which are refused and why.
package press

import (
	"cmp"
	"fmt"
	"reflect"
	"slices"
	"time"

	"vouchmark/assess"
	"vouchmark/assess/cores"
	"vouchmark/assess/near"
	"vouchmark/label"
	"vouchmark/label/plant"
	"vouchmark/label/record"
)

// Item is one thing to print and the record that vouches for it: a label, or the marking or
// the overlay that is set.
type Item struct {
	Record  *record.Record
	Code    record.Code
	Marking *label.Marking
	Overlay *label.Overlay

	look    *Look          // of a label
	refused *plant.Refusal // that the label is printed in spite of; nil for none
}

// Label is the label to print; nil for something else. It is worded again each time, since a
// job has more labels than should be in memory.
func (i *Item) Label() *label.Label {
	if i.look == nil {
		return nil
	}
	return i.look.compose(i.Record, i.Code, i.refused)
}

// danger reports whether it has the signal word DANGER.
func (i *Item) danger() bool { return i.Record.Signal == assess.Danger }

// interim reports whether a label carries the INTERIM strip.
func (i *Item) interim() bool { return i.look != nil && !i.look.Preview && i.refused != nil }

// preview reports whether it is drawn only to be looked at.
func (i *Item) preview() bool { return i.look != nil && i.look.Preview }

// Same reports whether both print the same.
func (i *Item) Same(o *Item) bool {
	return i.Code == o.Code && reflect.DeepEqual(i.Label(), o.Label()) &&
		reflect.DeepEqual(i.Marking, o.Marking) && reflect.DeepEqual(i.Overlay, o.Overlay)
}

// less is the order in which a person walks the plant: by area, then by id.
func less(a, b Item) int {
	x, y := a.Record.Location, b.Record.Location
	return cmp.Or(natural(x.Area, y.Area), natural(x.ID, y.ID))
}

// Refusal is a label that is not printed.
type Refusal struct {
	ID  string `json:"id"`
	Why string `json:"why"`
	Do  string `json:"do"` // what would clear it
	// FitsOn is the stock on which it fits, where it does not fit on the one that was chosen; else "".
	FitsOn string `json:"-"`
}

// Thing is what is printed.
type Thing string

// The things, as the command and the ledger write them.
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
	Nothing string // that nothing is to be printed, and why; else ""
}

// New plans the labels of a site, or the chosen ones, in walking order: by area,
// then by id. It judges the rows as they are now and refuses a label that does
// not hold, unless look asks for interim labels and nothing is known against its
// numbers. A place without a label is skipped; if it was named, it is refused.
func New(v *plant.Plant, choice Choice, look Look) (*Plan, error) {
	p, err := choice.plan(v, look, func(place *plant.Place, refused *plant.Refusal) bool {
		// A label in doubt is due even if only the strip differs from the last print.
		strip := refused != nil && look.overrides(refused) && place.Printed != nil && !place.Printed.Strip
		return place.Due() || strip
	})
	if err != nil {
		return nil, err
	}
	p.Nothing = choice.nothing(Labels)
	if n := choice.doubtful(v); n > 0 {
		p.Nothing += fmt.Sprintf(". Labels that do not hold: %d; ", n) +
			v.Text(assess.Remedy{Words: "{} lists why", Act: assess.ToCheck})
	}
	return p, nil
}

// plan plans labels. due says which are due, where those alone are asked for.
func (c *Choice) plan(v *plant.Plant, look Look, due func(*plant.Place, *plant.Refusal) bool) (*Plan, error) {
	if err := known(v, c.IDs, func(id string) bool { _, ok := v.Site.Location(id); return ok }); err != nil {
		return nil, err
	}
	chosen, err := c.of(areas(v))
	if err != nil {
		return nil, err
	}
	p := &Plan{}
	var places []*plant.Place     // to print
	var refusals []*plant.Refusal // of each, overridden; nil for none
	for i := range v.Places {
		place := &v.Places[i]
		id, named := place.ID(), chosen.named(place.ID())
		if !chosen.has(id, place.Assessment.Location.Area) {
			continue
		}
		if place.Assessment.Location.Unlabeled {
			if named {
				p.Refused = append(p.Refused, unlabeled(id))
			}
			continue
		}
		refusal := place.Refusal(named)
		if look.Preview {
			refusal = place.PreviewRefusal(named)
		}
		if c.Changed && !due(place, refusal) {
			continue
		}
		if refusal != nil && !look.overrides(refusal) {
			p.Refused = append(p.Refused, Refusal{ID: id, Why: refusal.Why, Do: v.Do(refusal)})
			continue
		}
		places, refusals = append(places, place), append(refusals, refusal)
	}
	p.Items = make([]Item, len(places))
	cores.Each(len(places), nil, func(i int) {
		r, code := places[i].Record, places[i].Code()
		p.Items[i] = Item{Record: r, Code: code, look: &look, refused: refusals[i]}
	})
	slices.SortStableFunc(p.Refused, func(a, b Refusal) int { return cmp.Compare(a.Do, b.Do) })
	slices.SortStableFunc(p.Items, less)
	return p, nil
}

// unlabeled refuses a place without a label.
func unlabeled(id string) Refusal {
	return Refusal{ID: id, Why: "it has no label (label = no in locations.csv)", Do: "to print one, clear that cell in its row"}
}

// known refuses ids that are not there.
func known(v *plant.Plant, only []string, there func(id string) bool) error {
	if unknown := slices.DeleteFunc(slices.Clone(only), there); len(unknown) > 0 {
		return &near.UnknownID{Flag: "only", IDs: unknown, Known: v.Known()}
	}
	return nil
}

// newest is the newest study date of the items. It is the only date in the
// document, so the same labels give the same bytes on any day.
func newest(items []Item) time.Time {
	var last assess.Date
	for _, i := range items {
		if last.Before(i.Record.Prepared) {
			last = i.Record.Prepared
		}
	}
	return last.Time()
}
