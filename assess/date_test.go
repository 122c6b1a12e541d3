package assess

import (
	"testing"
	"time"
)

func date(t *testing.T, s string) Date {
	t.Helper()
	d, err := ParseDate(s)
	if err != nil {
		t.Fatal(err)
	}
	return d
}

func TestAddMonths(t *testing.T) {
	for _, c := range []struct {
		from   string
		months int
		want   string
	}{
		{"2026-03-14", 60, "2031-03-14"},
		{"2028-02-29", 60, "2033-02-28"}, // a leap day has no like in 2033
		{"2024-02-29", 48, "2028-02-29"},
		{"2026-08-31", 6, "2027-02-28"},
		{"2026-12-31", 1, "2027-01-31"},
		{"2026-10-31", 1, "2026-11-30"},
	} {
		if got := date(t, c.from).AddMonths(c.months).String(); got != c.want {
			t.Errorf("%s and %d months = %s, want %s", c.from, c.months, got, c.want)
		}
	}
}

// Days are counted by the time package, a general-purpose calendar.
func TestAddDaysAgainstCalendar(t *testing.T) {
	start := time.Date(2023, 1, 1, 0, 0, 0, 0, time.UTC)
	for i := range 12 * 366 {
		want := start.AddDate(0, 0, i).Format(time.DateOnly)
		if got := DateOf(start).AddDays(i).String(); got != want {
			t.Fatalf("day %d is %s, want %s", i, got, want)
		}
	}
}

func TestParseDateRefuses(t *testing.T) {
	for _, s := range []string{"31.02.2025", "2025-02-30", "2026-3-14", "2026-03-14T00:00:00Z", "1776-07-04", "", "2026-03-14 "} {
		if d, err := ParseDate(s); err == nil {
			t.Errorf("ParseDate(%q) = %v, want an error", s, d)
		}
	}
}
