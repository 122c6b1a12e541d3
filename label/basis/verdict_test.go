package basis

import (
	"testing"

	"vouchmark/assess"
	"vouchmark/assess/standing"
)

// What comes first where a record is shown: a label that is printed too low is
// covered, and one that no feed connects holds by its dates only.
func TestVerdict(t *testing.T) {
	day, err := assess.ParseDate("2026-05-06")
	if err != nil {
		t.Fatal(err)
	}
	doubt := standing.Standing{Status: standing.InQuestion, Until: day,
		Reasons: []standing.Reason{{Since: day, Ground: &standing.Ground{Cause: standing.RowCause, Status: standing.InQuestion}}}}
	tooLow := doubt
	tooLow.TooLow = true
	for want, s := range map[string]standing.Standing{
		"HOLDS until 2026-05-06: no change logged.":                                                                                  {Status: standing.Holds, Until: day},
		"HOLDS until 2026-05-06: dates only: no feed connects it, so no change upstream can reach it.":                               {Status: standing.Holds, Until: day, Unfed: true},
		"IN QUESTION since 2026-05-06: do not rely on this label.":                                                                   doubt,
		"COVER: printed too low: IN QUESTION since 2026-05-06, and more energy is possible than it says; do not rely on this label.": tooLow,
	} {
		v := View{Standing: s}
		if got := v.Verdict(); got.String() != want || got.Sign != Sign(s.Status) {
			t.Errorf("%q, %s; want %q", got, got.Sign, want)
		}
	}
}
