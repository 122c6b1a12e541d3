package assess

import (
	"slices"
	"strings"

	"vouchmark/assess/feeds"
)

// motorAllowance is how much more fault current than upstream a location may
// state before it is a caution: motors connected below feed into a fault, some
// four to six times their full-load current (common practice; the figure of
// 10 % of the whole is a house choice).
const motorAllowance = 1.10

// network is a site's locations as a graph of feeds.
type network struct {
	*feeds.Graph
	site         *Site
	index        map[string]int
	loops, below map[int][]int // see feeds.Graph.Loops
	nameplates   map[string]*Transformer
}

func newNetwork(s *Site) *network {
	f := &network{site: s, index: s.Index(), nameplates: map[string]*Transformer{}}
	f.Graph = Feeds(s, f.index)
	f.loops, f.below = f.Loops()
	for i := range s.Policy.Transformers {
		f.nameplates[s.Policy.Transformers[i].At] = &s.Policy.Transformers[i]
	}
	return f
}

// Feeds is the graph of a site's feeds, its places numbered as its locations.
// Feeds that name no location are left out.
func Feeds(s *Site, index map[string]int) *feeds.Graph {
	up := make([][]int, len(s.Locations))
	for i := range s.Locations {
		for _, id := range s.Locations[i].FedFrom() {
			if j, ok := index[id]; ok {
				up[i] = append(up[i], j)
			}
		}
	}
	return feeds.New(up)
}

// check adds the findings that need the other locations.
func (f *network) check(a *Assessment) {
	l := a.Location
	line := l.Cases[0].Line
	for _, id := range l.FedFrom() {
		if _, ok := f.index[id]; !ok {
			a.errorf(line, UnknownFeed, "fed_from", "%q is not a location of this site; correct the feed, or add a row for it", id)
		}
	}
	for _, c := range l.Cases {
		if _, ok := f.index[c.DeviceAt]; !ok && c.DeviceAt != "" {
			a.errorf(c.Line, UnknownPlace, "device_at", "%q is not a location of this site; name the location in which %s stands, "+
				"or add a row for it", c.DeviceAt, c.deviceName())
		}
	}
	i := f.index[l.ID]
	if loop, ok := f.loops[i]; ok {
		a.errorf(line, FeedLoop, "fed_from", "the feeds go round in a loop: %s; one of them is wrong", f.names(loop, i))
		return // what stands upstream is not known
	}
	if loop, ok := f.below[i]; ok {
		a.errorf(line, FeedLoop, "fed_from", "only a loop of feeds leads here: %s; one of them is wrong", f.names(loop, loop[0]))
		return
	}
	if a.Fault.Value == 0 {
		return // there is nothing to compare
	}
	f.checkTransformers(a)
	if source, most := f.sourceFault(i); most > 0 && a.Fault.Value > most*motorAllowance {
		a.cautionf(line, FaultBeyondSource, "fault_ka", "%.4g kA is stated here, but at most %.4g kA at %s upstream at the same voltage, "+
			"and motors seldom add more than 10 %%; compare both with the study report",
			a.Fault.Value, most, source)
	}
}

// sourceFault is the largest fault current stated by the nearest locations
// upstream at the same voltage. It passes through those that state none.
func (f *network) sourceFault(from int) (id string, most KA) {
	l := &f.site.Locations[from]
	seen := map[int]bool{from: true}
	queue := slices.Clone(f.Up[from])
	for len(queue) > 0 {
		at := queue[0]
		queue = queue[1:]
		u := &f.site.Locations[at]
		if seen[at] || u.Voltage != l.Voltage || u.Supply != l.Supply {
			continue
		}
		seen[at] = true
		var fault KA
		for i := range u.Cases {
			fault = max(fault, u.Cases[i].Fault)
		}
		if fault == 0 {
			queue = append(queue, f.Up[at]...)
		} else if fault > most {
			id, most = u.ID, fault
		}
	}
	return id, most
}

// names writes a loop from the place first on. Of a long one its beginning
// and its end are enough to find it.
func (f *network) names(loop []int, first int) string {
	const most = 12
	ids := make([]string, 0, most)
	round := loop[:len(loop)-1]
	start := slices.Index(round, first)
	for k := 0; k <= len(round); k++ {
		if len(round) > most && k == most/2 {
			k = len(round) - most/2
			ids = append(ids, "…")
		}
		ids = append(ids, f.site.Locations[round[(start+k)%len(round)]].ID)
	}
	return strings.Join(ids, " is fed from ")
}
