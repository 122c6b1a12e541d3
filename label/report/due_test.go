package report

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/emersion/go-ical"

	"vouchmark/assess"
	"vouchmark/assess/shock"
	"vouchmark/label/plant"
	"vouchmark/label/record"
)

func day(t *testing.T, s string) assess.Date {
	t.Helper()
	d, err := assess.ParseDate(s)
	if err != nil {
		t.Fatal(err)
	}
	return d
}

// invented is a site with printed labels, with names that a spreadsheet or a calendar could
// take for something else.
func invented(t *testing.T) *plant.Plant {
	t.Helper()
	s := &assess.Site{Policy: assess.Policy{Name: "Invented; works, Ltd", Units: assess.US, Edition: "NFPA 70E-2024", Cutoff: 40, ReviewMonths: 60, NoticeDays: 90, Govern: assess.Larger,
		Ladder: []assess.Rung{{Kit: "Kit A", Rating: 40, Wear: assess.Words{"": {"suit"}}}}}}
	for i, name := range []string{`=HYPERLINK("http://x.example","pay")`, "+1+1", "-2+3", "@SUM(A1)", "Panel; with, all \\ of: \"it\"", "Größe ≥ " + strings.Repeat("längste Schalttafel ", 9)} {
		s.Locations = append(s.Locations, assess.Location{ID: fmt.Sprintf("P-%d", i), Area: name, Equipment: name, Supply: shock.AC3, Voltage: 480, Distance: 457.2,
			Cases: []assess.Case{{Method: assess.Stated, Energy: 5, Boundary: 42 * assess.MMPerInch, Prepared: day(t, "2026-03-14")}}})
	}
	s.Locations[0].Cases[0].Prepared = day(t, "2020-02-29")
	s.Log.Changes = []assess.Change{{ID: "2026-04-01/P-4", Date: day(t, "2026-04-01"), At: "P-4", Kind: assess.ChangeKinds[0], By: "x"}}
	v, err := plant.New(s, mounted(t, s), day(t, "2026-05-01"), nil)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

// mounted is a history in which every location has the label of its row.
func mounted(t *testing.T, s *assess.Site) *record.History {
	t.Helper()
	h := &record.History{Ledger: &record.Ledger{}, Labels: map[string]record.Printing{}}
	all := s.Assess(day(t, "2026-03-20"))
	for i := range all {
		r := record.New(&all[i])
		_, id, err := r.Encode()
		if err != nil {
			t.Fatal(err)
		}
		printed := day(t, "2026-03-20")
		h.Labels[r.Location.ID] = record.Printing{Label: &record.Label{ID: id, Since: printed, Printed: printed}, Record: r}
	}
	return h
}

// No cell begins with a sign that a spreadsheet program takes for a formula
// (OWASP, CSV injection), and each reads back by another CSV reader.
func TestCSVIsHarmless(t *testing.T) {
	var b bytes.Buffer
	d := NewDue(invented(t), nil)
	if err := d.CSV(&b); err != nil {
		t.Fatal(err)
	}
	text, marked := strings.CutPrefix(b.String(), "\ufeff")
	if !marked {
		t.Error("no byte-order mark: a spreadsheet program reads it in another encoding")
	}
	rows, err := csv.NewReader(strings.NewReader(text)).ReadAll()
	if err != nil || len(rows) != len(d.Items)+1 {
		t.Fatalf("%d rows of %d, %v", len(rows), len(d.Items), err)
	}
	for _, row := range rows {
		for _, cell := range row {
			if cell != "" && strings.ContainsRune("=+-@\t\r", rune(cell[0])) {
				t.Errorf("a formula: %s", cell)
			}
		}
	}
}

// The calendar is read by another library; RFC 5545 folds lines at 75 octets
// (3.1), ends them with CRLF, and gives a day's entry the next day as its end.
func TestCalendar(t *testing.T) {
	v := invented(t)
	var b bytes.Buffer
	if err := NewDue(v, nil).Calendar(&b, 90); err != nil {
		t.Fatal(err)
	}
	for _, line := range strings.Split(strings.TrimSuffix(b.String(), "\r\n"), "\r\n") {
		if len(line) > 75 || strings.Contains(line, "\n") {
			t.Errorf("%d octets: %q", len(line), line)
		}
	}
	c, err := ical.NewDecoder(&b).Decode()
	if err != nil {
		t.Fatal(err)
	}
	names := map[string]string{}
	days := map[string]string{}
	for _, e := range c.Events() {
		uid, err := e.Props.Text(ical.PropUID)
		summary, err2 := e.Props.Text(ical.PropSummary)
		start, err3 := e.DateTimeStart(time.UTC)
		end, err4 := e.DateTimeEnd(time.UTC)
		if err != nil || err2 != nil || err3 != nil || err4 != nil || end.Sub(start) != 24*time.Hour || names[uid] != "" {
			t.Errorf("%s %s to %s: %v %v %v %v", summary, start, end, err, err2, err3, err4)
		}
		names[uid] = summary
		days[summary] = start.Format(time.DateOnly)
	}
	for summary, on := range map[string]string{
		"4 arc-flash labels: review the study by 2031-03-14":               "2031-03-14",
		"1 arc-flash label not to be used: fuse replaced since 2026-04-01": "2026-05-01",
		"1 arc-flash label not to be used: age since 2025-03-01":           "2026-05-01",
	} {
		if days[summary] != on {
			t.Errorf("%q on %q, want %s; there are %v", summary, days[summary], on, days)
		}
	}
	// The same entry keeps its name when it is imported again on another day.
	later, err := plant.New(v.Site, v.History, day(t, "2026-05-09"), nil)
	if err != nil {
		t.Fatal(err)
	}
	var again bytes.Buffer
	if err := NewDue(later, nil).Calendar(&again, 90); err != nil {
		t.Fatal(err)
	}
	for uid, summary := range names {
		if !strings.Contains(strings.ReplaceAll(again.String(), "\r\n ", ""), uid) {
			t.Errorf("%s: another name a week later", summary)
		}
	}
}

func TestWithin(t *testing.T) {
	v := invented(t)
	for days, want := range map[int]int{0: 2, 1777: 2, 1778: 6} { // 2031-03-14 is 1778 days after 2026-05-01, by the time package
		if n := len(NewDue(v, &days).Items); n != want {
			t.Errorf("within %d days: %d, want %d", days, n, want)
		}
	}
	if d := day(t, "2031-03-14").Time().Sub(v.Today.Time()).Hours() / 24; d != 1778 {
		t.Errorf("%v days", d)
	}
}
