package standing

import (
	"math/bits"
	"slices"
	"sort"

	"vouchmark/assess"
	"vouchmark/assess/feeds"
)

// Which of many changes reach which of many locations: a bit for each change is carried
// along the feeds from the place of the change, some hundred changes at a time. The work
// is the number of locations times the number of such loads; only a count, the earliest
// and the latest are kept.

// loadBits is how many changes are carried at once.
const loadBits = 256

type load [loadBits / 64]uint64

func (a *load) or(b *load) {
	for i := range a {
		a[i] |= b[i]
	}
}

func (a *load) set(i int) { a[i/64] |= 1 << (i % 64) }

// from clears the bits below i.
func (a load) from(i int) load {
	for w := range a {
		switch {
		case i >= 64*(w+1):
			a[w] = 0
		case i > 64*w:
			a[w] &= ^uint64(0) << (i - 64*w)
		}
	}
	return a
}

func (a *load) without(b *load) load {
	var c load
	for i := range a {
		c[i] = a[i] &^ b[i]
	}
	return c
}

func (a *load) empty() bool { return *a == load{} }

func (a *load) count() int {
	n := 0
	for _, w := range a {
		n += bits.OnesCount64(w)
	}
	return n
}

// first and last are the lowest and the highest bit of a load with any.
func (a *load) first() int {
	for i, w := range a {
		if w != 0 {
			return 64*i + bits.TrailingZeros64(w)
		}
	}
	return -1
}

func (a *load) last() int {
	for i, w := range slices.Backward(a[:]) {
		if w != 0 {
			return 64*i + 63 - bits.LeadingZeros64(w)
		}
	}
	return -1
}

// plant holds how locations are connected in any case: according to locations.csv, and
// to the records of the labels mounted there. A change travels down the feeds, and across
// a tie from either side: what is above one side may feed what is below the other.
type plant struct {
	index    map[string]int
	graph    *feeds.Graph // of feeds, and of ties as feeds of either side
	deviceAt [][]int      // for each location, where the devices that clear its arc are installed
	part     []int        // the connected part of the plant to which each belongs
	// lost are the locations with a feed, a tie or a device at an unknown place, and
	// what such a feed leads to: any change may reach them.
	lost []bool
}

func newPlant(s *assess.Site, subjects []Subject) *plant {
	n := len(s.Locations)
	p := &plant{index: s.Index(), deviceAt: make([][]int, n), lost: make([]bool, n)}
	up := make([][]int, n)
	unfed := make([]bool, n)
	feed := func(i int, fedFrom, tiedTo []string) {
		for _, id := range fedFrom {
			unfed[i] = !p.join(up, i, id) || unfed[i]
		}
		for _, id := range tiedTo {
			unfed[i] = !p.join(up, i, id) || unfed[i]
			if at, ok := p.index[id]; ok {
				p.join(up, at, s.Locations[i].ID)
			}
		}
	}
	stand := func(i int, id string) { p.lost[i] = !p.join(p.deviceAt, i, id) || p.lost[i] }
	for i := range s.Locations {
		l := &s.Locations[i]
		feed(i, l.FedFrom(), l.TiedTo())
		unfed[i] = unfed[i] || l.FeedsUnknown()
		for k := range l.Cases {
			stand(i, l.Cases[k].DeviceAt)
		}
	}
	for i := range subjects {
		if l := &subjects[i]; l.At >= 0 {
			feed(l.At, l.FedFrom, l.TiedTo)
			for _, id := range l.DeviceAt {
				stand(l.At, id)
			}
		}
	}
	p.graph = feeds.New(up)
	p.part = feeds.Parts(n, up, p.deviceAt)
	for _, group := range p.graph.Groups {
		lost := false
		for _, v := range group {
			lost = lost || unfed[v] || slices.ContainsFunc(up[v], func(u int) bool { return unfed[u] })
		}
		for _, v := range group {
			unfed[v] = lost
			p.lost[v] = p.lost[v] || lost
		}
	}
	return p
}

// join notes an id for a location, once. It is false for an id that no location has.
func (p *plant) join(to [][]int, i int, id string) bool {
	at, ok := p.index[id]
	if ok && !slices.Contains(to[i], at) {
		to[i] = append(to[i], at)
	}
	return ok || id == ""
}

