package plant

import (
	"cmp"
	"slices"

	"vouchmark/assess"
	"vouchmark/assess/standing"
	"vouchmark/label/record"
)

// Which values upstream a label's study relied on is known in two ways: from the
// labels that those places had, and from what the label's own record notes about
// them, which includes places that never had a label.

// state is a location as it was when a label was printed, or as its row is.
type state struct {
	*assess.Inputs
	day assess.Date // of the first print of its label; zero for the row
}

// moved says how the row of a location differs from the records of its labels in
// what the studies below rely on, and since when; nil if it does not differ, or
// feeds nothing. Replaced labels count too: printing the new value here does not
// change the studies below.
func (p *Plant) moved(at int, printing *record.Printing) *standing.Moved {
	l := &p.Site.Locations[at]
	if !p.feeding()[l.ID] {
		return nil
	}
	in := p.Site.Inputs(l)
	states := p.states(l.ID, printing)
	var worst *standing.Moved
	for i := range states {
		m := p.since(append(states[i:len(states):len(states)], state{Inputs: &in}))
		if worst == nil || m != nil && !worst.Found && (m.Found || worst.Since.Before(m.Since)) {
			worst = m
		}
	}
	return worst
}

// since is the worst difference, for the locations below, between the first and
// the last of some states, with the day from which a study could know it: that of
// the first newer study, else that of the first print of a label with it; nil for
// none.
func (p *Plant) since(states []state) *standing.Moved {
	var worst *standing.Moved
	last := states[len(states)-1].Inputs
	for _, d := range record.PassedOn(states[0].Inputs, last) {
		m := p.sinceOf(states, d.Difference, d.Case, func(s *state) bool { return len(record.PassedOn(s.Inputs, last)) == 0 })
		if worst == nil || !worst.Found && (m.Found || worst.Since.Before(m.Since)) {
			worst = m
		}
	}
	return worst
}

func (p *Plant) sinceOf(states []state, d standing.Difference, name string, has func(*state) bool) *standing.Moved {
	m := &standing.Moved{Difference: d}
	for i := range states[1:] {
		if day := prepared(states[1+i], name); prepared(states[0], name).Before(day) {
			m.Since = day
			m.Found = p.Today.Before(day) // a study dated in the future
			return m
		}
	}
	m.Undated = true
	for i := range states[1:] {
		if s := &states[1+i]; !s.day.IsZero() && has(s) {
			m.Since = s.day
			return m
		}
	}
	m.Found = true
	return m
}

// prepared is the day of the study of a case, or of a location's oldest study if it
// has no such case.
func prepared(s state, name string) assess.Date {
	if c := s.Location.CaseNamed(name); c != nil {
		return c.Prepared
	}
	oldest := s.Location.Cases[0].Prepared
	for i := range s.Location.Cases {
		if d := s.Location.Cases[i].Prepared; d.Before(oldest) {
			oldest = d
		}
	}
	return oldest
}

// states returns the labels of a location, oldest first, as far as their records
// can be read. They are read once.
func (p *Plant) states(id string, printing *record.Printing) []state {
	all, known := p.labels[id]
	if known {
		return all
	}
	add := func(r *record.Record, day assess.Date) {
		if r != nil {
			all = append(all, state{&r.Inputs, day})
		}
	}
	var day assess.Date
	for i, r := range p.History.Before(printing) {
		add(r, day)
		day = printing.Earlier[i].Replaced
	}
	add(printing.Record, printing.Since)
	if p.labels == nil {
		p.labels = map[string][]state{}
	}
	p.labels[id] = all
	return all
}

// above lists what the record of a label notes about rows upstream and they no
// longer say. place is that of its row.
func (p *Plant) above(printing *record.Printing, place *Place) []standing.Above {
	if printing.Record == nil || printing.Record.Feeds == nil {
		return nil
	}
	index, id := p.indexed(), printing.Record.Location.ID
	late := printing.Record.Prepared.AddDays(1)
	var all []standing.Above
	way := func(id, was, is string) {
		m := &standing.Moved{Difference: standing.Difference{Old: was, New: is}, Way: true, Late: true, Since: late}
		at, listed := index[id]
		if !listed {
			at = -1
		}
		all = append(all, standing.Above{ID: id, At: at, Moved: m})
	}
	if printing.Record == place.first { // it notes what the rows say
		for i, f := range printing.Record.Feeds {
			if i == 0 || printing.Record.Feeds[i-1].ID != f.ID {
				all = append(all, standing.Above{ID: f.ID, At: index[f.ID]})
			}
		}
		return all
	}
	noted, l := printing.Record.Above(), place.Assessment.Location
	ways := !l.Unlabeled && len(l.Unreadable) == 0 // else its feeds do not matter
	for _, u := range noted {
		at, listed := index[u.ID]
		if _, now := slices.BinarySearchFunc(place.upstream, u.ID, feedID); ways && !now && u.ID != id {
			way(u.ID, u.ID, "")
			continue
		}
		if !listed {
			continue
		}
		l := &p.Site.Locations[at]
		in := p.Site.Inputs(l)
		was := state{Inputs: &assess.Inputs{Location: u.Location}}
		a := standing.Above{ID: u.ID, At: at}
		if l.ID != printing.Record.Location.ID {
			states := []state{was}
			for _, s := range p.printedSince(l.ID, printing.Since) {
				s.Inputs = &assess.Inputs{Location: s.Location} // nothing is noted about its curve
				states = append(states, s)
			}
			a.Moved = p.since(append(states, state{Inputs: &assess.Inputs{Location: l}}))
		}
		plate := p.plates()[u.ID]
		if d := otherPlate(&u.Plate, plate); d != nil && (a.Moved == nil || !a.Moved.Found) {
			a.Moved = p.sinceOf([]state{was, {Inputs: &in}}, *d, u.Cases[0].Name, func(*state) bool { return false })
			a.Moved.Plate = true
		}
		gone := u.Plate.KVA != 0 && plate == nil                                             // no study gives a new value of it
		if m := a.Moved; m != nil && (gone && m.Plate || !m.Found && m.Since.Before(late)) { // else the label would have noted it
			m.Found = false
			m.Late, m.Since = true, late
		}
		all = append(all, a)
	}
	for i := range place.upstream {
		f := &place.upstream[i]
		_, was := slices.BinarySearchFunc(noted, f.ID, func(u assess.Upstream, id string) int { return cmp.Compare(u.ID, id) })
		first := i == 0 || place.upstream[i-1].ID != f.ID // of its cases
		if !was && first && f.ID != id {
			way(f.ID, "", f.ID)
		}
	}
	return all
}

