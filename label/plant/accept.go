package plant

import (
	"fmt"
	"slices"

	"vouchmark/assess"
	"vouchmark/label/record"
)

// checkAccepted takes back the acceptances that labels of the location were
// printed by and that do not count for the row as it is: an acceptance speaks of
// the numbers that the row had then, and a label that was printed in between
// gives it no others.
func (p *Place) checkAccepted(h *record.History) {
	r, a := p.last(), p.Assessment
	if r == nil {
		return
	}
	now := record.New(a)
	if len(a.Accept) > 0 {
		for _, of := range append(h.Before(&p.Printed.Printing), r) {
			if of == nil || len(of.Accept) == 0 || len(record.Decided(of, now)) == 0 {
				continue
			}
			for _, by := range slices.Clone(a.Accept) {
				if slices.ContainsFunc(of.Accept, func(x assess.Acceptance) bool { return x.Is(&by) }) {
					a.Revoke(by)
				}
			}
		}
	}
	if answered(r, assess.SurveyAlone) && !newer(r, a) {
		a.Add(assess.SurveyAlone, assess.Error, a.Location.Cases[0].Line, "surveyed",
			"the label printed last rests on a named person's responsibility for dates without any recalculated number behind them; "+
				"enter a study that was made again, or let it be accepted again")
	}
}

// answered reports whether somebody took responsibility for a finding when a label was
// printed.
func answered(r *record.Record, code assess.Code) bool {
	return slices.ContainsFunc(r.Accept, func(a assess.Acceptance) bool { return a.Finding == code })
}

// stopped is what stops a print of the row by which a label was printed, and
// since when; a zero day where that is not known.
func (p *Place) stopped(r *record.Record, today assess.Date) (why string, since assess.Date) {
	a := p.Assessment
	if l := a.Lapsed(r.Accept, r.ReviewBy, today); l != nil {
		return fmt.Sprintf("%s: %s; %s was responsible for it until %s",
			l.Finding.Field, l.Finding.Message, l.By.By, l.Since.AddDays(-1)), l.Since
	}
	return a.Stopped(), assess.Date{}
}
