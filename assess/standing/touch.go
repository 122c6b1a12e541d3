package standing

import (
	"math/bits"
	"slices"

	"vouchmark/assess"
)

// Touched is what the log of changes says about one location.
type Touched struct {
	Changes []*assess.Change // that reach it, newest first, whether they count or not
	More    int              // how many further ones are left out
}

// Touching gives for each location of a site the changes up to a day that reach it, at
// most a number of them. The subjects are the labels whose records may know feeds that
// the rows do not. The work is that of [Of].
func Touching(s *assess.Site, subjects []Subject, today assess.Date, most int) []Touched {
	changes := dated(s, func(d assess.Date) bool { return !today.Before(d) })
	// On the same day the one logged last comes first.
	slices.Reverse(changes)
	slices.SortStableFunc(changes, func(a, b *assess.Change) int { return b.Date.Compare(a.Date) })
	return touching(s, subjects, changes, most)
}

// Planned is the same for the changes dated after a day, the soonest first: they do not count
// until then.
func Planned(s *assess.Site, subjects []Subject, today assess.Date, most int) []Touched {
	changes := dated(s, today.Before)
	slices.SortStableFunc(changes, func(a, b *assess.Change) int { return a.Date.Compare(b.Date) })
	return touching(s, subjects, changes, most)
}

// dated are the logged changes of certain days.
func dated(s *assess.Site, is func(assess.Date) bool) (changes []*assess.Change) {
	for i := range s.Log.Changes {
		if c := &s.Log.Changes[i]; is(c.Date) {
			changes = append(changes, c)
		}
	}
	return changes
}

func touching(s *assess.Site, subjects []Subject, changes []*assess.Change, most int) []Touched {
	all := make([]Touched, len(s.Locations))
	if len(changes) == 0 {
		return all
	}
	p := newPlant(s, subjects)
	reached := make([]load, len(s.Locations))
	for some := range slices.Chunk(changes, loadBits) {
		touch := make([]load, len(s.Locations))
		for _, reach := range []assess.Reach{assess.Below, assess.Connected} {
			p.reached(some, reach, reached)
			for i := range touch {
				touch[i].or(&reached[i])
			}
		}
		for i := range touch {
			all[i].take(&touch[i], some, most)
		}
	}
	return all
}

// reached says which of a load's changes reach each location.
func (p *plant) reached(changes []*assess.Change, reach assess.Reach, reached []load) {
	seeds := make([]load, len(reached))
	var everywhere, all load // everywhere: changes at places that are no longer known
	for i, c := range changes {
		if c.Kind.Reach != reach {
			continue
		}
		all.set(i)
		if at, ok := p.index[c.At]; ok {
			seeds[at].set(i)
		} else {
			everywhere.set(i)
		}
	}
	p.spread(seeds, reach, reached)
	for i := range reached {
		reached[i].or(&everywhere)
		if p.lost[i] {
			reached[i].or(&all)
		}
	}
	for i, c := range changes {
		for id := range c.New { // new values for a location mean that the change reaches it
			if at, ok := p.index[id]; ok && c.Kind.Reach == reach {
				reached[at].set(i)
			}
		}
	}
}

func (t *Touched) take(l *load, changes []*assess.Change, most int) {
	for w, word := range l {
		for ; word != 0; word &= word - 1 {
			if len(t.Changes) == most {
				t.More++
				continue
			}
			t.Changes = append(t.Changes, changes[64*w+bits.TrailingZeros64(word)])
		}
	}
}
