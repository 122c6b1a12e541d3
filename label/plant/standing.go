package plant

import (
	"slices"

	"vouchmark/assess"
	"vouchmark/assess/standing"
	"vouchmark/label"
	"vouchmark/label/record"
)

// judge gives the labels their standings: the last printed ones, and those that the
// rows would print now. Changes also reach them along feeds that only other
// labels' records know. former are labels of former ids that were not asked for.
func (p *Plant) judge(others []standing.Subject, former []Unlisted) {
	reviewed := p.Site.Log.ReviewedRight(p.Today)
	most := 2*len(p.Places) + len(p.Unlisted) + len(former) + len(others)
	subjects := make([]standing.Subject, 0, most)
	judged := make([]*standing.Standing, 0, most) // where the standing of each subject belongs
	for i := range p.Places {
		place := &p.Places[i]
		subjects, judged = append(subjects, p.ofRow(place)), append(judged, &place.Row)
		if l := place.Printed; l != nil {
			sub := p.ofLabel(place, l.Printing, reviewed)
			sub.Moved, sub.Above = p.moved(place.Number, &l.Printing), p.above(&l.Printing, place)
			subjects[len(subjects)-1].Above = sub.Above // what the row would print replaces it
			l.Worse = sub.Drift.Worse
			subjects, judged = append(subjects, sub), append(judged, &l.Standing)
		}
	}
	for _, list := range [][]Unlisted{p.Unlisted, former} {
		for i := range list {
			u := &list[i]
			sub := p.ofRecord(u.ID, u.Printing, assess.Date{}, reviewed)
			subjects, judged = append(subjects, sub), append(judged, &u.Standing)
		}
	}
	p.subjects = append(subjects, others...)
	for i := len(subjects); i < len(p.subjects); i++ {
		o := &p.subjects[i]
		printing, _ := p.History.Last(o.ID)
		o.Moved = p.moved(o.At, &printing)
	}
	for range others {
		judged = append(judged, &standing.Standing{})
	}
	p.standings(judged, p.subjects)
}

// ways is a label that only counts for the feeds and devices in its record.
func ways(id string, at int, r *record.Record) standing.Subject {
	sub := standing.Subject{ID: id, At: at}
	if r != nil {
		sub.FedFrom, sub.TiedTo, sub.Base = r.Location.FedFrom(), r.Location.TiedTo(), r.Location.Base()
		for i := range r.Location.Cases {
			sub.DeviceAt = append(sub.DeviceAt, r.Location.Cases[i].DeviceAt)
			sub.Devices = append(sub.Devices, r.Location.DeviceKeys(i)...)
		}
	}
	return sub
}

// standings judges labels, each into its place, and puts into words what would clear each doubt.
func (p *Plant) standings(all []*standing.Standing, subjects []standing.Subject) {
	standing.Judge(all, subjects, p.Site, p.Today)
	for _, s := range all {
		for k := range s.Reasons {
			if r := &s.Reasons[k]; r.Clears == "" {
				r.Clears = r.Remedy.Text(p.command)
			}
		}
	}
}

// ofRow is the label that the row of a place would print.
func (p *Plant) ofRow(place *Place) standing.Subject {
	a := place.Assessment
	l := a.Location
	sub := standing.Subject{ID: l.ID, At: place.Number, Prepared: a.Prepared, Base: l.Base(), ReviewBy: a.ReviewBy}
	sub.Unreviewed = a.Prepared.AddMonths(p.Site.Policy.ReviewMonths)
	if place.Record != nil {
		sub.Accepted = renewals(place.Record, a)
	}
	sub.Edition = olderEdition(l, p.Site.Policy.Edition)
	if a.Energy.Value > 0 && a.Boundary.Value > 0 {
		sub.Screen = p.screen(&a.Inputs, &a.Outcome)
	}
	return sub
}

// renewals are the acceptances by which a label was printed, and those that now
// count for the same findings.
func renewals(r *record.Record, a *assess.Assessment) []assess.Acceptance {
	all := slices.Clone(r.Accept)
	for _, by := range a.Accept {
		if answered(r, by.Finding) && !slices.ContainsFunc(all, func(x assess.Acceptance) bool { return x.Is(&by) && x.Until == by.Until }) {
			all = append(all, by)
		}
	}
	return all
}

// olderEdition is the edition of a study if it is older than the site's; else "".
func olderEdition(l *assess.Location, site string) string {
	older := ""
	for i := range l.Cases {
		if e := l.Cases[i].Edition; assess.OlderEdition(e, site) {
			older = e
		}
	}
	return older
}

// screen compares new values with what a label prints.
func (p *Plant) screen(in *assess.Inputs, o *assess.Outcome) func([]assess.NewValues) standing.Screening {
	return func(told []assess.NewValues) standing.Screening {
		return standing.Screen(p.ratings.Own(in), printed(o, in.Policy.Units), told)
	}
}

// ofLabel is a printed label of a place.
func (p *Plant) ofLabel(place *Place, printing record.Printing, reviewed reviews) standing.Subject {
	a, r, newer := place.Assessment, printing.Record, assess.Date{}
	if r != nil && r.Prepared.Before(a.Prepared) {
		newer = a.Prepared
	}
	sub := p.ofRecord(place.ID(), printing, newer, reviewed)
	sub.At = place.Number
	switch l := a.Location; {
	case l.Unlabeled:
		sub.Unlabeled = true
	case len(l.Unreadable) > 0:
		sub.Unreadable = a.Stopped()
	case r != nil:
		sub.Drift = record.Drift(r, place.now())
		sub.Refused, sub.RefusedSince = place.stopped(r, p.Today)
		sub.Accepted = renewals(r, a)
	}
	return sub
}

