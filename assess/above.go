package assess

import (
	"cmp"
	"slices"
)

// Feed is what the row of a place upstream of a location said when a label of the
// location's study was first printed: the study relies on it. A place has one for
// each case. For the location itself it is only the transformer's nameplate, with
// the day of its study.
type Feed struct {
	ID           string `json:"id"`
	Case         string `json:"case,omitempty"`
	Voltage      Volts  `json:"voltage_v,omitzero"`
	Fault        KA     `json:"fault_ka,omitzero"`
	Clear        MS     `json:"clear_ms,omitzero"`
	ClearReduced MS     `json:"clear_reduced_ms,omitzero"`
	Prepared     Date   `json:"prepared,omitzero"`
	// of the transformer at the place, with its first case; else not given
	KVA       float64 `json:"transformer_kva,omitzero"`
	Impedance float64 `json:"transformer_impedance_percent,omitzero"`
	Secondary Volts   `json:"transformer_secondary_v,omitzero"`
}

// mostAbove is how many places upstream of a location are noted, nearest first. No
// plant has a longer chain of feeds; noting one would make the records grow with
// the square of the plant.
const mostAbove = 100

// above finds what is upstream of each location of a site, along the paths on which
// changes travel down: feeds, ties from either side, and the places of the devices
// that clear the arc there.
type above struct {
	site   *Site
	index  map[string]int
	plates []*Transformer
	up     [][]int
	seen   []int // the number of the search in which a place was last met
	search int
}

func newAbove(f *network) *above {
	s := f.site
	a := &above{site: s, index: f.index, plates: f.plates, up: Ties(s, f.index), seen: make([]int, len(s.Locations))}
	for i := range s.Locations {
		for _, u := range known(s.Locations[i].FedFrom(), f.index) {
			if !slices.Contains(a.up[i], u) {
				a.up[i] = append(a.up[i], u)
			}
		}
	}
	return a
}

// again is the same for another goroutine.
func (a *above) again() *above {
	b := *a
	b.seen, b.search = make([]int, len(a.seen)), 0
	return &b
}

// of is what is noted about the places upstream of a location, by id and case.
func (a *above) of(i int) []Feed {
	l := &a.site.Locations[i]
	a.search++
	var queue []int
	meet := func(places []int) {
		for _, u := range places {
			if u != i && a.seen[u] != a.search && len(queue) < mostAbove {
				a.seen[u] = a.search
				queue = append(queue, u)
			}
		}
	}
	meet(a.up[i])
	meet(known(l.all(func(c *Case) []string { return []string{c.DeviceAt} }), a.index))
	for k := 0; k < len(queue); k++ {
		meet(a.up[queue[k]])
	}
	var all []Feed
	if a.plates[i] != nil {
		own := Feed{ID: l.ID, Prepared: l.prepared()}
		own.plate(a.plates[i])
		all = append(all, own)
	}
	for _, u := range queue {
		all = append(all, a.site.Locations[u].feeds(a.plates[u])...)
	}
	slices.SortStableFunc(all, func(x, y Feed) int { return cmp.Or(cmp.Compare(x.ID, y.ID), cmp.Compare(x.Case, y.Case)) })
	return all
}

// feeds is what is noted about a location for those below it.
func (l *Location) feeds(plate *Transformer) []Feed {
	all := make([]Feed, len(l.Cases))
	for i := range all {
		c := &l.Cases[i]
		all[i] = Feed{ID: l.ID, Case: c.Name, Voltage: l.Voltage, Fault: c.Fault, Clear: c.Clear,
			ClearReduced: c.ClearReduced, Prepared: c.Prepared}
	}
	if len(all) > 0 {
		all[0].plate(plate)
	}
	return all
}

func (f *Feed) plate(t *Transformer) {
	if t != nil {
		f.KVA, f.Impedance, f.Secondary = t.KVA, t.ImpedancePercent, t.Secondary
	}
}

// Upstream is a place upstream of a location as its record notes it.
type Upstream struct {
	*Location             // with only what a Feed says
	Plate     Transformer // zero for none
}

// Above returns the places that a location's record notes, in the order of their ids.
func (in *Inputs) Above() []Upstream {
	var all []Upstream
	for _, f := range in.Feeds {
		if n := len(all); n == 0 || all[n-1].ID != f.ID {
			all = append(all, Upstream{&Location{ID: f.ID, Voltage: f.Voltage},
				Transformer{At: f.ID, KVA: f.KVA, ImpedancePercent: f.Impedance, Secondary: f.Secondary}})
		}
		l := all[len(all)-1].Location
		l.Cases = append(l.Cases, Case{Name: f.Case, Fault: f.Fault, Clear: f.Clear, ClearReduced: f.ClearReduced,
			Prepared: f.Prepared})
	}
	return all
}
