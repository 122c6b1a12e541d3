package standing

import (
	"fmt"

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
	FedFrom, DeviceAt []string
	Shows             assess.Date    // REVIEW BY as printed
	Reviewed          *assess.Review // the review that ReviewBy rests on; nil for none
	Withdrawn         *Withdrawal
	Strip             *assess.Date // since when it bears an INTERIM strip; nil where it bears none
	Overlay           *assess.Date // when an overlay was printed for it; nil for none
	Drift             Drift
	Refused           string // what stops a print of the row as it is; "" for nothing
	Lost              string // why the label's record cannot be read; "" where it can

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
	for i := range subjects {
		all[i].byItself(&subjects[i], &s.Policy, today)
		all[i].byWhatHangs(&subjects[i])
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
		s.add(Reason{Since: w.Date, Ground: &Ground{Cause: WithdrawCause, Detail: w.Reason, Remedy: assess.Remedy{Words: "a new label: {}", Act: assess.ToPrint, On: l.ID}, Status: Withdrawn}})
	}
	const newLabel = "the new label, printed and mounted in place of this one"
	// A newer study tells since when; of another change only the day on which
	// it was found is known.
	since, found := today, true
	for _, d := range l.Drift.Data {
		if day, err := assess.ParseDate(d.New); d.Field == "prepared" && err == nil && l.Prepared.Before(day) && !today.Before(day) {
			since, found = day, false
		}
	}
	switch {
	case l.Lost != "":
		s.add(Reason{Since: today, Found: true, Ground: &Ground{Cause: DataCause, Detail: "the record behind the label cannot be read: " + l.Lost, Remedy: assess.Remedy{Words: "the file, brought back from a copy of the folder, or a new label"}, Status: InQuestion}})
	case l.At < 0:
		s.add(Reason{Since: today, Found: true, Ground: &Ground{Cause: DataCause, Detail: "locations.csv no longer has a row for it", Remedy: assess.Remedy{Words: "its row, put back; else take the label off and tell: {}", Act: assess.ToWithdraw, On: l.ID}, Status: InQuestion}})
	case len(l.Drift.Data) > 0:
		s.add(Reason{Since: since, Found: found, Ground: &Ground{Cause: DataCause, Detail: "locations.csv says otherwise than the label's record: " + words(l.Drift.Data), Remedy: assess.Remedy{Words: newLabel}, Differences: l.Drift.Data, Status: InQuestion}})
	case l.Refused != "" && len(l.Drift.Policy) == 0:
		s.add(Reason{Since: today, Found: true, Ground: &Ground{Cause: DataCause, Detail: "it would not be printed now: " + l.Refused, Remedy: assess.Remedy{Words: "a correction of what {} says", Act: assess.ToCheck}, Status: InQuestion}})
	}
	if len(l.Drift.Policy) > 0 {
		s.add(Reason{Since: today, Found: true, Ground: &Ground{Cause: PolicyCause, Detail: "by the policy as it is the label would read otherwise: " + words(l.Drift.Policy), Remedy: assess.Remedy{Words: newLabel}, Differences: l.Drift.Policy, Status: InQuestion}})
	}
	if l.Edition != "" {
		s.add(Reason{Since: l.Prepared, Ground: &Ground{Cause: EditionCause, Detail: fmt.Sprintf("the study follows %s, the site %s", l.Edition, p.Edition), Status: Holds}})
	}
	if r := l.Reviewed; r != nil && !l.Shows.IsZero() && l.Shows != l.ReviewBy {
		s.Outdated = l.Shows.Before(today)
		s.add(Reason{Since: r.Date, Ground: &Ground{Cause: ReviewCause, Status: Holds,
			Detail: fmt.Sprintf("the study was found right on %s by %s; the label still says REVIEW BY %s, now it is %s", r.Date, r.By, l.Shows, l.ReviewBy),
			Remedy: assess.Remedy{Words: "the new label, or an overlay, printed and mounted"}}})
	}
}

// byWhatHangs tells of what was mounted because a label did not hold, and
// hangs there still while it holds.
func (s *Standing) byWhatHangs(l *Subject) {
	if s.Status.Rank() < FallsDue.Rank() {
		return
	}
	if l.Strip != nil {
		s.add(Reason{Since: *l.Strip, Ground: &Ground{Cause: StripCause, Status: Holds, Detail: "the label holds and bears an INTERIM strip", Remedy: assess.Remedy{Words: "the label without the strip: {}", Act: assess.ToReprint, On: l.ID}}})
	}
	if l.Overlay != nil && s.Renewed() == nil {
		s.add(Reason{Since: *l.Overlay, Ground: &Ground{Cause: OverlayCause, Status: Holds, Detail: "the label holds, and an overlay was printed for it on " + l.Overlay.String(), Remedy: assess.Remedy{Words: "the overlay, taken off where it is mounted"}}})
	}
}

// byReviews adds the reviews that found a study wrong, until a later survey.
func byReviews(all []Standing, subjects []Subject, s *assess.Site, today assess.Date) {
	byID := map[string][]*assess.Review{}
	for i := range s.Log.Reviews {
		r := &s.Log.Reviews[i]
		if r.Finding != assess.FoundWrong || today.Before(r.Date) {
			continue
		}
		if r.Scope.All {
			byID[""] = append(byID[""], r)
		}
		for _, id := range r.Scope.IDs {
			byID[id] = append(byID[id], r)
		}
	}
	if len(byID) == 0 {
		return
	}
	for i := range subjects {
		l := &subjects[i]
		var first, last *assess.Review
		count := 0
		for _, list := range [][]*assess.Review{byID[""], byID[l.ID]} {
			for _, r := range list {
				if r.Date.Before(l.Base) {
					continue
				}
				count++
				if first == nil || r.Date.Before(first.Date) {
					first = r
				}
				if last == nil || last.Date.Before(r.Date) {
					last = r
				}
			}
		}
		if first != nil {
			r := Reason{Since: first.Date, Count: count, Ground: &Ground{Cause: ReviewCause, Status: InQuestion,
				Detail: "a review by " + first.By + " found the study wrong", Remedy: assess.Remedy{Words: "a study with a later survey in locations.csv"}}}
			if count > 1 {
				r.Latest = last.Date
			}
			all[i].add(r)
		}
	}
}
