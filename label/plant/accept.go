package plant

import (
	"fmt"
	"slices"

	"vouchmark/assess"
	"vouchmark/label/record"
)

// checkAccepted revokes acceptances by which labels of the location were printed
// and which do not count for the row as it is now. An acceptance covers the
// numbers that the row had then, and a label printed in between does not widen it.
func (p *Place) checkAccepted(h *record.History) {
	r, a := p.last(), p.Assessment
	if r == nil {
		return
	}
	if len(a.Accept) > 0 {
		now := p.now()
		for _, of := range append(h.Before(&p.Printed.Printing), r) {
			if of == nil || len(of.Accept) == 0 || len(record.Decided(of, now)) == 0 {
				continue
			}
			for _, by := range slices.Clone(p.Assessment.Accept) {
				if slices.ContainsFunc(of.Accept, func(x assess.Acceptance) bool { return x.Is(&by) }) {
					p.own().Revoke(by)
				}
			}
		}
	}
	if answered(r, assess.SurveyAlone) && !newer(r, a) {
		p.own().Add(assess.SurveyAlone, assess.Error, a.Location.Cases[0].Line, "surveyed",
			"the last printed label relies on a named person who accepted newer dates without recalculated numbers; "+
				"enter a study that was made again, or have it accepted again")
	}
}

// answered reports whether a label was printed with an accepted finding of a code.
func answered(r *record.Record, code assess.Code) bool {
	return slices.ContainsFunc(r.Accept, func(a assess.Acceptance) bool { return a.Finding == code })
}

// stopped says why the row of a printed label can no longer be printed, and since
// when; a zero day if that is not known.
func (p *Place) stopped(r *record.Record, today assess.Date) (why string, since assess.Date) {
	a := p.Assessment
	if l := a.Lapsed(r.Accept, r.ReviewBy, today); l != nil {
		return fmt.Sprintf("%s; %s was responsible for it until %s",
			l.Finding.Sentence(), l.By.By, l.Since.AddDays(-1)), l.Since
	}
	return a.Stopped(), assess.Date{}
}
