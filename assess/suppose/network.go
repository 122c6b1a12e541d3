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
	reached []bool // the place is on a path upstream
	through []bool // it is on every path upstream: all fault current comes through it
	index   map[string]int
	tied    map[string][]bool // by the name of a case, see acrossTie
}

func newNetwork(s *assess.Site, at int) *network {
	index := s.Index()
	n := &network{site: s, graph: assess.Feeds(s, index), at: at,
		through: make([]bool, len(s.Locations)), tied: map[string][]bool{}, index: index}
	n.reached = n.reach()
	for _, group := range n.graph.Groups { // what feeds comes first
		for _, v := range group {
			up := n.graph.Up[v]
			all := len(up) > 0 && len(up) == len(s.Locations[v].FedFrom()) // a feed that is not a location leads elsewhere
			for _, u := range up {
				all = all && n.through[u]
			}
			n.through[v] = all || v == at
		}
	}
	return n
}

// reach is what the place feeds, along feeds, and across ties in both directions.
func (n *network) reach() []bool {
	ways := n.graph.Down()
	for v := range n.site.Locations {
		for _, id := range n.site.Locations[v].TiedTo() {
			if u, ok := n.index[id]; ok {
				ways[v], ways[u] = append(ways[v], u), append(ways[u], v)
			}
		}
	}
	reached := make([]bool, len(ways))
	reached[n.at] = true
	for list := []int{n.at}; len(list) > 0; list = list[1:] {
		for _, v := range ways[list[0]] {
			if !reached[v] {
				reached[v] = true
				list = append(list, v)
			}
		}
	}
	return reached
}

// acrossTie reports whether a tie at a location or anywhere upstream contributes to its
// fault current in a case.
func (n *network) acrossTie(i int, c *assess.Case) bool {
	tied, known := n.tied[c.Name]
	if !known {
		tied = n.tiedIn(c)
		n.tied[c.Name] = tied
	}
	return tied[i] || c.TiedTo != nil
}

// tiedIn tells for each location whether there is a tie in a case, at it or upstream. For a
// location without that case all its cases count.
func (n *network) tiedIn(c *assess.Case) []bool {
	tied := make([]bool, len(n.site.Locations))
	for v := range n.site.Locations {
		cases := casesFor(&n.site.Locations[v], c)
		for k := range cases {
			for _, id := range cases[k].TiedTo {
				tied[v] = true
				if u, ok := n.index[id]; ok {
					tied[u] = true
				}
			}
		}
	}
	for _, group := range n.graph.Groups { // what feeds comes first
		some := false
		for _, v := range group {
			some = some || tied[v]
			for _, u := range n.graph.Up[v] {
				some = some || tied[u]
			}
		}
		for _, v := range group {
			tied[v] = some
		}
	}
	return tied
}

// between adds up the impedances from the place down to a location, mΩ at the location's
// voltage. It has no answer if one of them is not given, or if there is more than one path.
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

// conductors is the impedance of the conductors from a location's only feed.
func (n *network) conductors(i int, volts assess.Volts) (float64, bool) {
	if len(n.graph.Up[i]) != 1 {
		return 0, false
	}
	u := &n.site.Locations[n.graph.Up[i][0]]
	f, ok := n.site.Policy.Feeder(n.site.Locations[i].ID, u.ID)
	return refer(f.Milliohm, u.Voltage, volts), ok
}

// above is the impedance on the primary side of the transformer at the place: that of its
// feed, and the conductors from there.
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

// casesFor returns the cases of a location that may go with a case of another: the one with
// the same name, else all in normal mode.
func casesFor(l *assess.Location, c *assess.Case) []assess.Case {
	if same := sameCase(l, c); same != nil {
		return []assess.Case{*same}
	}
	var normal []assess.Case
	for _, other := range l.Cases {
		if !other.Maintenance {
			normal = append(normal, other)
		}
	}
	if normal == nil {
		return l.Cases
	}
	return normal
}

// sameCase is the only case of a location, else the one with the name of another location's
// case, else nil.
func sameCase(l *assess.Location, c *assess.Case) *assess.Case {
	if len(l.Cases) == 1 {
		return &l.Cases[0]
	}
	return l.CaseNamed(c.Name)
}