// spread carries loads from the places of the changes to everything that they reach:
// seeds in, reached out.
func (p *plant) spread(seeds []load, reach assess.Reach, reached []load) {
	if reach == assess.Connected {
		whole := reached // of each part's first location, all of it
		for i := range whole {
			whole[i] = load{}
		}
		for i := range seeds {
			whole[p.part[i]].or(&seeds[i])
		}
		for i := range reached {
			reached[i] = whole[p.part[i]]
		}
		return
	}
	for _, group := range p.graph.Groups {
		var l load
		for _, v := range group {
			l.or(&seeds[v])
			for _, u := range p.graph.Up[v] { // of the group itself nothing has come yet
				l.or(&seeds[u])
			}
		}
		for _, v := range group {
			seeds[v] = l
		}
	}
	for i := range reached {
		reached[i] = seeds[i]
		for _, at := range p.deviceAt[i] {
			reached[i].or(&seeds[at])
		}
	}
}

// mostNamed is how many open changes of one kind are named.
const mostNamed = 5

// tally is what is kept about the changes of one kind for one subject.
type tally struct {
	open, settled int32
	first, last   int32                // of the open ones, in the order of days
	next          [mostNamed - 1]int32 // those behind the first
}

// sum holds the changes of one kind in the order of their days, and each subject's tally.
type sum struct {
	changes []*assess.Change
	tallies []tally
}

// byChanges adds the unsettled changes that reach each subject.
func byChanges(all []*Standing, subjects []Subject, s *assess.Site, today assess.Date) {
	kinds := map[assess.ChangeKind][]*assess.Change{}
	for i := range s.Log.Changes {
		if c := &s.Log.Changes[i]; !today.Before(c.Date) {
			kinds[c.Kind] = append(kinds[c.Kind], c)
		}
	}
	if len(kinds) == 0 {
		return
	}
	p := newPlant(s, subjects)
	settled := settlements(&s.Log, today)
	told := p.tellings(subjects, s, settled, today)
	var sums []sum
	reached := make([]load, len(s.Locations))
	for _, kind := range assess.ChangeKinds {
		changes := kinds[kind]
		if len(changes) == 0 {
			continue
		}
		slices.SortStableFunc(changes, func(a, b *assess.Change) int { return a.Date.Compare(b.Date) })
		tallies := make([]tally, len(subjects))
		from := 0
		for some := range slices.Chunk(changes, loadBits) {
			p.reached(some, kind.Reach, reached)
			count(tallies, subjects, reached, some, from, settled.of(some), told)
			from += loadBits
		}
		sums = append(sums, sum{changes, tallies})
	}
	say(all, sums)
	for i, t := range told {
		all[i].tell(t)
	}
}

// count adds one load to the tallies. A change counts against what was
// surveyed on or before its day.
func count(tallies []tally, subjects []Subject, reached []load, changes []*assess.Change, from int,
	settled loadSettled, told map[int]*telling) {
	for i := range subjects {
		l := &subjects[i]
		if l.At < 0 || reached[l.At].empty() {
			continue
		}
		base := l.Base
		b := reached[l.At].from(sort.Search(len(changes), func(k int) bool { return !changes[k].Date.Before(base) }))
		if b.empty() {
			continue
		}
		done := settled.all
		if by, ok := settled.byID[l.ID]; ok {
			done.or(&by)
		}
		if held := told[i]; held != nil {
			for k, c := range changes {
				if slices.Contains(held.held, c.ID) {
					done[k/64] &^= 1 << (k % 64)
				}
			}
		}
		open := b.without(&done)
		t := &tallies[i]
		n := open.count()
		t.settled += int32(b.count() - n)
		if n == 0 {
			continue
		}
		t.last = int32(from + open.last())
		for ; t.open < mostNamed && n > 0; t.open, n = t.open+1, n-1 {
			k := open.first()
			if open = open.from(k + 1); t.open == 0 {
				t.first = int32(from + k)
			} else {
				t.next[t.open-1] = int32(from + k)
			}
		}
		t.open += int32(n)
	}
}

