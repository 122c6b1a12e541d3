package standing

import (
	"testing"

	"vouchmark/assess"
)

func TestByAge(t *testing.T) {
	day := func(s string) assess.Date {
		d, err := assess.ParseDate(s)
		if err != nil {
			t.Fatal(err)
		}
		return d
	}
	for today, want := range map[string]Status{
		"2026-05-01": Holds,
		"2030-12-13": Holds,
		"2030-12-14": FallsDue, // 90 days before, that day included
		"2031-03-14": FallsDue, // REVIEW BY itself
		"2031-03-15": Lapsed,
		"2040-01-01": Lapsed,
	} {
		s := ByAge(day("2031-03-14"), 90, day(today))
		if s.Status != want || (want != Holds) != (len(s.Reasons) == 1) {
			t.Errorf("on %s: %+v, want %s", today, s, want)
		}
	}
	if s := ByAge(day("2031-03-14"), 90, day("2031-05-01")); s.Reasons[0].Since.String() != "2031-03-15" {
		t.Errorf("lapsed since %s", s.Reasons[0].Since)
	}
}
