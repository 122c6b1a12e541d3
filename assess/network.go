package assess

import (
	"maps"
	"math"
	"slices"
	"strings"

	"vouchmark/assess/feeds"
)

// A site's locations as a network of feeds and ties, and what the other rows say
// about each row.
//
//	network.go            the operating conditions, and one pass over each
//	network_wiring.go     feeds and ties of one condition
//	network_bound.go      the largest fault current that a place can have
//	network_limited.go    sources that give little fault current
//	network_feeds.go      findings: names, loops, locations without a feed
//	network_device.go     findings: the device, and what is upstream
//	network_transformer.gonameplates

// Conditions. Cases of the same name at several locations are one operating condition
// of the plant, in which those rows are true together. A location without a case of
// that name is in its usual case: the unnamed one, else the one called normal, else
// its first in normal mode. A site has a condition for each case name of locations
// with several cases, and the usual one. A loop in any condition is a loop. A row with
// the name of a condition is judged in that one. Any other row is judged in all
// conditions in which it is true, for it describes the worst of them, with the device
// and the current of that one:
//
//   - a device is upstream if it is so in one of them;
//   - the fault current that it may state is the largest over them.

// in is the number of a location's case in a condition.
func (l *Location) in(condition string) int {
	first, normal := -1, -1
	for i := range l.Cases {
		switch c := &l.Cases[i]; {
		case c.Name == condition:
			return i
		case c.Name == "":
			normal = i
		case normal < 0 && strings.EqualFold(c.Name, "normal"):
			normal = i
		case first < 0 && !c.Maintenance:
			first = i
		}
	}
	if normal >= 0 {
		return normal
	}
	return max(first, 0)
}

// network is a site's locations, and what is known about each from the others.
type network struct {
	site   *Site
	index  map[string]int
	cases  []Cases        // of each location
	most   []KA           // largest stated fault current of each location; 0 for none
	plates []*Transformer // of each location; nil for none
	source []bool         // among the site's sources
	tied   []bool         // a tie connects it to something
	speaks *speaking

	loops []*loop  // of each location; nil for none
	rows  [][]seen // of each location and case
}

// seen is what the other rows say about a row, over the conditions in which it is true.
type seen struct {
	device  upstream
	tried   *wiring // in which the device was last looked for
	most    float64 // largest possible fault current in kA; +Inf: not known
	givers  givers  // of that, if the row states more
	limited int     // the limited source that feeds it; none for none
}

// none is the index of no place.
const none = -1

func newNetwork(s *Site) *network {
	n := len(s.Locations)
	f := &network{site: s, index: s.Index(), cases: make([]Cases, n), most: make([]KA, n), plates: make([]*Transformer, n), source: make([]bool, n),
		tied: make([]bool, n), speaks: newSpeaking(s), loops: make([]*loop, n), rows: make([][]seen, n)}
	for i := range s.Policy.Transformers {
		if at, ok := f.index[s.Policy.Transformers[i].At]; ok {
			f.plates[at] = &s.Policy.Transformers[i]
		}
	}
	for _, id := range s.Policy.Sources {
		if at, ok := f.index[id]; ok {
			f.source[at] = true
		}
	}
	for i, ties := range Ties(s, f.index) {
		f.tied[i] = len(ties) > 0
	}
	for i := range s.Locations {
		f.cases[i], f.most[i] = s.Locations[i].ByName(), s.Locations[i].largestFault()
		f.rows[i] = make([]seen, len(s.Locations[i].Cases))
		for k := range f.rows[i] {
			f.rows[i][k] = seen{most: math.Inf(-1), limited: none}
		}
	}
	f.conditions()
	return f
}

