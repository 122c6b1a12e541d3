package assess

import (
	"fmt"
	"math"
	"slices"
	"strings"
)

// motorAllowance is how much more fault current a location may state than another row
// of its zone: motors connected below contribute to a fault, about four to six times
// their full-load current (common practice; 10 % of the whole is a house choice).
const motorAllowance = 1.10

// exceeds reports whether a fault current is more than a bound, beyond the rounding of
// a sum.
func exceeds(fault KA, most float64) bool { return float64(fault) > most*(1+1e-9) }

// bounds holds, for each place, the largest fault current in kA that it can have by what
// the locations state and by nameplates; +Inf if unknown. What a place states is a bound
// for what comes through it.
type bounds struct {
	entering []float64 // what enters its zone, at all places together
	coming   []float64 // by its feeds and ties, if nothing comes back from below
}

func (w *wiring) bounds(stated []float64) *bounds {
	return &bounds{w.entering(stated), w.coming(stated)}
}

// most is the smaller bound of a place.
func (b *bounds) most(i int) float64 { return min(b.entering[i], b.coming[i]) }

// through is what can reach others through a place at which current enters.
func (w *wiring) through(i int, stated []float64) float64 {
	if !w.enters[i] {
		return 0
	}
	if stated[i] > 0 {
		return min(w.own[i], stated[i]*motorAllowance)
	}
	return w.own[i]
}

// entering gives for each place all that enters its zone.
func (w *wiring) entering(stated []float64) []float64 {
	sum, unknown := make([]float64, len(w.Up)), make([]bool, len(w.Up)) // of a zone, at its number
	for i, z := range w.zone {
		if t := w.through(i, stated); math.IsInf(t, 1) {
			unknown[z] = true
		} else {
			sum[z] += t
		}
	}
	all := make([]float64, len(w.Up))
	for i, z := range w.zone {
		switch {
		case unknown[z]:
			all[i] = math.Inf(1)
		case w.enters[i]: // what the place itself states is not a bound for it
			all[i] = sum[z] - w.through(i, stated) + w.own[i]
		default:
			all[i] = sum[z]
		}
	}
	return all
}

// coming gives for each place what comes to it by its feeds and ties. A feed that states
// no current passes on what comes to it.
func (w *wiring) coming(stated []float64) []float64 {
	all := make([]float64, len(w.Up))
	for _, group := range w.Groups { // what feeds comes first
		for _, v := range group {
			if w.OnLoop(v) || w.backfed[v] {
				all[v] = math.Inf(1)
				continue
			}
			all[v] = w.own[v]
			for _, u := range w.near[v].feeds {
				if stated[u] > 0 {
					all[v] += float64(stated[u] * motorAllowance)
				} else {
					all[v] += all[u]
				}
			}
			for _, o := range w.ties[v] {
				if stated[o] > 0 {
					all[v] += float64(stated[o] * motorAllowance)
				} else {
					all[v] = math.Inf(1)
				}
			}
		}
	}
	return all
}

// givers are the places that a bound depends on.
type givers struct {
	places []int
	rows   bool // what feeds or is tied to a place, not what enters its zone
}

// givers are those of the smaller bound of a place.
func (w *wiring) givers(i int, b *bounds) givers {
	if b.coming[i] > b.entering[i] {
		return givers{places: w.entrances[w.zone[i]]}
	}
	g := givers{rows: true}
	if w.near[i].plate {
		g.places = []int{i}
	}
	for _, o := range slices.Concat(w.near[i].feeds, w.ties[i]) {
		if !slices.Contains(g.places, o) {
			g.places = append(g.places, o)
		}
	}
	return g
}

// names lists the ids of places; of many only the first.
func (f *network) names(places []int) string {
	const most = 4
	var ids []string
	for _, i := range places[:min(len(places), most)] {
		ids = append(ids, f.site.Locations[i].ID)
	}
	if len(places) > most {
		ids[most-1] = fmt.Sprintf("%d others", len(places)-most+1)
	}
	if n := len(ids); n > 1 {
		return strings.Join(ids[:n-1], ", ") + " and " + ids[n-1]
	}
	return strings.Join(ids, "")
}
