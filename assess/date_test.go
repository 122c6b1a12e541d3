package assess

import (
	"bytes"
	"fmt"
	"os/exec"
	"strings"
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

// The days that standing computes, compared with the system's date program: the
// notice before REVIEW BY, and the interval after a study, over all days of 12
// years, leap days among them. GNU date counts a day that a month does not
// have over into the next month; there REVIEW BY is the month's last day.
func TestDatesAgainstSystem(t *testing.T) {
	out, err := exec.Command("date", "--version").Output()
	if err != nil || !bytes.Contains(out, []byte("GNU")) {
		t.Skip("no GNU date here")
	}
	var lines bytes.Buffer
	var days []Date
	first := date(t, "2023-01-01")
	for i := 0; first.AddDays(i).Before(date(t, "2035-01-01")); i++ {
		d := first.AddDays(i)
		days = append(days, d)
		fmt.Fprintf(&lines, "%s -90 days\n%s +1 day\n%s +60 months\n", d, d, d)
	}
	cmd := exec.Command("date", "-u", "-f", "-", "+%F")
	cmd.Stdin = &lines
	cmd.Env = append(cmd.Environ(), "LC_ALL=C")
	if out, err = cmd.Output(); err != nil {
		t.Fatal(err)
	}
	want := strings.Fields(string(out))
	if len(want) != 3*len(days) || len(days) != 4383 { // 12 years with the leap days of 2024, 2028, 2032
		t.Fatalf("%d answers for %d days", len(want), len(days))
	}
	leap := 0
	for i, d := range days {
		if got := d.AddDays(-90).String(); got != want[3*i] {
			t.Errorf("%s less 90 days: %s, date says %s", d, got, want[3*i])
		}
		if got := d.AddDays(1).String(); got != want[3*i+1] {
			t.Errorf("the day after %s: %s, date says %s", d, got, want[3*i+1])
		}
		got, says := d.AddMonths(60), date(t, want[3*i+2])
		if d.String()[5:] == "02-29" {
			leap++
			says = says.AddDays(-1) // it said 1 March
		}
		if got != says {
			t.Errorf("60 months after %s: %s, date says %s", d, got, want[3*i+2])
		}
	}
	if leap != 3 {
		t.Errorf("%d leap days, want 2024-02-29, 2028-02-29, 2032-02-29", leap)
	}
}

// A study without a date has no day on which it is to be reviewed.
func TestAddToNoDate(t *testing.T) {
	if d := (Date{}).AddMonths(60); !d.IsZero() {
		t.Errorf("60 months after no date is %s", d)
	}
	if d := (Date{}).AddDays(-90); !d.IsZero() {
		t.Errorf("90 days before no date is %s", d)
	}
}
