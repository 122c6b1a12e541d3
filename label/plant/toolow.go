package plant

import (
	"slices"

	"vouchmark/assess"
	"vouchmark/assess/standing"
)

// TooLow is a label for which changes gave more than it prints, and nobody accepted
// that.
type TooLow struct {
	ID        string
	Screening *standing.Screening
}

// AllTooLow lists those in a scope, in the order of locations.csv, then those of
// former ids.
func (p *Plant) AllTooLow(scope assess.Scope) []TooLow {
	var all []TooLow
	for i := range p.Places {
		place := &p.Places[i]
		if s := place.tooLow(); s != nil && scope.Holds(place.ID()) {
			all = append(all, TooLow{place.ID(), s})
		}
	}
	for _, l := range p.tooLowBefore() {
		if scope.Holds(l.ID) {
			all = append(all, l)
		}
	}
	return all
}

// TooLow lists those in a scope that a change reaches, and the other locations in
// the scope that it reaches.
func (p *Plant) TooLow(c *assess.Change, scope assess.Scope) (low []TooLow, others []string) {
	reached := map[string]bool{}
	for _, id := range standing.Reached(p.Site, c.At, c.Kind.Reach) {
		reached[id] = true
	}
	everywhere := len(reached) == 0 // it is no longer known where the place was
	all := p.AllTooLow(scope)
	for i := range p.Places {
		id := p.Places[i].ID()
		if _, told := c.New[id]; !scope.Holds(id) || !told && !everywhere && !reached[id] {
			continue
		}
		at := slices.IndexFunc(all, func(l TooLow) bool { return l.ID == id })
		switch {
		case at < 0:
			others = append(others, id)
		case !c.Date.Before(p.Places[i].oldest()):
			low = append(low, all[at])
		}
	}
	for _, l := range p.tooLowBefore() {
		if scope.Holds(l.ID) && slices.Contains(l.Screening.Changes, c.ID) {
			low = append(low, l)
		}
	}
	return low, others
}

// oldest is the day from which changes count for the last printed label or for the
// one that the row would print.
func (p *Place) oldest() assess.Date {
	day := p.Assessment.Location.Base()
	if p.Printed != nil && p.Printed.Record != nil {
		if d := p.Printed.Record.Location.Base(); d.Before(day) {
			day = d
		}
	}
	return day
}

// tooLow is the screening that is above what the last printed label says, else
// above what the row would print; nil for none.
func (p *Place) tooLow() *standing.Screening {
	if p.Printed != nil && p.Printed.Standing.Understated() {
		return p.Printed.Standing.Screening
	}
	if p.Row.Understated() {
		return p.Row.Screening
	}
	return nil
}
