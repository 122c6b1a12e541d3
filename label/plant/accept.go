package plant

import (
	"fmt"
	"slices"

	"vouchmark/assess"
	"vouchmark/label/record"
)

// checkAccepted takes back the acceptances that the label was printed by and
// that do not count for the row as it is: an acceptance speaks of the numbers
// that the row had then.
func (p *Place) checkAccepted() {
	r, a := p.last(), p.Assessment
	if r == nil || len(r.Accept) == 0 {
		return
	}
	now := record.New(a)
	if len(record.Decided(r, now)) > 0 {
		for _, by := range a.Accept {
			if slices.ContainsFunc(r.Accept, func(x assess.Acceptance) bool { return x.Is(&by) }) {
				a.Revoke(by)
			}
		}
	} else if answered(r, assess.SurveyAlone) {
		a.Add(assess.SurveyAlone, assess.Error, a.Location.Cases[0].Line, "surveyed",
			"the dates are newer than those of the label before, every number is as before, and a change was open then; "+
				"enter a study that looked at the change, or settle it")
	}
}

// answered reports whether somebody answered for a finding when a label was
// printed.
func answered(r *record.Record, code assess.Code) bool {
	return slices.ContainsFunc(r.Accept, func(a assess.Acceptance) bool { return a.Finding == code })
}

// stopped is what stops a print of the row by which a label was printed, and
// since when; a zero day where that is not known.
func (p *Place) stopped(r *record.Record, today assess.Date) (why string, since assess.Date) {
	a := p.Assessment
	if l := a.Lapsed(r.Accept, r.ReviewBy, today); l != nil {
		return fmt.Sprintf("%s: %s; %s answered for it until %s",
			l.Finding.Field, l.Finding.Message, l.By.By, l.Since.AddDays(-1)), l.Since
	}
	return a.Stopped(), assess.Date{}
}
