package report

import (
	"cmp"
	"slices"

	"vouchmark/assess"
	"vouchmark/assess/standing"
	"vouchmark/label/record"
)

// judgeStandings gives the places of a view their standings: that of the label
// printed last, and that of the row as it is now.
func (v *View) judgeStandings(h *record.History) {
	s := v.Site
	reviewed := s.Log.ReviewedRight(v.Today)
	subjects := make([]standing.Subject, 0, len(v.Places)+len(h.Labels))
	for i := range v.Places {
		subjects = append(subjects, v.ofRow(i))
	}
	for i := range v.Places { // those of the labels stand behind those of the rows, in the same order
		if v.Places[i].Printed != nil {
			sub := v.ofLabel(i, v.Places[i].Printed, reviewed)
			v.Places[i].Worse = sub.Drift.Worse
			subjects = append(subjects, sub)
		}
	}
	index := s.Index()
	for id, p := range h.Labels {
		if _, listed := index[id]; !listed {
			v.Unlisted = append(v.Unlisted, Unlisted{ID: id, Printed: p})
		}
	}
	slices.SortFunc(v.Unlisted, func(a, b Unlisted) int { return cmp.Compare(a.ID, b.ID) })
	for i := range v.Unlisted {
		subjects = append(subjects, v.ofUnlisted(&v.Unlisted[i], reviewed))
	}
	v.subjects = subjects
	all := standing.Of(subjects, s, v.Today)
	labels := all[len(v.Places):]
	for i := range v.Places {
		p := &v.Places[i]
		p.Row, p.Standing = all[i], all[i]
		if p.Printed != nil {
			p.Standing, labels = labels[0], labels[1:]
		}
	}
	for i := range v.Unlisted {
		v.Unlisted[i].Standing = labels[i]
	}
}

// ofRow is the label that the row of a place would print.
func (v *View) ofRow(i int) standing.Subject {
	a, s := v.Places[i].Assessment, v.Site
	l := a.Location
	sub := standing.Subject{ID: l.ID, At: i, Prepared: a.Prepared, Base: l.Base(), ReviewBy: a.ReviewBy}
	for _, c := range l.Cases {
		if assess.OlderEdition(c.Edition, s.Policy.Edition) {
			sub.Edition = c.Edition
		}
	}
	if a.Energy.Value > 0 && a.Boundary.Value > 0 {
		printed := printedNumbers(&a.Outcome, s.Policy.Units)
		sub.Screen = func(n assess.NewValues) standing.Screening { return standing.Screen(&a.Inputs, printed, n) }
	}
	return sub
}

// ofLabel is the label of a place that was printed last.
func (v *View) ofLabel(i int, printed *record.Printing, reviewed reviews) standing.Subject {
	p := &v.Places[i]
	newer := assess.Date{}
	if r := printed.Record; r != nil && r.Prepared.Before(p.Assessment.Prepared) {
		newer = p.Assessment.Prepared
	}
	sub := v.ofRecord(p.Assessment.Location.ID, printed, newer, reviewed)
	sub.At = i
	if r := printed.Record; r != nil {
		sub.Drift = record.Drift(r, record.New(p.Assessment))
		sub.Refused = p.Assessment.Stopped()
	}
	return sub
}

// reviews gives the last review that found a study right, see
// assess.Log.ReviewedRight.
type reviews func(id string, prepared, newer assess.Date) *assess.Review

func (v *View) ofUnlisted(u *Unlisted, reviewed reviews) standing.Subject {
	sub := v.ofRecord(u.ID, &u.Printed, assess.Date{}, reviewed)
	sub.At = -1
	return sub
}

// ofRecord is a printed label by its record alone.
func (v *View) ofRecord(id string, p *record.Printing, newer assess.Date, reviewed reviews) standing.Subject {
	sub := standing.Subject{ID: id}
	if w := p.Withdrawn; w != nil {
		sub.Withdrawn = &standing.Withdrawal{Date: w.Date, Reason: w.Reason, By: w.By}
	}
	if p.Strip {
		sub.Strip = &p.Printed
	}
	if !p.Overlay.IsZero() {
		sub.Overlay = &p.Overlay
	}
	r := p.Record
	if r == nil {
		sub.Lost = p.Err.Error()
		// Nothing is known of its study: it counts as of the day it was printed.
		sub.Prepared, sub.Base = p.Since, p.Since
		sub.ReviewBy = p.Since.AddMonths(v.Site.Policy.ReviewMonths)
		return sub
	}
	sub.Prepared, sub.Shows = r.Prepared, r.ReviewBy
	from := sub.Prepared
	if sub.Reviewed = reviewed(id, sub.Prepared, newer); sub.Reviewed != nil {
		from = sub.Reviewed.Date
	}
	// Of two intervals, the label's and the owner's of today, the shorter one counts.
	sub.ReviewBy = from.AddMonths(min(r.Policy.ReviewMonths, v.Site.Policy.ReviewMonths))
	for i := range r.Location.Cases {
		c := &r.Location.Cases[i]
		if assess.OlderEdition(c.Edition, v.Site.Policy.Edition) {
			sub.Edition = c.Edition
		}
		sub.DeviceAt = append(sub.DeviceAt, c.DeviceAt)
	}
	sub.FedFrom, sub.Base = r.Location.FedFrom, r.Location.Base()
	says := printedNumbers(&r.Outcome, r.Policy.Units)
	sub.Screen = func(n assess.NewValues) standing.Screening { return standing.Screen(&r.Inputs, says, n) }
	return sub
}

// printedNumbers are the numbers of a label as it says them. Where it says one
// in two units, the smaller of the two roundings counts.
func printedNumbers(o *assess.Outcome, u assess.Units) standing.Printed {
	energy, b := o.Energy.Value, o.BoundaryToPrint
	p := standing.Printed{
		Energy:   assess.PrintedCal(energy),
		Boundary: assess.MM(assess.PrintedInches(b)) * assess.MMPerInch,
		Fault:    assess.PrintedKA(o.Fault.Value),
	}
	switch metric := assess.MM(assess.PrintedMM(b)); u {
	case assess.SI:
		p.Boundary = metric
	case assess.Both:
		p.Boundary = min(p.Boundary, metric)
	}
	if u != assess.US {
		p.Energy = min(p.Energy, assess.CalCM2(assess.PrintedJoule(energy)/assess.JoulePerCal))
	}
	return p
}

// StandingsOf are the standings of records that are not the label printed last
// of their location: of fault current markings, say. They are judged as if they
// hung.
func (v *View) StandingsOf(records []*record.Record) []standing.Standing {
	if len(records) == 0 {
		return nil
	}
	reviewed := v.Site.Log.ReviewedRight(v.Today)
	index := v.Site.Index()
	// Beside the labels that hang: changes reach them by their feeds too.
	subjects := slices.Clone(v.subjects)
	for _, r := range records {
		printing := &record.Printing{Record: r}
		if i, listed := index[r.Location.ID]; listed {
			subjects = append(subjects, v.ofLabel(i, printing, reviewed))
		} else {
			subjects = append(subjects, v.ofUnlisted(&Unlisted{ID: r.Location.ID, Printed: *printing}, reviewed))
		}
	}
	return standing.Of(subjects, v.Site, v.Today)[len(v.subjects):]
}
