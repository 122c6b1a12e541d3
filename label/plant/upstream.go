package plant

import (
	"vouchmark/assess"
	"vouchmark/assess/standing"
	"vouchmark/label/record"
)

// state is a location as it was when a label was printed, or as its row is.
type state struct {
	*assess.Inputs
	day assess.Date // of the first print of its label; zero for the row
}

// moved says how the row of a location differs from a record of its labels in
// what the studies below rest on, and since when; nil where it does not, or
// where it feeds nothing. Labels that were replaced count too: that the new
// value was printed here does not tell those below of it.
func (p *Plant) moved(at int, printing *record.Printing) *standing.Moved {
	l := &p.Site.Locations[at]
	if !p.feeding()[l.ID] {
		return nil
	}
	in := p.Site.Inputs(l)
	states := p.states(printing)
	if states == nil {
		return nil
	}
	states = append(states, state{Inputs: &in})
	var worst *standing.Moved
	for i := range states[:len(states)-1] {
		for _, d := range record.PassedOn(states[i].Inputs, &in) {
			m := p.since(states[i:], &d)
			if m != nil && (worst == nil || !worst.Found && (m.Found || worst.Since.Before(m.Since))) {
				worst = m
			}
		}
	}
	return worst
}

// since is a difference between the first and the last of some states with the
// day since which a study could know it: that of the first newer study, else,
// for what rose, the day of the first print of a label that has it. A value that
// fell without a newer study is nil: its own label is in question, and those
// below are studied for more.
func (p *Plant) since(states []state, d *record.Passed) *standing.Moved {
	m := &standing.Moved{Difference: d.Difference}
	for i := range states[1:] {
		if day := prepared(states[1+i], d.Case); prepared(states[0], d.Case).Before(day) {
			m.Since = day
			m.Found = p.Today.Before(day) // a study that is still to come
			return m
		}
	}
	if !d.Rose {
		return nil
	}
	for i := range states[1:] {
		s := &states[1+i]
		if s.day.IsZero() {
			break
		}
		if len(record.PassedOn(s.Inputs, states[len(states)-1].Inputs)) == 0 {
			m.Since = s.day
			return m
		}
	}
	m.Found = true
	return m
}

// prepared is the day of the study of a case, or of a location's oldest where
// it has no such case.
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

// states are the labels of a location, oldest first, as far as their records
// can be read.
func (p *Plant) states(printing *record.Printing) []state {
	var all []state
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
	return all
}

// feeding are the places that feed another one, or in which its device stands,
// by the rows and by the records.
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
