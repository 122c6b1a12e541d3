package assess

import (
	"cmp"
	"encoding/binary"
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
	noted  map[string][]Feed // by the places upstream, in the order in which they are met
	key    []byte
}

func newAbove(f *network) *above {
	s := f.site
	a := &above{site: s, index: f.index, plates: f.plates, up: Ties(s, f.index), seen: make([]int, len(s.Locations)),
		noted: map[string][]Feed{}}
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
	b.seen, b.search, b.noted, b.key = make([]int, len(a.seen)), 0, map[string][]Feed{}, nil
	return &b
}

// of is what is noted about the places upstream of a location, by id and case. Locations with
// the same places upstream share it.
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
	if a.plates[i] != nil {
		return a.note(queue, i)
	}
	a.key = a.key[:0]
	for _, u := range queue {
		a.key = binary.AppendUvarint(a.key, uint64(u))
	}
	all, known := a.noted[string(a.key)]
	if !known {
		all = a.note(queue, none)
		a.noted[string(a.key)] = all
	}
	return all
}

// note is what is noted about places, and about the transformer at another one.
func (a *above) note(places []int, own int) []Feed {
	var all []Feed
	if own != none {
		l := &a.site.Locations[own]
		all = append(all, Feed{ID: l.ID, Prepared: l.prepared()})
		all[0].plate(a.plates[own])
	}
	n := len(all)
	for _, u := range places {
		n += len(a.site.Locations[u].Cases)
	}
	all = slices.Grow(all, n)
	for _, u := range places {
		all = a.site.Locations[u].feeds(all, a.plates[u])
	}
	slices.SortStableFunc(all, func(x, y Feed) int { return cmp.Or(cmp.Compare(x.ID, y.ID), cmp.Compare(x.Case, y.Case)) })
	return all
}

// feeds adds what is noted about a location for those below it.
func (l *Location) feeds(to []Feed, plate *Transformer) []Feed {
	for i := range l.Cases {
		c := &l.Cases[i]
		f := Feed{ID: l.ID, Case: c.Name, Voltage: l.Voltage, Fault: c.Fault, Clear: c.Clear,
			ClearReduced: c.ClearReduced, Prepared: c.Prepared}
		if i == 0 {
			f.plate(plate)
		}
		to = append(to, f)
	}
	return to
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
