package plant

import (
	"fmt"
	"slices"

	"vouchmark/assess"
	"vouchmark/label/record"
)

// A row that gets another id has no label of its own yet, and the values that
// changes gave belong to the former id. The new id must not hide them.

// checkFormer finds a row without a label whose numbers are those of a label that
// locations.csv no longer has, and for which changes gave more than the row would
// print: it is that label's row under another id, or one that knows no more.
func (p *Place) checkFormer(gone []Unlisted) {
	a := p.Assessment
	if p.Printed != nil || a.Location.Unlabeled || len(a.Location.Unreadable) > 0 {
		return
	}
	for i := range gone {
		u := &gone[i]
		s := u.Standing.Screening
		if u.Record == nil || !u.Standing.Understated() ||
			s.ShownBy(&a.Outcome, false, record.AsGood) && s.Less(&a.Outcome, true, record.AsGood) == "" {
			continue
		}
		if now := record.New(a); record.SameNumbers(u.Record, now) || record.SameDurations(u.Record, now) {
			p.own().Add(assess.SurveyAlone, assess.Error, a.Location.Cases[0].Line, "id", fmt.Sprintf(
				"its numbers are those of the label of %s, which is too low after a logged change: %s; "+
					"enter a study that takes the change into account, or have a named person accept it", u.ID, s.Found()))
			return
		}
	}
}

// tooLowBefore lists the labels of former ids for which changes gave more than
// they print, in the order of their ids, without the withdrawn ones.
func (p *Plant) tooLowBefore() []TooLow {
	var all []TooLow
	for i := range p.Unlisted {
		if u := &p.Unlisted[i]; u.Withdrawn == nil && u.Standing.Understated() {
			all = append(all, TooLow{u.ID, u.Standing.Screening})
		}
	}
	return all
}

// checkNotes counts the labels whose records do not note the rows upstream: they
// were printed before records did.
func (p *Plant) checkNotes() {
	n, first := 0, 0
	for i := range p.Places {
		place := &p.Places[i]
		l := place.Printed
		above := slices.ContainsFunc(place.upstream, func(f assess.Feed) bool { return f.ID != place.ID() })
		if above && l != nil && l.Withdrawn == nil && l.Record != nil && l.Record.Feeds == nil {
			if n++; n == 1 {
				first = place.Assessment.Location.Cases[0].Line
			}
		}
	}
	if n == 0 {
		return
	}
	labels, their := "1 label was", "its feeds"
	if n > 1 {
		labels, their = fmt.Sprintf("%d labels were", n), "their feeds"
	}
	p.Findings = append(p.Findings, assess.Finding{
		Level: assess.Caution, Code: assess.FeedsNotNoted, Field: "fed_from", File: "locations.csv", Line: first,
		Message: labels + " printed before records noted " + their + ": an edit of a row upstream may not reach them; " +
			"log changes there until a label with a newer study is printed"})
}
