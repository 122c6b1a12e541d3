package plant

import (
	"fmt"

	"vouchmark/assess"
	"vouchmark/assess/standing"
	"vouchmark/label/record"
)

// checkDates finds newer dates in a row whose numbers are all as those of the
// label printed last: dates alone clear no change. It is an error while
// something puts that label in question that a newer study would clear.
func (p *Place) checkDates() {
	r, a := p.last(), p.Assessment
	if r == nil || !r.Location.Base().Before(a.Location.Base()) && !r.Prepared.Before(a.Prepared) ||
		!record.SameNumbers(r, record.New(a)) {
		return
	}
	level := assess.Caution
	text := fmt.Sprintf("%s, while every number is as before; where the study was only reviewed, log the review in its place",
		newerDates(r, a))
	if open := p.open(); open != "" {
		level = assess.Error
		text = fmt.Sprintf("%s, while every number is as before, and it does not hold: %s; newer dates alone clear nothing: "+
			"enter a study that looked at it, or settle it", newerDates(r, a), open)
	} else if answered(r, assess.SurveyAlone) {
		level = assess.Error
		text = newerDates(r, a) + ", while every number is as before, and those dates were newer alone already"
	}
	a.Add(assess.SurveyAlone, level, a.Location.Cases[0].Line, "surveyed", text)
}

// newerDates says which dates of a row are newer than a record's.
func newerDates(r *record.Record, a *assess.Assessment) string {
	is, was := a.Location.Base(), r.Location.Base()
	if is == was {
		is, was = a.Prepared, r.Prepared
	}
	return fmt.Sprintf("the study speaks of %s, that of the label printed last of %s", is, was)
}

// open is the first of the reasons against the label printed last that a newer
// study would clear; "" for none. That its row differs is not one.
func (p *Place) open() string {
	reasons := p.Printed.Standing.Reasons
	for i := range reasons {
		r := &reasons[i]
		if r.Status == standing.InQuestion && r.Cause != standing.DataCause && r.Cause != standing.PolicyCause &&
			r.Cause != standing.FindingCause {
			return r.Words()
		}
	}
	return ""
}
