package plant

import (
	"fmt"
	"slices"

	"vouchmark/assess"
	"vouchmark/label/record"
)

// A row that is given another id has no label of its own, and what changes told
// is told of the former id. Its numbers are not forgotten by that.

// checkFormer finds a row without a label whose numbers are those of a label
// that locations.csv no longer holds, and of which changes tell more than the
// row would print: it is that label's row by another id, or one that knows no
// more.
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
			a.Add(assess.SurveyAlone, assess.Error, a.Location.Cases[0].Line, "id", fmt.Sprintf(
				"its numbers are those of the label of %s, which is too low by what changes told: %s; "+
					"enter a study that looked at it, or let a named person take responsibility for it", u.ID, s.Found()))
			return
		}
	}
}

// tooLowBefore are the labels of former ids of which changes tell more than they
// print, in the order of their ids. A label that was taken out of use is none.
func (p *Plant) tooLowBefore() []TooLow {
	var all []TooLow
	for i := range p.Unlisted {
		if u := &p.Unlisted[i]; u.Withdrawn == nil && u.Standing.Understated() {
			all = append(all, TooLow{u.ID, u.Standing.Screening})
		}
	}
	return all
}

// checkNotes says how many labels note nothing of the rows above them: they were
// printed before labels did.
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
	labels, their := "1 label was", "its feeds were"
	if n > 1 {
		labels, their = fmt.Sprintf("%d labels were", n), "their feeds were"
	}
	p.Findings = append(p.Findings, assess.Finding{
		Level: assess.Caution, Code: assess.FeedsNotNoted, Field: "fed_from", File: "locations.csv", Line: first,
		Message: labels + " printed before " + their + " noted: an edit of a row above may not reach them; " +
			"log what changes there, until a newer study of each is printed"})
}