// say turns the tallies into reasons.
func say(all []*Standing, sums []sum) {
	type which struct { // changes of a kind
		kind        int
		open, first int32
		next        [mostNamed - 1]int32
	}
	grounds := map[which]*Ground{} // shared by all that the same changes reach
	for i := range all {
		n := 0
		for _, s := range sums {
			if s.tallies[i].open > 0 {
				n++
			}
			all[i].Settled += int(s.tallies[i].settled)
		}
		if n > 0 {
			all[i].Reasons = make([]Reason, 0, n)
		}
		for k, s := range sums {
			t := &s.tallies[i]
			if t.open == 0 {
				continue
			}
			same := which{k, t.open, t.first, t.next}
			if grounds[same] == nil {
				grounds[same] = s.ground(t)
			}
			r := Reason{Ground: grounds[same], Since: s.changes[t.first].Date, Count: int(t.open)}
			if t.open > 1 {
				r.Latest = s.changes[t.last].Date
			}
			all[i].add(r)
		}
	}
}

// ground is what the open changes of a tally mean for a label. Each of them must be
// settled separately.
func (s *sum) ground(t *tally) *Ground {
	c := s.changes[t.first]
	g := &Ground{Cause: UpstreamCause, Kind: c.Kind.Name, Change: c.ID, Status: InQuestion, Detail: c.Words(),
		Remedy: assess.Remedy{Words: "enter the results of a study surveyed after the change in locations.csv; or, if the change does not affect this label, settle it: {}", Act: assess.ToSettle, On: c.ID}}
	if t.open == 1 {
		return g
	}
	g.Open = []string{c.ID}
	for _, i := range t.next[:min(t.open, mostNamed)-1] {
		g.Open = append(g.Open, s.changes[i].ID)
	}
	g.Remedy.Words += g.likewise(int(t.open))
	return g
}

// settledChanges holds the settlements up to a day.
type settledChanges struct {
	all  map[string]bool            // changes settled for all locations
	byID map[string]map[string]bool // changes settled for single ones
}

func settlements(l *assess.Log, today assess.Date) *settledChanges {
	s := &settledChanges{map[string]bool{}, map[string]map[string]bool{}}
	for i := range l.Settlements {
		e := &l.Settlements[i]
		if today.Before(e.Date) {
			continue
		}
		if e.Scope.All {
			s.all[e.Change] = true
		}
		for _, id := range e.Scope.IDs {
			if s.byID[e.Change] == nil {
				s.byID[e.Change] = map[string]bool{}
			}
			s.byID[e.Change][id] = true
		}
	}
	return s
}

func (s *settledChanges) holds(c *assess.Change, id string) bool {
	return s.all[c.ID] || s.byID[c.ID][id]
}

// loadSettled says which of the changes of a load are settled.
type loadSettled struct {
	all  load
	byID map[string]load
}

func (s *settledChanges) of(changes []*assess.Change) loadSettled {
	l := loadSettled{byID: map[string]load{}}
	for i, c := range changes {
		if s.all[c.ID] {
			l.all.set(i)
		}
		for id := range s.byID[c.ID] {
			b := l.byID[id]
			b.set(i)
			l.byID[id] = b
		}
	}
	return l
}

// Reached returns the locations that a change would put in question, whatever the dates
// of their studies, in the order of the site.
func Reached(s *assess.Site, at string, reach assess.Reach) []string {
	reached := make([]load, len(s.Locations))
	c := assess.Change{At: at, Kind: assess.ChangeKind{Reach: reach}}
	newPlant(s, nil).reached([]*assess.Change{&c}, reach, reached)
	var ids []string
	for i := range reached {
		if !reached[i].empty() {
			ids = append(ids, s.Locations[i].ID)
		}
	}
	return ids
}

// Unconnected returns the locations for which it is not known whether a change reaches
// them, in the order of the site: nothing connects them with what is upstream, and they
// do not feed the place of the change. A change at an unknown place reaches everything.
func Unconnected(s *assess.Site, c *assess.Change) []string {
	index := s.Index()
	at, known := index[c.At]
	if !known {
		return nil
	}
	sure := map[int]bool{at: true} // for these it is known
	up := assess.Feeds(s, index).Up
	for list := []int{at}; len(list) > 0; list = list[1:] {
		for _, u := range up[list[0]] {
			if !sure[u] {
				sure[u] = true
				list = append(list, u)
			}
		}
	}
	for _, id := range Reached(s, c.At, c.Kind.Reach) {
		sure[index[id]] = true
	}
	for id := range c.New {
		if i, ok := index[id]; ok {
			sure[i] = true
		}
	}
	var ids []string
	for i, lone := range unfed(s, nil) {
		if lone && !sure[i] {
			ids = append(ids, s.Locations[i].ID)
		}
	}
	return ids
}
