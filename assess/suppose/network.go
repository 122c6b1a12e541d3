package suppose

import (
	"vouchmark/assess"
	"vouchmark/assess/feeds"
	"vouchmark/assess/shock"
)

// network is a site's locations as seen from the place of a change.
type network struct {
	site    *assess.Site
	graph   *feeds.Graph
	at      int
	reached []bool // the place stands on a way up
	through []bool // it stands on every way up: all fault current comes through it
}

func newNetwork(s *assess.Site, at int) *network {
	n := &network{site: s, graph: assess.Feeds(s, s.Index()), at: at,
		reached: make([]bool, len(s.Locations)), through: make([]bool, len(s.Locations))}
	for _, group := range n.graph.Groups { // what feeds comes first
		some := false
		for _, v := range group {
			up := n.graph.Up[v]
			all := len(up) > 0 && len(up) == len(s.Locations[v].FedFrom()) // a feed that is not a location leads elsewhere
			for _, u := range up {
				some = some || n.reached[u]
				all = all && n.through[u]
			}
			some = some || v == at
			n.through[v] = all || v == at
		}
		for _, v := range group {
			n.reached[v] = some
		}
	}
	return n
}

// between adds up the impedances from the place down to a location, mΩ at the
// location's voltage. It has no answer where one of them is not given, or
// where there is more than one way.
func (n *network) between(i int) (sum float64, ok bool) {
	volts := n.site.Locations[i].Voltage
	for i != n.at {
		up := n.graph.Up[i]
		if len(up) != 1 {
			return 0, false
		}
		z, ok := n.conductors(i, volts)
		if !ok {
			return 0, false
		}
		l := &n.site.Locations[i]
		if t := n.site.Policy.Transformer(l.ID); t != nil {
			z += refer(t.Milliohm(), t.Secondary, volts)
		} else if l.Voltage != n.site.Locations[up[0]].Voltage {
			return 0, false
		}
		sum += z
		i = up[0]
	}
	return sum, true
}

// conductors is the impedance of what leads to a location from its one feed.
func (n *network) conductors(i int, volts assess.Volts) (float64, bool) {
	if len(n.graph.Up[i]) != 1 {
		return 0, false
	}
	u := &n.site.Locations[n.graph.Up[i][0]]
	f, ok := n.site.Policy.Feeder(n.site.Locations[i].ID, u.ID)
	return refer(f.Milliohm, u.Voltage, volts), ok
}

// above is the impedance on the far side of the transformer at the place: its
// feed's own, and the conductors from there.
func (n *network) above(c *assess.Case, volts assess.Volts) (float64, bool) {
	z, ok := n.conductors(n.at, volts)
	if !ok {
		return 0, false
	}
	u := &n.site.Locations[n.graph.Up[n.at][0]]
	uc := sameCase(u, c)
	if uc == nil || uc.Fault == 0 || u.Supply != shock.AC3 {
		return 0, false
	}
	return z + refer(milliohm(u.Voltage, uc.Fault), u.Voltage, volts), true
}

// sameCase is the only case of a location, else the one that has the name of
// another location's case, else nil.
func sameCase(l *assess.Location, c *assess.Case) *assess.Case {
	if len(l.Cases) == 1 {
		return &l.Cases[0]
	}
	return l.CaseNamed(c.Name)
}
