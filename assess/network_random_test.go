package assess

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"vouchmark/assess/shock"
	"vouchmark/testdata/suite"
)

// slow is the network in one condition, each question answered by widening a
// set until nothing is new: slow and obviously right.
type slow struct {
	s    *Site
	name string
	rows map[string]*Case // of each location, as it is in the condition
}

// slowConditions are the usual condition, and one for each name that a location
// with several cases has.
func slowConditions(s *Site) []slow {
	names := []string{""}
	for _, l := range s.Locations {
		for _, c := range l.Cases {
			if len(l.Cases) > 1 && !slices.Contains(names, c.Name) {
				names = append(names, c.Name)
			}
		}
	}
	var all []slow
	for _, name := range names {
		n := slow{s, name, map[string]*Case{}}
		for i := range s.Locations {
			l := &s.Locations[i]
			for _, is := range []func(*Case) bool{
				func(c *Case) bool { return c.Name == name },
				func(c *Case) bool { return c.Name == "" },
				func(c *Case) bool { return c.Name == "normal" },
				func(c *Case) bool { return !c.Maintenance },
				func(c *Case) bool { return true },
			} {
				if n.rows[l.ID] == nil {
					n.rows[l.ID] = find(l.Cases, is)
				}
			}
		}
		all = append(all, n)
	}
	return all
}

func (n *slow) at(id string) *Location { l, _ := n.s.Location(id); return l }

func (n *slow) known(ids []string) []string {
	return slices.DeleteFunc(slices.Clone(ids), func(id string) bool { return n.at(id) == nil })
}

func (n *slow) up(id string) []string { return n.known(n.rows[id].FedFrom) }

func (n *slow) ties(id string) []string {
	var all []string
	for _, l := range n.s.Locations {
		if l.ID != id && (slices.Contains(n.rows[id].TiedTo, l.ID) || slices.Contains(n.rows[l.ID].TiedTo, id)) {
			all = append(all, l.ID)
		}
	}
	return all
}

func (n *slow) upAndTies(id string) []string { return append(n.up(id), n.ties(id)...) }

// blind reports whether not all is known of what feeds a location.
func (n *slow) blind(id string) bool {
	c := n.rows[id]
	return n.at(id).LostFeeds || len(n.known(c.FedFrom)) < len(c.FedFrom) || len(n.known(c.TiedTo)) < len(c.TiedTo)
}

// reach is what one step or more lead to.
func (n *slow) reach(from string, step func(string) []string) map[string]bool {
	in := map[string]bool{}
	for grown := true; grown; {
		grown = false
		for _, l := range n.s.Locations {
			if l.ID != from && !in[l.ID] {
				continue
			}
			for _, id := range step(l.ID) {
				if !in[id] {
					in[id], grown = true, true
				}
			}
		}
	}
	return in
}

// looped reports whether a location feeds itself, or only such locations feed it.
func (n *slow) looped(id string) bool {
	up := n.reach(id, n.up)
	if up[id] {
		return true
	}
	for other := range up {
		if len(n.up(other)) == 0 {
			return false
		}
	}
	return len(n.up(id)) > 0
}

// device says whether the device of a location's row is upstream of it.
func (n *slow) device(id string) upstream {
	at := n.rows[id].DeviceAt
	up := n.reach(id, n.up)
	blind := n.blind(id) || len(n.at(id).FedFrom())+len(n.at(id).TiedTo()) == 0 && !n.source(id) && !n.tiedEver(id)
	for other := range up {
		blind = blind || n.blind(other)
	}
	switch {
	case at == "" || at == id || n.at(at) == nil || up[at]:
		return isUpstream
	case n.reach(id, n.upAndTies)[at]:
		return acrossTie
	case blind && !n.reach(at, n.up)[id]:
		return unsure
	}
	return elsewhere
}

func (n *slow) source(id string) bool { return slices.Contains(n.s.Policy.Sources, id) }

// tiedEver reports whether another location names this one as tied in any case.
func (n *slow) tiedEver(id string) bool {
	return slices.ContainsFunc(n.s.Locations, func(l Location) bool { return l.ID != id && slices.Contains(l.TiedTo(), id) })
}

func (n *slow) same(a, b string) bool {
	return n.at(a).Voltage == n.at(b).Voltage && n.at(a).Supply == n.at(b).Supply
}

// plate is the nameplate that counts at a location, or nil.
func (n *slow) plate(id string) *Transformer {
	if t := n.s.Policy.Transformer(id); t != nil && t.Secondary == n.at(id).Voltage && n.at(id).Supply == shock.AC3 {
		return t
	}
	return nil
}

// inner are the feeds in the zone of a location.
func (n *slow) inner(id string) []string {
	in := slices.DeleteFunc(n.up(id), func(u string) bool { return !n.same(id, u) })
	if n.plate(id) != nil && len(in) == len(n.up(id)) {
		return nil // they feed the primary
	}
	return in
}

