package standing

import (
	"fmt"
	"slices"

	"vouchmark/assess"
)

// Subject is one label to judge: the last printed one, or the one that the row would
// print now.
type Subject struct {
	ID string
	At int // the location's number in the site; -1: locations.csv no longer holds it

	Prepared assess.Date
	Base     assess.Date // that the study describes, see assess.Location.Base
	ReviewBy assess.Date // on which its interval ends
	Edition  string      // of its study, if it is older than the site's; else ""

	// Only for a printed label: what feeds it and where its devices are installed,
	// according to its record. Changes still reach it this way after an edit of the
	// rows.
	FedFrom, TiedTo, DeviceAt []string
	Devices                   []string       // that clear its arc, see assess.DeviceKey
	Shows                     assess.Date    // REVIEW BY as printed
	Reviewed                  *assess.Review // the review that ReviewBy follows from; nil for none
	Unreviewed                assess.Date    // REVIEW BY without that review
	Withdrawn                 *Withdrawal
	Accepted                  []assess.Acceptance // for findings of the label
	Strip                     *assess.Date        // since when it has an INTERIM strip; nil if it has none
	Overlay                   *assess.Date        // when an overlay was printed for it; nil for none
	Drift                     Drift
	Refused                   string      // what stops a print of the row as it is now; "" for nothing
	RefusedSince              assess.Date // since when; zero if not known
	Unlabeled                 bool        // locations.csv says label = no
	Unreadable                string      // a cell of its row that cannot be read; "" for none
	Moved                     *Moved      // how its row differs from what the studies below rely on; nil if it does not
	Above                     []Above     // what its record notes about rows upstream, and how they differ
	Lost                      string      // why the label's record cannot be read; "" if it can

	// Screen compares the label with new values, those of earlier changes first; nil
	// if nothing is printed to compare with.
	Screen func([]assess.NewValues) Screening
}

// Withdrawal says that a label was withdrawn.
type Withdrawal struct {
	Date       assess.Date
	Reason, By string
}

// Of gives the standing of each subject on a day.
func Of(subjects []Subject, s *assess.Site, today assess.Date) []Standing {
	all := make([]Standing, len(subjects))
	into := make([]*Standing, len(all))
	for i := range all {
		into[i] = &all[i]
	}
	Judge(into, subjects, s, today)
	return all
}

// Judge is [Of] with a place for each standing.
func Judge(all []*Standing, subjects []Subject, s *assess.Site, today assess.Date) {
	for i := range all {
		*all[i] = Standing{Status: Holds}
	}
	byChanges(all, subjects, s, today)
	byRows(all, subjects, s, today)
	byReviews(all, subjects, s, today)
	byDevices(all, subjects, s, today)
	unfed := unfed(s, subjects)
	for i := range subjects {
		l := &subjects[i]
		all[i].byItself(l, &s.Policy, today)
		all[i].order()
		all[i].TooLow = all[i].Understated() && all[i].Status.Rank() >= InQuestion.Rank()
		all[i].Unfed = l.At >= 0 && unfed[l.At]
	}
}

// unfed returns the locations that nothing connects with the plant upstream: no feed,
// tie or device elsewhere, by their rows or by a label's record, and not a source.
func unfed(s *assess.Site, subjects []Subject) []bool {
	index, unfed := s.Index(), make([]bool, len(s.Locations))
	for i := range unfed {
		unfed[i] = true
	}
	tie := func(at int, to []string) {
		for _, id := range to {
			unfed[at] = false
			if other, ok := index[id]; ok {
				unfed[other] = false // one side is enough
			}
		}
	}
	elsewhere := func(at int, device string) bool { return device != "" && device != s.Locations[at].ID }
	for i := range s.Locations {
		l := &s.Locations[i]
		for k := range l.Cases {
			c := &l.Cases[k]
			tie(i, c.TiedTo)
			if len(c.FedFrom) > 0 || elsewhere(i, c.DeviceAt) {
				unfed[i] = false
			}
		}
	}
	for i := range subjects {
		l := &subjects[i]
		if l.At < 0 {
			continue
		}
		tie(l.At, l.TiedTo)
		if len(l.FedFrom) > 0 || slices.ContainsFunc(l.DeviceAt, func(at string) bool { return elsewhere(l.At, at) }) {
			unfed[l.At] = false
		}
	}
	for _, id := range s.Policy.Sources {
		if at, ok := index[id]; ok {
			unfed[at] = false
		}
	}
	return unfed
}