// conditions looks at the network in each condition. Conditions that differ from the
// usual one only in numbers, and not in feeds and ties, share its wiring.
func (f *network) conditions() {
	locations := f.site.Locations
	usual := make([]int, len(locations))
	type having struct{ location, number int }
	named := map[string][]having{"": nil} // which locations have a case of a name, among others
	for _, name := range f.site.Conditions {
		named[name] = nil
	}
	for i := range locations {
		l := &locations[i]
		usual[i] = l.in("")
		for k := range l.Cases {
			if len(l.Cases) > 1 {
				named[l.Cases[k].Name] = append(named[l.Cases[k].Name], having{i, k})
			}
		}
	}
	most := make([]float64, len(locations))
	for i := range most {
		most[i] = float64(f.most[i])
	}
	base := f.wire(usual)
	limitedUsually := f.limited(base, usual)
	f.findLoops("", base)
	for _, name := range slices.Sorted(maps.Keys(named)) {
		at, w, stated, limited := slices.Clone(usual), base, slices.Clone(most), limitedUsually
		for _, h := range named[name] {
			i := h.location
			at[i] = h.number
			stated[i] = float64(f.faultIn(i, name))
			a, b := &locations[i].Cases[at[i]], &locations[i].Cases[usual[i]]
			if !slices.Equal(a.FedFrom, b.FedFrom) || !slices.Equal(a.TiedTo, b.TiedTo) {
				w = nil
			}
			if f.speaks.note[i][at[i]] != f.speaks.note[i][usual[i]] {
				limited = nil
			}
		}
		if w == nil {
			w, limited = f.wire(at), nil
			f.findLoops(name, w)
		}
		if limited == nil {
			limited = f.limited(w, at)
		}
		for i, k := range at {
			if len(locations[i].Cases) == 0 {
				at[i] = none
			} else if own := locations[i].Cases[k].Name; own != "" && own != name {
				if _, ok := named[own]; ok { // it is judged in its own condition
					at[i] = none
				}
			}
		}
		f.look(at, w, stated, limited)
	}
}

// look notes what the network in one condition says about the rows judged in it; none
// for none.
func (f *network) look(at []int, w *wiring, stated []float64, limited []int) {
	f.findDevices(at, w)
	b := w.bounds(stated)
	for i, k := range at {
		if k == none {
			continue
		}
		r, c := &f.rows[i][k], &f.site.Locations[i].Cases[k]
		if r.limited == none {
			r.limited = limited[i]
		}
		if most := b.most(i); most > r.most {
			if r.most = most; exceeds(c.Fault, most) {
				r.givers = w.givers(i, b)
			}
		}
	}
}

// faultIn is the fault current that a location states in a condition: from the case of
// that name, else the largest over its cases; 0 for none.
func (f *network) faultIn(location int, condition string) KA {
	if c := f.cases[location].Named(condition); c != nil && c.Fault > 0 {
		return c.Fault
	}
	return f.most[location]
}

// largestFault is the largest fault current over the cases.
func (l *Location) largestFault() KA {
	var most KA
	for i := range l.Cases {
		most = max(most, l.Cases[i].Fault)
	}
	return most
}

// caseWords names a row's case at the beginning of a message, if its location has
// several.
func (l *Location) caseWords(c *Case) string {
	switch {
	case len(l.Cases) < 2:
		return ""
	case c.Name == "":
		return "in the case without a name: "
	}
	return "in case " + c.Name + ": "
}

// Feeds is the graph of a site's feeds over all cases, its places numbered like the
// locations. Feeds that are not locations are left out.
func Feeds(s *Site, index map[string]int) *feeds.Graph {
	up := make([][]int, len(s.Locations))
	for i := range s.Locations {
		up[i] = known(s.Locations[i].FedFrom(), index)
	}
	return feeds.New(up)
}

// FeedsIn gives for each place what feeds it in one operating condition.
func FeedsIn(s *Site, index map[string]int, condition string) [][]int {
	up := make([][]int, len(s.Locations))
	for i := range s.Locations {
		if l := &s.Locations[i]; len(l.Cases) > 0 {
			up[i] = known(l.Cases[l.in(condition)].FedFrom, index)
		}
	}
	return up
}

// Ties gives for each place what a tie connects it to in any case, whichever side
// names it.
func Ties(s *Site, index map[string]int) [][]int {
	ties := make([][]int, len(s.Locations))
	for i := range s.Locations {
		join(ties, i, known(s.Locations[i].TiedTo(), index))
	}
	return ties
}

// known returns the numbers of those ids that are locations.
func known(ids []string, index map[string]int) []int {
	var all []int
	for _, id := range ids {
		if i, ok := index[id]; ok && !slices.Contains(all, i) {
			all = append(all, i)
		}
	}
	return all
}

// join ties a place with others, on both sides.
func join(ties [][]int, i int, others []int) {
	for _, o := range others {
		if o == i {
			continue
		}
		for _, pair := range [2][2]int{{i, o}, {o, i}} {
			if !slices.Contains(ties[pair[0]], pair[1]) {
				ties[pair[0]] = append(ties[pair[0]], pair[1])
			}
		}
	}
}
