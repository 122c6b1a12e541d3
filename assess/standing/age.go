package standing

import (
	"fmt"

	"vouchmark/assess"
)

// Renews says what begins a new interval.
const Renews = "enter a newer study in locations.csv, or log a review that finds this one right"

// byAge is the reason of a label whose REVIEW BY is near or past, or nil. A label
// falls due from REVIEW BY minus the notice, that day included, and has lapsed from
// the day after REVIEW BY: the analysis must be reviewed at intervals not over five
// years (NFPA 70E 130.5(G)); the notice is the owner's.
func byAge(reviewBy assess.Date, noticeDays int, today assess.Date) *Reason {
	if reviewBy.IsZero() {
		return nil // a place without a study, with label = no
	}
	since, status, is := reviewBy.AddDays(1), Lapsed, "was"
	if today.Before(since) {
		since, status, is = reviewBy.AddDays(-noticeDays), FallsDue, "is"
	}
	if today.Before(since) {
		return nil
	}
	return &Reason{Since: since, Ground: &Ground{Cause: ByAgeCause, Status: status,
		Detail: fmt.Sprintf("the study %s to be reviewed by %s", is, reviewBy), Remedy: assess.Remedy{Words: Renews}}}
}