// byItself adds the reasons that do not need the log.
func (s *Standing) byItself(l *Subject, p *assess.Policy, today assess.Date) {
	reviewBy, reviewed := l.ReviewBy, l.Reviewed
	if s.Understated() && !l.Unreviewed.IsZero() { // a review does not correct a number that is known to be too low
		reviewBy, reviewed = l.Unreviewed, nil
	}
	s.Until, s.ReviewBy = reviewBy, reviewBy
	for i := range l.Accepted {
		a := &l.Accepted[i]
		end := a.End(reviewBy)
		renewed := slices.ContainsFunc(l.Accepted, func(o assess.Acceptance) bool {
			return o.Finding == a.Finding && end.Before(o.End(reviewBy))
		})
		if end.Before(s.Until) && !end.Before(today) && !renewed {
			s.Until, s.Ends = end, a
		}
	}
	if r := byAge(reviewBy, p.NoticeDays, today); r != nil {
		s.add(*r)
	}
	if w := l.Withdrawn; w != nil {
		s.add(Reason{Since: w.Date, Ground: &Ground{Cause: WithdrawCause, Status: Withdrawn, Detail: w.Reason,
			Remedy: assess.Remedy{Words: "if the equipment needs no label, remove this one; else cover it and print a new label: {}", Act: assess.ToPrint, On: l.ID}}})
	}
	s.byDrift(l, today)
	note := func(since assess.Date, cause Cause, remedy assess.Remedy, detail string, args ...any) {
		s.add(Reason{Since: since, Ground: &Ground{Cause: cause, Status: Holds, Remedy: remedy,
			Detail: fmt.Sprintf(detail, args...)}})
	}
	if l.Edition != "" {
		note(l.Prepared, EditionCause, assess.Remedy{}, "the study follows %s, but the site follows %s", l.Edition, p.Edition)
	}
	if r := reviewed; r != nil && !l.Shows.IsZero() && l.Shows != l.ReviewBy {
		s.Outdated = l.Shows.Before(today)
		note(r.Date, ReviewCause, assess.Remedy{Words: "print and mount a new label, or an overlay"},
			"the study was found right on %s by %s; the label still says REVIEW BY %s, but now it is %s",
			r.Date, r.By, l.Shows, l.ReviewBy)
	}
	// Strips and overlays for a label that did not hold and now holds again.
	if s.Status.Rank() < FallsDue.Rank() {
		return
	}
	if l.Strip != nil {
		note(*l.Strip, StripCause, assess.Remedy{Words: "print the label without the strip: {}", Act: assess.ToReprint, On: l.ID},
			"the label holds, but has an INTERIM strip")
	}
	if l.Overlay != nil && s.Renewed() == nil {
		note(*l.Overlay, OverlayCause, assess.Remedy{Words: "remove the overlay from the equipment, then note it: {}",
			Act: assess.ToUncover, On: l.ID},
			"the label holds, but an overlay was printed for it on %s", l.Overlay)
	}
}

// byDrift adds how the row and the policy differ from those at the time of printing,
// and what stops a print of the row as it is now.
func (s *Standing) byDrift(l *Subject, today assess.Date) {
	doubt := func(cause Cause, since assess.Date, detail string, remedy assess.Remedy, differ []Difference) {
		r := Reason{Since: since, Ground: &Ground{Cause: cause, Status: InQuestion,
			Detail: detail, Remedy: remedy, Differences: differ}}
		if since.IsZero() { // only the day on which it was found is known
			r.Since, r.Found = today, true
		}
		s.add(r)
	}
	off := assess.Remedy{Words: "remove the label and note it: {}", Act: assess.ToWithdraw, On: l.ID}
	newLabel := assess.Remedy{Words: "print the new label and mount it in place of this one"}
	unknown := assess.Date{}
	switch {
	case l.Lost != "":
		doubt(DataCause, unknown, "the record behind the label cannot be read: "+l.Lost,
			assess.Remedy{Words: "restore the file from a copy of the folder, or print a new label"}, nil)
	case l.At < 0:
		doubt(DataCause, unknown, "locations.csv no longer has a row for it", assess.Remedy{
			Words: "put the row back; if the equipment is gone, remove the label and note it: {}", Act: assess.ToWithdraw, On: l.ID}, nil)
	case l.Unlabeled:
		doubt(DataCause, unknown, "locations.csv says that it has no label (label = no)", off, nil)
	case l.Unreadable != "":
		doubt(DataCause, unknown, "a cell of its row cannot be read: "+l.Unreadable,
			assess.Remedy{Words: "correct the error that {} lists", Act: assess.ToList}, nil)
	case len(l.Drift.Data) > 0:
		doubt(DataCause, l.newer(today), "locations.csv differs from the label's record: "+words(l.Drift.Data),
			newLabel, l.Drift.Data)
	case l.Refused != "":
		doubt(FindingCause, l.RefusedSince, "its row has an error, so it could not be printed now: "+l.Refused,
			assess.Remedy{Words: "correct the error that {} lists", Act: assess.ToList}, nil)
	}
	if len(l.Drift.Policy) > 0 {
		doubt(PolicyCause, unknown, "under the current policy the label would differ: "+words(l.Drift.Policy),
			newLabel, l.Drift.Policy)
	}
}

// newer is the day of a newer study in the row; zero if it has none: then only the day
// on which the difference was found is known.
func (l *Subject) newer(today assess.Date) (since assess.Date) {
	for _, d := range l.Drift.Data {
		day, err := assess.ParseDate(d.New)
		if d.Field == "prepared" && err == nil && l.Prepared.Before(day) && !today.Before(day) {
			since = day
		}
	}
	return since
}

// byReviews adds reviews that found a study wrong, until a later survey.
func byReviews(all []*Standing, subjects []Subject, s *assess.Site, today assess.Date) {
	wrong := s.Log.Reviewed(assess.FoundWrong, today)
	for i := range subjects {
		l := &subjects[i]
		list := slices.DeleteFunc(wrong(l.ID), func(r *assess.Review) bool { return r.Date.Before(l.Base) })
		if len(list) == 0 {
			continue
		}
		slices.SortStableFunc(list, func(a, b *assess.Review) int { return a.Date.Compare(b.Date) })
		r := Reason{Since: list[0].Date, Count: len(list), Ground: &Ground{Cause: ReviewCause, Status: InQuestion,
			Detail: "a review by " + list[0].By + " found the study wrong",
			Remedy: assess.Remedy{Words: "enter a study surveyed after that day in locations.csv"}}}
		if len(list) > 1 {
			r.Latest = list[len(list)-1].Date
		}
		all[i].add(r)
	}
}
