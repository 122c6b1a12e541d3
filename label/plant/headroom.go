package plant

import (
	"vouchmark/assess/cores"
	"vouchmark/assess/standing"
	"vouchmark/label/record"
)

// MeasureHeadroom fills in the headroom of every place, on all cores: with a
// clearing curve it takes a thousand evaluations for each.
func (p *Plant) MeasureHeadroom() {
	cores.Each(len(p.Places), p.Site.Progress, func(i int) { p.Places[i].Headroom = p.headroom(&p.Places[i]) })
}

// headroom is that of the last printed label, else of the one that would be printed.
func (p *Plant) headroom(place *Place) standing.Headroom {
	if place.Printed != nil && place.Printed.Record != nil {
		return p.HeadroomOf(place.Printed.Record)
	}
	a := place.Assessment
	switch {
	case a.Location.Unlabeled:
		return standing.Headroom{WhyNot: "this place has no label (label = no)"}
	case len(a.Location.Unreadable) > 0:
		return standing.Headroom{WhyNot: "a cell of the row cannot be read"}
	}
	return standing.HeadroomOf(p.ratings.Own(&a.Inputs), a.Energy)
}

// HeadroomOf is the headroom of a record's label.
func (p *Plant) HeadroomOf(r *record.Record) standing.Headroom {
	return standing.HeadroomOf(p.ratings.Own(&r.Inputs), r.Energy)
}
