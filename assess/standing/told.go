package standing

import (
	"slices"

	"vouchmark/assess"
)

// Changes can give new values for single labels. While these are above what a label
// prints, no settlement of the changes counts, except one by a person who accepts just
// that: see [assess.Settlement]. A settlement clears a doubt but does not undo the
// change: its values still count.

// AgainstScreening says that a settlement released a label although its screening was
// above what it prints.
type AgainstScreening struct {
	Change    string      `json:"change"`
	Date      assess.Date `json:"date"` // of the settlement
	By        string      `json:"by"`
	Reason    string      `json:"reason"`
	Screening Screening   `json:"screening"` // as it was then
}

// Words says it in a sentence.
func (a *AgainstScreening) Words() string {
	return a.Change + " was settled against its screening (" + a.Screening.Found() + ") on " + a.Date.String() +
		" by " + a.By + ": " + a.Reason
}

// telling is what changes say about one label.
type telling struct {
	now     Screening // by the values of all changes, settled or not
	open    int       // so many of those that give values are open
	held    []string  // changes whose settlement does not count
	against []AgainstScreening
}

// tell adds what changes say to a standing whose reasons are known.
func (s *Standing) tell(t *telling) {
	s.Against, s.Held = t.against, t.held
	if t.open == 0 {
		return
	}
	for i := range s.Reasons {
		r := &s.Reasons[i]
		if r.Cause != UpstreamCause {
			continue
		}
		t.now.Others += r.Count
		if t.now.Over { // many labels share the ground, and not this remedy
			g := *r.Ground
			g.Remedy = assess.Remedy{Words: "enter a study surveyed after the change in locations.csv; " +
				"or a named person may settle the change and is then responsible, which does not make the equipment safe: {}", Act: assess.ToAnswer, On: g.Change}
			if g.Open != nil {
				g.Remedy.Words += g.likewise(r.Count)
			}
			r.Ground = &g
		}
	}
	t.now.Others = max(0, t.now.Others-t.open)
	s.Screening = &t.now
}

// tellings holds what changes say about the subjects, by their numbers. For most labels
// there is nothing.
func (p *plant) tellings(subjects []Subject, s *assess.Site, settled *settledChanges, today assess.Date) map[int]*telling {
	told := map[string]bool{} // locations for which values are given
	for i := range s.Log.Changes {
		if c := &s.Log.Changes[i]; !today.Before(c.Date) {
			for id := range c.New {
				told[id] = true
			}
		}
	}
	all := map[int]*telling{}
	if len(told) == 0 {
		return all
	}
	changes := newLogged(&s.Log, today)
	reached := map[int][]uint64{} // by location, a bit for each logged change
	for id := range told {
		if at, ok := p.index[id]; ok {
			reached[at] = nil
		}
	}
	p.reachedBy(changes, reached, len(s.Locations))
	for i := range subjects {
		l := &subjects[i]
		if !told[l.ID] || l.Screen == nil {
			continue
		}
		of := story{id: l.ID, screen: l.Screen, known: func(at string) bool { _, ok := p.index[at]; return ok }}
		for k, c := range changes.changes {
			_, values := c.New[l.ID]
			if !c.Date.Before(l.Base) && (values || l.At >= 0 && reached[l.At][k/64]&(1<<(k%64)) != 0) {
				of.changes = append(of.changes, c)
			}
		}
		if t := of.tell(changes, settled); t != nil {
			all[i] = t
		}
	}
	return all
}

// logged returns the changes up to a day that matter for screenings, in the order of
// their days: those that give values, those of devices, and those settled against a
// screening.
type logged struct {
	changes []*assess.Change
	against []*assess.Settlement // up to that day
}

func newLogged(log *assess.Log, today assess.Date) *logged {
	l := &logged{}
	settled := map[string]bool{}
	for i := range log.Settlements {
		if e := &log.Settlements[i]; e.AgainstScreening != "" && !today.Before(e.Date) {
			l.against = append(l.against, e)
			settled[e.Change] = true
		}
	}
	for i := range log.Changes {
		c := &log.Changes[i]
		if !today.Before(c.Date) && (len(c.New) > 0 || c.Kind.Device || settled[c.ID]) {
			l.changes = append(l.changes, c)
		}
	}
	slices.SortStableFunc(l.changes, func(a, b *assess.Change) int { return a.Date.Compare(b.Date) })
	return l
}

