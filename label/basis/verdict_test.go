package basis

import (
	"testing"

	"vouchmark/assess"
	"vouchmark/assess/standing"
)

// What comes first wherever a record is shown: a label that is printed too low
// must be covered, and one that no feed connects holds by its dates only.
func TestVerdict(t *testing.T) {
	day, err := assess.ParseDate("2026-05-06")
	if err != nil {
		t.Fatal(err)
	}
	doubt := standing.Standing{Status: standing.InQuestion, Until: day,
		Reasons: []standing.Reason{{Since: day, Ground: &standing.Ground{Cause: standing.RowCause, Status: standing.InQuestion}}}}
	tooLow := doubt
	tooLow.TooLow = true
	for want, c := range map[string]struct {
		sign Sign
		standing.Standing
	}{
		"HOLDS until 2026-05-06: no change logged since the survey; unlogged changes are not known.":                                     {"holds", standing.Standing{Status: standing.Holds, Until: day}},
		"HOLDS until 2026-05-06: 2 changes logged and settled, no other change logged since the survey; unlogged changes are not known.": {"holds", standing.Standing{Status: standing.Holds, Until: day, Settled: 2}},
		"HOLDS until 2026-05-06: dates only: no feed is given, so no change upstream can reach it.":                                      {"holds", standing.Standing{Status: standing.Holds, Until: day, Unfed: true}},
		"IN QUESTION since 2026-05-06: do not use this label.":                                                                           {"in question", doubt},
		"COVER: printed too low · IN QUESTION since 2026-05-06: more energy is possible than this label shows; cover it.":                {"cover", tooLow},
	} {
		v := View{Known: Known{Standing: c.Standing}}
		if got := v.Verdict(); got.String() != want || got.Sign != c.sign {
			t.Errorf("%q, %s; want %q", got, got.Sign, want)
		}
	}
}
