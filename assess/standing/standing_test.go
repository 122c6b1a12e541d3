package standing

import (
	"testing"

	"vouchmark/assess"
)

func day(t testing.TB, s string) assess.Date {
	t.Helper()
	d, err := assess.ParseDate(s)
	if err != nil {
		t.Fatal(err)
	}
	return d
}

func TestByAge(t *testing.T) {
	for today, want := range map[string]Status{
		"2026-05-01": Holds,
		"2030-12-13": Holds,
		"2030-12-14": FallsDue, // 90 days before, that day included
		"2031-03-14": FallsDue, // REVIEW BY itself
		"2031-03-15": Lapsed,
		"2040-01-01": Lapsed,
	} {
		status := Holds
		r := byAge(day(t, "2031-03-14"), 90, day(t, today))
		if r != nil {
			status = r.Status
		}
		if status != want {
			t.Errorf("on %s: %s, want %s", today, status, want)
		}
	}
	if r := byAge(day(t, "2031-03-14"), 90, day(t, "2031-05-01")); r.Since.String() != "2031-03-15" {
		t.Errorf("lapsed since %s", r.Since)
	}
}
