package standing

import (
	"fmt"

	"vouchmark/assess"
)

// byAge is the reason of a label whose REVIEW BY is near or past, or nil. A
// label falls due from REVIEW BY minus the notice, that day included, and has
// lapsed from the day after REVIEW BY: the analysis is reviewed at intervals
// not over five years (NFPA 70E 130.5(G)); the notice is the owner's.
func byAge(reviewBy assess.Date, noticeDays int, today assess.Date) *Reason {
	notice, lapse := reviewBy.AddDays(-noticeDays), reviewBy.AddDays(1)
	const clears = "a newer study in locations.csv, or a review that finds this one right"
	switch {
	case !today.Before(lapse):
		return &Reason{Since: lapse, Ground: &Ground{Cause: ByAgeCause, Detail: fmt.Sprintf("the study was to be reviewed by %s", reviewBy), Remedy: assess.Remedy{Words: clears}, Status: Lapsed}}
	case !today.Before(notice):
		return &Reason{Since: notice, Ground: &Ground{Cause: ByAgeCause, Detail: fmt.Sprintf("the study is to be reviewed by %s", reviewBy), Remedy: assess.Remedy{Words: clears}, Status: FallsDue}}
	}
	return nil
}