func feedID(f assess.Feed, id string) int { return cmp.Compare(f.ID, id) }

// printedSince returns the labels of a location that were first printed on a day or
// later.
func (p *Plant) printedSince(id string, day assess.Date) []state {
	printing, printed := p.History.Last(id)
	if !printed {
		return nil
	}
	return slices.DeleteFunc(slices.Clone(p.states(id, &printing)), func(s state) bool { return s.day.Before(day) })
}

// otherPlate is the first difference in a transformer's nameplate; nil if there is
// none, or if none was noted.
func otherPlate(was, is *assess.Transformer) *standing.Difference {
	if was.KVA == 0 {
		return nil
	}
	if is == nil {
		return &standing.Difference{Field: "transformer kva", Old: assess.Number(was.KVA)}
	}
	for _, d := range []struct {
		key     string
		was, is float64
	}{
		{"kva", was.KVA, is.KVA},
		{"impedance_percent", was.ImpedancePercent, is.ImpedancePercent},
		{"secondary_v", float64(was.Secondary), float64(is.Secondary)},
	} {
		if !assess.Same(d.was, d.is) {
			return &standing.Difference{Field: "transformer " + d.key, Old: assess.Number(d.was), New: assess.Number(d.is)}
		}
	}
	return nil
}

// noteFeeds decides what the record of a new label notes about the rows upstream.
// It is what they said when a label of its study was first printed, so that a label
// printed for another reason, or with a strip, does not forget what the study
// relied on. While rows upstream differ from what its study knew, nothing new is
// noted.
func (p *Place) noteFeeds() {
	last := p.last()
	doubted := slices.ContainsFunc(p.Row.Reasons, func(r standing.Reason) bool { return r.Cause == standing.RowCause })
	var known []assess.Feed
	if last != nil && (doubted || !last.Prepared.Before(p.Assessment.Prepared)) {
		known = last.Feeds
	}
	if doubted {
		p.noteThese(known)
		return
	}
	all := slices.Clip(known)
	for _, f := range p.Assessment.Feeds {
		if !slices.ContainsFunc(known, func(k assess.Feed) bool { return k.ID == f.ID }) {
			all = append(all, f)
		}
	}
	if len(all) == len(known) { // as nearly always
		p.noteThese(known)
		return
	}
	slices.SortStableFunc(all, func(x, y assess.Feed) int {
		return cmp.Or(cmp.Compare(x.ID, y.ID), cmp.Compare(x.Case, y.Case))
	})
	p.noteThese(all)
}

// noteThese lets the record of a new label note these rows upstream.
func (p *Place) noteThese(all []assess.Feed) {
	if !slices.Equal(all, p.Assessment.Feeds) {
		p.own().Feeds = all
	}
}

// plates are the nameplates of transformers by their places.
func (p *Plant) plates() map[string]*assess.Transformer {
	if p.transformers == nil {
		p.transformers = map[string]*assess.Transformer{}
		for i := range p.Site.Policy.Transformers {
			t := &p.Site.Policy.Transformers[i]
			p.transformers[t.At] = t
		}
	}
	return p.transformers
}

// indexed numbers the locations by their ids.
func (p *Plant) indexed() map[string]int {
	if p.index == nil {
		p.index = p.Site.Index()
	}
	return p.index
}

// feeding returns the places that feed another one, or where its device is
// installed, from the rows and from the records.
func (p *Plant) feeding() map[string]bool {
	if p.feeds != nil {
		return p.feeds
	}
	p.feeds = map[string]bool{}
	note := func(l *assess.Location) {
		for i := range l.Cases {
			c := &l.Cases[i]
			p.feeds[c.DeviceAt] = p.feeds[c.DeviceAt] || c.DeviceAt != l.ID
			for _, list := range [][]string{c.FedFrom, c.TiedTo} {
				for _, id := range list {
					p.feeds[id] = true
				}
			}
			p.feeds[l.ID] = p.feeds[l.ID] || len(c.TiedTo) > 0
		}
	}
	for i := range p.Site.Locations {
		note(&p.Site.Locations[i])
	}
	for _, printing := range p.History.Labels {
		if printing.Record != nil {
			note(printing.Record.Location)
		}
	}
	return p.feeds
}
