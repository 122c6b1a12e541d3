package assess

import (
	"math"
	"slices"

	"vouchmark/assess/feeds"
	"vouchmark/assess/shock"
)

// wiring is what feeds what, and what is tied, in one condition. Fault current flows
// both ways, so connected places of one voltage and kind of supply are a zone, and
// current enters a zone at some of them: through a transformer, from a source, or from
// an unknown feed.
type wiring struct {
	*feeds.Graph // its Up are the feeds that are locations
	ties         [][]int
	blind        []bool // a feed or a tie of the place is not known
	near         []nearness
	zone         []int
	enters       []bool
	// own is the most that enters at a place, in kA: by a nameplate; +Inf if unknown, 0
	// if none enters.
	own []float64
	// backfed places may get current from what they feed: something below them in the
	// zone has another path to a source.
	backfed []bool
	// entrances lists, by the number of a zone, the places at which current enters.
	entrances [][]int
}

// nearness is the relation of a place to what feeds it.
type nearness struct {
	plate bool  // its feed has the nameplate
	feeds []int // those in the same zone
}

// wire is the network with the given case at each location.
func (f *network) wire(at []int) *wiring {
	n := len(at)
	w := &wiring{ties: make([][]int, n), blind: make([]bool, n), near: make([]nearness, n), enters: make([]bool, n),
		own: make([]float64, n), backfed: make([]bool, n)}
	up := make([][]int, n)
	for i, k := range at {
		l := &f.site.Locations[i]
		if len(l.Cases) == 0 {
			continue
		}
		c := &l.Cases[k]
		up[i] = known(c.FedFrom, f.index)
		join(w.ties, i, known(c.TiedTo, f.index))
		w.blind[i] = l.FeedsUnknown() || slices.ContainsFunc(slices.Concat(c.FedFrom, c.TiedTo), f.unknown)
	}
	w.Graph = feeds.New(up)
	f.zones(w)
	return w
}

// unknown reports whether an id is not that of a location.
func (f *network) unknown(id string) bool {
	_, ok := f.index[id]
	return !ok
}

// same reports whether two places have one voltage and kind of supply.
func (f *network) same(i, o int) bool {
	a, b := &f.site.Locations[i], &f.site.Locations[o]
	return sameVoltage(a.Voltage, b.Voltage) && a.Supply == b.Supply
}

// zones finds where current enters each zone.
func (f *network) zones(w *wiring) {
	inner, tied := make([][]int, len(w.Up)), make([][]int, len(w.Up))
	for i := range w.Up {
		l, near := &f.site.Locations[i], &w.near[i]
		t := f.plates[i]
		near.plate = t != nil && t.Secondary == l.Voltage && l.Supply == shock.AC3
		foreign := false
		for _, u := range w.Up[i] {
			if f.same(i, u) {
				near.feeds = append(near.feeds, u)
			} else {
				foreign = true
			}
		}
		if near.plate && !foreign {
			near.feeds = nil // a one-to-one transformer: its feed is the primary
		}
		strange := w.blind[i]
		for _, o := range w.ties[i] {
			if f.same(i, o) {
				tied[i] = append(tied[i], o)
			} else {
				strange = true // it is not known what such a tie lets through
			}
		}
		// A place without feeds supplies current, unless it is fed
		// in another case and by a tie in this one.
		root := len(w.Up[i]) == 0 && (len(w.ties[i]) == 0 || len(l.FedFrom()) == 0)
		w.enters[i] = near.plate || foreign || root || f.source[i] || strange
		switch {
		case !w.enters[i]:
		case near.plate && !strange:
			w.own[i] = f.plates[i].most()
		default:
			w.own[i] = math.Inf(1)
		}
		inner[i] = near.feeds
	}
	w.zone = feeds.Parts(len(w.Up), inner, tied)
	w.entrances = make([][]int, len(w.Up))
	for i, z := range w.zone {
		if w.enters[i] {
			w.entrances[z] = append(w.entrances[z], i)
		}
	}
	for _, group := range slices.Backward(w.Groups) { // what is fed comes first
		for _, v := range group {
			for _, u := range inner[v] {
				if w.backfed[v] || len(w.Up[v]) > 1 || len(w.ties[v]) > 0 || w.enters[v] {
					w.backfed[u] = true
				}
			}
		}
	}
}