// reviews gives the last review that found a study right, see
// assess.Log.ReviewedRight.
type reviews func(id string, prepared, newer assess.Date) *assess.Review

// ofRecord is a printed label, from its record alone.
func (p *Plant) ofRecord(id string, printing record.Printing, newer assess.Date, reviewed reviews) standing.Subject {
	sub := ways(id, -1, printing.Record)
	if w := printing.Withdrawn; w != nil {
		sub.Withdrawn = &standing.Withdrawal{Date: w.Date, Reason: w.Reason, By: w.By}
	}
	if printing.Strip {
		sub.Strip = &printing.Printed
	}
	if !printing.Overlay.IsZero() {
		sub.Overlay = &printing.Overlay
	}
	r, months := printing.Record, p.Site.Policy.ReviewMonths
	if r == nil {
		sub.Lost = printing.Err.Error()
		// Nothing is known about its study: the day of the print counts.
		sub.Prepared, sub.Base, sub.ReviewBy = printing.Since, printing.Since, printing.Since.AddMonths(months)
		return sub
	}
	sub.Prepared, sub.Shows, sub.Accepted = r.Prepared, r.ReviewBy, r.Accept
	from := sub.Prepared
	if sub.Reviewed = reviewed(id, sub.Prepared, newer); sub.Reviewed != nil {
		from = sub.Reviewed.Date
	}
	// Of two intervals, the label's and the owner's of today, the shorter one counts.
	months = min(r.Policy.ReviewMonths, months)
	sub.ReviewBy, sub.Unreviewed = from.AddMonths(months), sub.Prepared.AddMonths(months)
	sub.Edition = olderEdition(r.Location, p.Site.Policy.Edition)
	sub.Screen = p.screen(&r.Inputs, r.Outcome)
	return sub
}

// printed gives the numbers of a label as printed. If a number is printed in two
// units, the smaller of the two roundings counts.
func printed(o *assess.Outcome, u assess.Units) standing.Printed {
	says := standing.Printed{
		Energy:   printedEnergy(o.Energy.Value, u),
		Bound:    o.Energy.Bound,
		Boundary: printedBoundary(o.BoundaryToPrint, u),
		Fault:    assess.PrintedKA(o.Fault.Value),
	}
	says.Says.Energy, says.Says.Boundary = label.EnergyOf(o.Energy, u), label.Boundary(o.BoundaryToPrint, o.BoundaryToPrint, u)
	says.Says.Fault = label.Current(o.Fault.Value)
	if m := o.Maintenance; m != nil && m.Permits() {
		says.EnergyOn, says.BoundaryOn = printedEnergy(m.Energy.Value, u), printedBoundary(m.BoundaryToPrint, u)
		says.Says.EnergyOn, says.Says.BoundaryOn = label.EnergyOf(m.Energy, u), label.Boundary(m.BoundaryToPrint, m.BoundaryToPrint, u)
	}
	return says
}

func printedEnergy(e assess.CalCM2, u assess.Units) assess.CalCM2 {
	cal := assess.PrintedCal(e)
	if u == assess.US {
		return cal
	}
	return min(cal, assess.CalCM2(assess.PrintedJoule(e)/assess.JoulePerCal))
}

func printedBoundary(b assess.MM, u assess.Units) assess.MM {
	inches, metric := assess.MM(assess.PrintedInches(b))*assess.MMPerInch, assess.MM(assess.PrintedMM(b))
	switch u {
	case assess.US:
		return inches
	case assess.SI:
		return metric
	}
	return min(inches, metric)
}

// StandingsOf gives the standings of records that are not the last printed label of
// their location, such as those of fault current markings. They are judged as if
// they were mounted like the labels: changes reach them along their feeds too.
func (p *Plant) StandingsOf(records []*record.Record) []standing.Standing {
	if len(records) == 0 {
		return nil
	}
	reviewed := p.Site.Log.ReviewedRight(p.Today)
	subjects := slices.Clone(p.subjects)
	for _, r := range records {
		printing := record.Printing{Label: &record.Label{}, Record: r}
		if place, listed := p.Place(r.Location.ID); listed {
			sub := p.ofLabel(place, printing, reviewed)
			sub.Above = p.above(&printing, place)
			subjects = append(subjects, sub)
		} else {
			subjects = append(subjects, p.ofRecord(r.Location.ID, printing, assess.Date{}, reviewed))
		}
	}
	all := make([]standing.Standing, len(subjects))
	into := make([]*standing.Standing, len(all))
	for i := range all {
		into[i] = &all[i]
	}
	p.standings(into, subjects)
	return all[len(p.subjects):]
}

// Replaced is the standing of a label that was replaced by another.
func (p *Plant) Replaced(e record.Earlier) standing.Standing {
	by := string(e.By.Code())
	remedy := assess.Remedy{Words: "remove this label; {} prints the current one", Act: assess.ToReprint, On: by}
	ground := standing.Ground{Cause: standing.ReplacedCause, Status: standing.Replaced,
		Detail: "a newer label was printed: " + by, Remedy: remedy, Clears: remedy.Text(p.command)}
	return standing.Standing{Status: standing.Replaced,
		Reasons: []standing.Reason{{Since: e.Replaced, Ground: &ground}}}
}

// mostTouched is how many changes are listed for one location.
const mostTouched = 50

// Touched gives for each location of the site what the log of changes says about it.
func (p *Plant) Touched() []standing.Touched {
	return standing.Touching(p.Site, p.subjects, p.Today, mostTouched)
}

// Planned is the same for the changes dated after today.
func (p *Plant) Planned() []standing.Touched {
	return standing.Planned(p.Site, p.subjects, p.Today, mostTouched)
}
