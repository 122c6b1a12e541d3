package standing

import (
	"fmt"
	"slices"

	"vouchmark/assess"
)

// Subject is one label whose standing is asked for: the one that was printed
// last, or the one that the row would print now.
type Subject struct {
	ID string
	At int // the location's number in the site; -1: locations.csv no longer holds it

	Prepared assess.Date
	Base     assess.Date // of which the study speaks, see assess.Location.Base
	ReviewBy assess.Date // on which its interval ends
	Edition  string      // of its study, where it is older than the site's; else ""

	// Of a printed label alone. What feeds it and where its devices stand, as
	// its record says: a change still reaches it by these after the rows were
	// altered.
	FedFrom, TiedTo, DeviceAt []string
	Devices                   []string       // that clear its arc, see assess.DeviceKey
	Shows                     assess.Date    // REVIEW BY as printed
	Reviewed                  *assess.Review // the review that ReviewBy rests on; nil for none
	Withdrawn                 *Withdrawal
	Strip                     *assess.Date // since when it bears an INTERIM strip; nil where it bears none
	Overlay                   *assess.Date // when an overlay was printed for it; nil for none
	Drift                     Drift
	Refused                   string // what stops a print of the row as it is; "" for nothing
	Lost                      string // why the label's record cannot be read; "" where it can

	// Screen says what new values make of what is printed; nil where nobody
	// gave any or nothing can be recomputed.
	Screen func(assess.NewValues) Screening
}

// Withdrawal is that a label was taken out of use.
type Withdrawal struct {
	Date       assess.Date
	Reason, By string
}

// Of gives the standing of each subject on a day.
func Of(subjects []Subject, s *assess.Site, today assess.Date) []Standing {
	all := make([]Standing, len(subjects))
	for i := range all {
		all[i].Status = Holds
	}
	byChanges(all, subjects, s, today)
	byReviews(all, subjects, s, today)
	byDevices(all, subjects, s, today)
	for i := range subjects {
		all[i].byItself(&subjects[i], &s.Policy, today)
		all[i].order()
	}
	return all
}

// byItself adds the reasons that need no log.
func (s *Standing) byItself(l *Subject, p *assess.Policy, today assess.Date) {
	s.Until = l.ReviewBy
	if r := byAge(l.ReviewBy, p.NoticeDays, today); r != nil {
		s.add(*r)
	}
	if w := l.Withdrawn; w != nil {
		s.add(Reason{Since: w.Date, Ground: &Ground{Cause: WithdrawCause, Status: Withdrawn, Detail: w.Reason,
			Remedy: assess.Remedy{Words: "a new label: {}", Act: assess.ToPrint, On: l.ID}}})
	}
	doubt := func(cause Cause, detail string, remedy assess.Remedy, differ []Difference) {
		r := Reason{Since: today, Found: true, Ground: &Ground{Cause: cause, Status: InQuestion,
			Detail: detail, Remedy: remedy, Differences: differ}}
		// A newer study tells since when; of another change only the day on
		// which it was found is known.
		for _, d := range differ {
			day, err := assess.ParseDate(d.New)
			if d.Field == "prepared" && err == nil && l.Prepared.Before(day) && !today.Before(day) {
				r.Since, r.Found = day, false
			}
		}
		s.add(r)
	}
	newLabel := assess.Remedy{Words: "the new label, printed and mounted in place of this one"}
	switch {
	case l.Lost != "":
		doubt(DataCause, "the record behind the label cannot be read: "+l.Lost,
			assess.Remedy{Words: "the file, brought back from a copy of the folder, or a new label"}, nil)
	case l.At < 0:
		doubt(DataCause, "locations.csv no longer has a row for it", assess.Remedy{
			Words: "its row, put back; else take the label off and tell: {}", Act: assess.ToWithdraw, On: l.ID}, nil)
	case len(l.Drift.Data) > 0:
		doubt(DataCause, "locations.csv says otherwise than the label's record: "+words(l.Drift.Data), newLabel, l.Drift.Data)
	case l.Refused != "" && len(l.Drift.Policy) == 0:
		doubt(DataCause, "it would not be printed now: "+l.Refused,
			assess.Remedy{Words: "a correction of what {} says", Act: assess.ToCheck}, nil)
	}
	if len(l.Drift.Policy) > 0 {
		doubt(PolicyCause, "by the policy as it is the label would read otherwise: "+words(l.Drift.Policy),
			newLabel, l.Drift.Policy)
	}
	note := func(since assess.Date, cause Cause, remedy assess.Remedy, detail string, args ...any) {
		s.add(Reason{Since: since, Ground: &Ground{Cause: cause, Status: Holds, Remedy: remedy,
			Detail: fmt.Sprintf(detail, args...)}})
	}
	if l.Edition != "" {
		note(l.Prepared, EditionCause, assess.Remedy{}, "the study follows %s, the site %s", l.Edition, p.Edition)
	}
	if r := l.Reviewed; r != nil && !l.Shows.IsZero() && l.Shows != l.ReviewBy {
		s.Outdated = l.Shows.Before(today)
		note(r.Date, ReviewCause, assess.Remedy{Words: "the new label, or an overlay, printed and mounted"},
			"the study was found right on %s by %s; the label still says REVIEW BY %s, now it is %s",
			r.Date, r.By, l.Shows, l.ReviewBy)
	}
	// What was mounted because a label did not hold, and is there while it holds.
	if s.Status.Rank() < FallsDue.Rank() {
		return
	}
	if l.Strip != nil {
		note(*l.Strip, StripCause, assess.Remedy{Words: "the label without the strip: {}", Act: assess.ToReprint, On: l.ID},
			"the label holds and bears an INTERIM strip")
	}
	if l.Overlay != nil && s.Renewed() == nil {
		note(*l.Overlay, OverlayCause, assess.Remedy{Words: "the overlay, taken off where it is mounted"},
			"the label holds, and an overlay was printed for it on %s", l.Overlay)
	}
}

// byReviews adds the reviews that found a study wrong, until a later survey.
func byReviews(all []Standing, subjects []Subject, s *assess.Site, today assess.Date) {
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
			Remedy: assess.Remedy{Words: "a study with a later survey in locations.csv"}}}
		if len(list) > 1 {
			r.Latest = list[len(list)-1].Date
		}
		all[i].add(r)
	}
}
