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
			subjects = append(subjects, v.ofLabel(i, reviewed))
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
	sub := standing.Subject{ID: l.ID, At: i, Prepared: a.Prepared, Surveyed: a.Surveyed, ReviewBy: a.ReviewBy}
	for _, c := range l.Cases {
		if assess.OlderEdition(c.Edition, s.Policy.Edition) {
			sub.Edition = c.Edition
		}
	}
	if a.Energy.Value > 0 && a.Boundary.Value > 0 {
		printed := printedNumbers(a.Energy.Value, a.Boundary.Value, a.Fault.Value, l.Distance)
		sub.Screen = func(n assess.NewValues) standing.Screening { return standing.Screen(l, s, printed, n) }
	}
	return sub
}

// ofLabel is the label of a place that was printed last.
func (v *View) ofLabel(i int, reviewed func(string, assess.Date) *assess.Review) standing.Subject {
	p := &v.Places[i]
	sub := v.ofRecord(p.Assessment.Location.ID, p.Printed, reviewed)
	sub.At = i
	if r := p.Printed.Record; r != nil {
		sub.Drift = record.Drift(r, record.New(p.Assessment, v.Site))
		p.Worse = sub.Drift.Worse
		for _, f := range p.Assessment.Findings {
			if f.Level == assess.Error && sub.Refused == "" {
				sub.Refused = f.Field + ": " + f.Message
			}
		}
	}
	return sub
}

func (v *View) ofUnlisted(u *Unlisted, reviewed func(string, assess.Date) *assess.Review) standing.Subject {
	sub := v.ofRecord(u.ID, &u.Printed, reviewed)
	sub.At = -1
	return sub
}

// ofRecord is a printed label by its record alone.
func (v *View) ofRecord(id string, p *record.Printing, reviewed func(string, assess.Date) *assess.Review) standing.Subject {
	sub := standing.Subject{ID: id}
	if w := p.Withdrawn; w != nil {
		sub.Withdrawn = &standing.Withdrawal{Date: w.Date, Reason: w.Reason, By: w.By}
	}
	r := p.Record
	if r == nil {
		sub.Lost = p.Err.Error()
		// Nothing is known of its study: it counts as of the day it was printed.
		sub.Prepared = p.Since
		sub.ReviewBy = p.Since.AddMonths(v.Site.Policy.ReviewMonths)
		return sub
	}
	sub.Prepared, sub.Surveyed, sub.Shows = r.Day(r.Assessment.Prepared), r.Day(r.Assessment.Surveyed), r.Day(r.Assessment.ReviewBy)
	from := sub.Prepared
	if sub.Reviewed = reviewed(id, sub.Prepared); sub.Reviewed != nil {
		from = sub.Reviewed.Date
	}
	// Of two intervals, the label's and the owner's of today, the shorter one counts.
	sub.ReviewBy = from.AddMonths(min(r.Policy.ReviewMonths, v.Site.Policy.ReviewMonths))
	for i := range r.Rows {
		if e := r.Rows[i].Edition; assess.OlderEdition(e, v.Site.Policy.Edition) {
			sub.Edition = e
		}
	}
	if site, err := r.Rebuild(); err == nil {
		fault := 0.0
		if r.Results.Fault != nil {
			fault = r.Results.Fault.Value
		}
		printed := printedNumbers(r.Results.Energy.Value, r.Results.Boundary.Value, fault, site.Locations[0].Distance)
		sub.Screen = func(n assess.NewValues) standing.Screening {
			return standing.Screen(&site.Locations[0], site, printed, n)
		}
	}
	return sub
}

// printedNumbers are the numbers of a label as it says them.
func printedNumbers(energy, boundary, fault float64, distance assess.MM) standing.Printed {
	b := assess.BoundaryToPrint(assess.CalCM2(energy), assess.MM(boundary), distance)
	return standing.Printed{
		Energy:   float64(assess.PrintedCal(assess.CalCM2(energy))),
		Boundary: float64(assess.PrintedInches(b)) * assess.MMPerInch,
		Fault:    float64(assess.PrintedKA(assess.KA(fault))),
	}
}