// own is what enters at a location, and whether any does.
func (n *slow) own(id string) (kA float64, enters bool) {
	t := n.plate(id)
	foreign := slices.ContainsFunc(n.up(id), func(u string) bool { return !n.same(id, u) })
	strange := n.blind(id) || slices.ContainsFunc(n.ties(id), func(o string) bool { return !n.same(id, o) })
	root := len(n.up(id)) == 0 && (len(n.ties(id)) == 0 || len(n.at(id).FedFrom()) == 0)
	switch {
	case t != nil && !strange:
		return t.letThrough() + t.motors(), true
	case t != nil || foreign || strange || root || n.source(id):
		return math.Inf(1), true
	}
	return 0, false
}

// stated is what a location states in the condition, with motors; 0 for
// nothing.
func (n *slow) stated(id string) float64 {
	if c := n.at(id).CaseNamed(n.name); c != nil && c.Fault > 0 {
		return float64(c.Fault) * 1.1
	}
	most := 0.0
	for _, c := range n.at(id).Cases {
		most = max(most, float64(c.Fault)*1.1)
	}
	return most
}

// zone is a location and all that is joined with it at its voltage.
func (n *slow) zone(id string) map[string]bool {
	in := n.reach(id, func(a string) []string {
		joined := slices.Concat(n.inner(a), slices.DeleteFunc(n.ties(a), func(o string) bool { return !n.same(a, o) }))
		for _, l := range n.s.Locations {
			if slices.Contains(n.inner(l.ID), a) {
				joined = append(joined, l.ID)
			}
		}
		return joined
	})
	in[id] = true
	return in
}

// backfed reports whether a location below in the zone has another way to a
// source.
func (n *slow) backfed(id string) bool {
	below := n.reach(id, func(a string) []string {
		var all []string
		for _, l := range n.s.Locations {
			if slices.Contains(n.inner(l.ID), a) {
				all = append(all, l.ID)
			}
		}
		return all
	})
	for d := range below {
		if _, enters := n.own(d); enters || len(n.up(d)) > 1 || len(n.ties(d)) > 0 {
			return true
		}
	}
	return false
}

func (n *slow) coming(id string) float64 {
	if n.reach(id, n.up)[id] || n.backfed(id) {
		return math.Inf(1)
	}
	sum, _ := n.own(id)
	for _, u := range n.inner(id) {
		if s := n.stated(u); s > 0 {
			sum += s
		} else {
			sum += n.coming(u)
		}
	}
	for _, o := range n.ties(id) {
		if s := n.stated(o); s > 0 {
			sum += s
		} else {
			sum = math.Inf(1)
		}
	}
	return sum
}

// most is the fault current that a location can have.
func (n *slow) most(id string) float64 {
	sum := 0.0
	for o := range n.zone(id) {
		kA, enters := n.own(o)
		if s := n.stated(o); enters && s > 0 && o != id {
			kA = min(kA, s)
		}
		sum += kA
	}
	return min(sum, n.coming(id))
}

// randomSite has feeds that differ by case, mostly upward; ties; devices, ids
// that belong to no location, sources, nameplates, two voltages and DC.
func randomSite(r *rand.Rand) *Site {
	n := 1 + r.IntN(8)
	s := &Site{Policy: policy(40, 8, 40)}
	id := func(below int) string {
		switch {
		case r.IntN(30) == 0:
			return "gone"
		case r.IntN(6) > 0 && below > 0:
			return fmt.Sprintf("L%d", r.IntN(below))
		}
		return fmt.Sprintf("L%d", r.IntN(n))
	}
	names := [][]string{{""}, {""}, {"a"}, {"", "a"}, {"a", "b"}, {"a", "b", "normal"}, {"b", "normal"}}[:3+r.IntN(5)]
	line := 1
	for i := range n {
		l := Location{ID: fmt.Sprintf("L%d", i), Supply: shock.AC3, Voltage: 480, Distance: 457.2}
		if r.IntN(4) == 0 {
			l.Voltage = 208
		}
		if r.IntN(12) == 0 {
			l.Supply = shock.DC
		}
		for k, name := range names[r.IntN(len(names))] {
			line++
			c := Case{Name: name, Line: line, Method: Stated, Energy: 5, Boundary: 42 * MMPerInch, Prepared: Date{2026, 3, 14}}
			c.Maintenance = name == "a" && r.IntN(4) == 0
			if k > 0 && r.IntN(2) == 0 {
				c.FedFrom = slices.Clone(l.Cases[0].FedFrom)
			} else {
				for range []int{0, 1, 1, 1, 2}[r.IntN(5)] {
					if u := id(i); !slices.Contains(c.FedFrom, u) {
						c.FedFrom = append(c.FedFrom, u)
					}
				}
			}
			if r.IntN(7) == 0 {
				c.TiedTo = []string{id(n)}
			}
			if r.IntN(4) > 0 {
				c.DeviceAt = id(n)
			}
			if r.IntN(3) > 0 {
				c.Fault = KA(5 + 40*r.Float64())
			}
			l.Cases = append(l.Cases, c)
		}
		if r.IntN(40) == 0 {
			l.Unreadable = []Finding{{Level: Error, Code: Unreadable, Field: "fed_from"}}
			l.LostFeeds = r.IntN(3) > 0
		}
		s.Locations = append(s.Locations, l)
		if r.IntN(5) == 0 {
			s.Policy.Sources = append(s.Policy.Sources, l.ID)
		}
		if r.IntN(4) == 0 {
			s.Policy.Transformers = append(s.Policy.Transformers,
				Transformer{At: l.ID, KVA: 100 + 400*r.Float64(), ImpedancePercent: 2 + 4*r.Float64(), Secondary: 480})
		}
	}
	return s
}

