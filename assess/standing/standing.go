// Package standing says whether a label still holds.
package standing

import (
	"fmt"

	"vouchmark/assess"
)

// Status is the one word of a standing, as `check --json` spells it.
type Status string

// The states that age alone decides, from bad to good.
const (
	Lapsed   Status = "lapsed"
	FallsDue Status = "falls due"
	Holds    Status = "holds"
)

// Reason is why a label does not simply hold.
type Reason struct {
	Cause  string      `json:"cause"` // "age"
	Since  assess.Date `json:"since"`
	Detail string      `json:"detail"`
}

// Standing is whether a label holds on a day, and why.
type Standing struct {
	Status  Status   `json:"status"`
	Reasons []Reason `json:"reasons"`
}

// ByAge is the standing by the age of the study alone. A label falls due from
// REVIEW BY minus the notice, that day included, and has lapsed from the day
// after REVIEW BY: the analysis is reviewed at intervals not over five years
// (NFPA 70E 130.5(G)); the notice is the owner's.
func ByAge(reviewBy assess.Date, noticeDays int, today assess.Date) Standing {
	notice, lapse := reviewBy.AddDays(-noticeDays), reviewBy.AddDays(1)
	switch {
	case !today.Before(lapse):
		return Standing{Lapsed, []Reason{{"age", lapse, fmt.Sprintf("the study was to be reviewed by %s", reviewBy)}}}
	case !today.Before(notice):
		return Standing{FallsDue, []Reason{{"age", notice, fmt.Sprintf("the study is to be reviewed by %s", reviewBy)}}}
	}
	return Standing{Holds, []Reason{}}
}