// reachedBy says with bits, for each requested location, which of the changes reach it.
func (p *plant) reachedBy(l *logged, asked map[int][]uint64, locations int) {
	reached := make([]load, locations)
	for some := range slices.Chunk(l.changes, loadBits) {
		of := map[int]load{}
		for _, reach := range []assess.Reach{assess.Below, assess.Connected} {
			p.reached(some, reach, reached)
			for at := range asked {
				both := of[at]
				both.or(&reached[at])
				of[at] = both
			}
		}
		for at, l := range of {
			asked[at] = append(asked[at], l[:]...)
		}
	}
}

// story is the changes that reach one label, in the order of their days.
type story struct {
	id      string
	changes []*assess.Change
	screen  func([]assess.NewValues) Screening
	known   func(place string) bool // nil: every place is known
}

// until screens the label by the changes that count.
func (s *story) until(counts func(*assess.Change) bool) Screening {
	var told []assess.NewValues
	var changes []string
	for _, c := range s.changes {
		if !counts(c) {
			continue
		}
		var device assess.NewValues // in whichever case it clears the arc
		if c.Kind.Device {
			device = assess.NewValues{Device: c.Words(), At: c.At, Event: c.Date.String() + "/" + c.At}
			if s.known != nil && !s.known(c.At) {
				device.At = ""
			}
			told = append(told, device)
		}
		if v, ok := c.New[s.id]; ok {
			v.Device, v.At, v.Event = device.Device, device.At, device.Event
			told, changes = append(told, v), append(changes, c.ID)
		}
	}
	out := s.screen(told)
	out.Changes = changes
	return out
}

// before is the last screening known to be above the printed value before changes that
// give no values; nil if there is none. What was found too low stays so until something
// is known again.
func (s *story) before() *Screening {
	for n := len(s.changes) - 1; n > 0; n-- {
		first := s.changes[:n]
		then := s.until(func(c *assess.Change) bool { return slices.Contains(first, c) })
		switch {
		case then.Over:
			return &then
		case then.known:
			return nil
		}
	}
	return nil
}

// tell says what follows from the story; nil for nothing.
func (s *story) tell(l *logged, settled *settledChanges) *telling {
	var values []*assess.Change
	for _, c := range s.changes {
		if _, ok := c.New[s.id]; ok {
			values = append(values, c)
		}
	}
	if values == nil {
		return nil
	}
	t := &telling{now: s.until(func(*assess.Change) bool { return true })}
	answered := !t.now.Over
	var before *Screening
	if answered && !t.now.known {
		before = s.before()
	}
	byName := map[string]bool{} // changes that somebody settled against the screening
	for _, e := range l.against {
		at := slices.IndexFunc(s.changes, func(c *assess.Change) bool { return c.ID == e.Change })
		if at < 0 || !e.Scope.Holds(s.id) {
			continue
		}
		byName[e.Change] = true
		then := s.until(func(c *assess.Change) bool {
			return c == s.changes[at] || c.Date.Before(e.Date) || c.Date == e.Date && c.Line <= e.Line
		})
		if then.Over {
			t.against = append(t.against, AgainstScreening{e.Change, e.Date, e.By, e.AgainstScreening, then})
			answered = answered || then.covers(&t.now)
			if before != nil && then.covers(before) {
				before = nil
			}
		}
	}
	if before != nil {
		t.now, answered = *before, false
	}
	t.now.Changes = nil
	for _, c := range values {
		switch {
		case !settled.holds(c, s.id):
		case answered || byName[c.ID]:
			continue
		default:
			t.held = append(t.held, c.ID)
		}
		t.now.Changes = append(t.now.Changes, c.ID)
	}
	if !answered && t.now.Changes == nil { // each was accepted, but together they are more
		last := values[len(values)-1].ID
		t.held, t.now.Changes = []string{last}, []string{last}
	}
	t.open = len(t.now.Changes)
	return t
}