// Over small random sites: loops, devices and too much fault current, as
// findings of each row, against the slow network.
func TestNetworkAtRandom(t *testing.T) {
	rounds := 2000
	if suite.Exhaustive {
		rounds = 10_000
	}
	r := rand.New(rand.NewPCG(21, 22))
	met := map[string]int{}
	for range rounds {
		s := randomSite(r)
		conditions := slowConditions(s)
		for _, a := range s.Assess(Date{2026, 5, 1}) {
			l := a.Location
			if len(l.Unreadable) > 0 {
				continue
			}
			var got, want []string
			for _, f := range a.Findings {
				switch f.Code {
				case FeedLoop:
					if f.Field == "fed_from" {
						got = append(got, string(f.Code))
					}
				case DeviceNotUpstream, FaultBeyondSource:
					got = append(got, shown(f.Code, f.Level, f.final, f.Line))
				}
			}
			if slices.ContainsFunc(conditions, func(n slow) bool { return n.looped(l.ID) }) {
				want = append(want, string(FeedLoop))
			} else {
				for k := range l.Cases {
					want = append(want, slowRow(conditions, l, &l.Cases[k])...)
				}
			}
			slices.Sort(got)
			slices.Sort(want)
			if !slices.Equal(got, want) {
				t.Fatalf("%s: %q, want %q\n%s", l.ID, got, want, sketch(s))
			}
			for _, w := range want {
				met[strings.TrimRight(w, "0123456789")]++
			}
		}
	}
	if len(met) != 6 {
		t.Errorf("the sites are not of every kind: %v", met)
	}
	for w, n := range met {
		if n < rounds/100 {
			t.Errorf("%q was met %d times", w, n)
		}
	}
}

// shown is a finding as both sides write it.
func shown(c Code, level Level, final bool, line int) string {
	return fmt.Sprintf("%s %s, final %v, line %d", c, level, final, line)
}

// slowRow are the findings of one row, of no location on a loop.
func slowRow(conditions []slow, l *Location, c *Case) (want []string) {
	device, most := elsewhere, math.Inf(-1)
	source := false
	itsOwn := c.Name != "" && slices.ContainsFunc(conditions, func(n slow) bool { return n.name == c.Name })
	for _, n := range conditions {
		if n.rows[l.ID] == c && (!itsOwn || n.name == c.Name) {
			device, most, source = max(device, n.device(l.ID)), max(most, n.most(l.ID)), n.source(l.ID)
		}
	}
	switch device {
	case elsewhere:
		want = append(want, shown(DeviceNotUpstream, Error, true, c.Line))
	case acrossTie:
		want = append(want, shown(DeviceNotUpstream, Error, false, c.Line))
	case unsure:
		want = append(want, shown(DeviceNotUpstream, Caution, false, c.Line))
	}
	switch {
	case source || float64(c.Fault) <= most:
	case float64(c.Fault) > 1.5*most:
		want = append(want, shown(FaultBeyondSource, Error, false, c.Line))
	default:
		want = append(want, shown(FaultBeyondSource, Caution, false, c.Line))
	}
	return want
}

// sketch writes a site for a person who looks for what is wrong.
func sketch(s *Site) string {
	var b strings.Builder
	for _, l := range s.Locations {
		for _, c := range l.Cases {
			fmt.Fprintf(&b, "%s %q line %d: %v V %s %.4g kA, fed %v, tied %v, device %s, maintenance %v, feeds lost %v\n",
				l.ID, c.Name, c.Line, l.Voltage, l.Supply, c.Fault, c.FedFrom, c.TiedTo, c.DeviceAt, c.Maintenance, l.LostFeeds)
		}
	}
	fmt.Fprintf(&b, "sources %v", s.Policy.Sources)
	for _, t := range s.Policy.Transformers {
		fmt.Fprintf(&b, "; %s lets %.4g kA through", t.At, t.most())
	}
	return b.String()
}
