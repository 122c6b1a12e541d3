package report

import (
	"bytes"
	"encoding/json"
	"strings"
	"testing"

	"vouchmark/assess"
	"vouchmark/assess/standing"
	"vouchmark/label/plant"
)

// ranked is a site with a label that is printed too low, one that is in question
// for longer, a row with an error, and a place with label = no.
func ranked(t *testing.T) *plant.Plant {
	t.Helper()
	v := invented(t)
	s := v.Site
	for i := range s.Locations {
		s.Locations[i].Equipment, s.Locations[i].Area = "Panel", ""
		s.Locations[i].Cases[0].Fault = 12
		s.Locations[i].Cases[0].Prepared = day(t, "2026-03-14")
	}
	s.Policy.Sources = []string{"P-0"}
	s.Locations[1].Cases[0].FedFrom = []string{"P-0"}
	h := mounted(t, s)
	delete(h.Labels, "P-5")
	s.Locations[5].Unlabeled = true
	s.Locations[0].Rating = 10 // an error, and nobody answers
	s.Log.Changes = []assess.Change{
		{ID: "2026-04-01/P-2", Date: day(t, "2026-04-01"), At: "P-2", Kind: assess.ChangeKinds[0], By: "x"},
		{ID: "2026-04-20/P-4", Date: day(t, "2026-04-20"), At: "P-4", Kind: assess.ChangeKinds[1], By: "x",
			New: map[string]assess.NewValues{"P-4": {Fault: 14}}}, // over the 12 kA on its label
	}
	v, err := plant.New(s, h, day(t, "2026-05-01"), nil)
	if err != nil {
		t.Fatal(err)
	}
	v.MeasureHeadroom()
	return v
}

const covered = "COVER: printed too low"

// What is printed too low comes before all else, wherever labels are listed.
func TestTooLowComesFirst(t *testing.T) {
	v := ranked(t)
	var b bytes.Buffer
	if err := whole(v).Text(&b, 200, true); err != nil {
		t.Fatal(err)
	}
	_, text, _ := strings.Cut(b.String(), "\n\n") // the table, after the counts
	lines := strings.Split(text, "\n")
	if !strings.HasPrefix(lines[1], "P-4 ") || !strings.Contains(lines[1], covered+", in question since 2026-04-20") || !strings.HasPrefix(lines[2], "P-0 ") {
		t.Errorf("the table begins\n%s", strings.Join(lines[:4], "\n"))
	}
	_, reasons, _ := strings.Cut(text, "\n\n")
	if at := strings.Index(reasons, "in question  "); !strings.HasPrefix(reasons[at:], "in question  P-4: "+covered+"; breaker replaced at P-4") {
		t.Errorf("the reasons begin\n%.300s", reasons[at:])
	}
	d := NewDue(v, nil)
	if first := d.Items[0]; first.ID != "P-4" || !first.TooLow || !strings.HasPrefix(first.Detail, covered) || first.Status != "in question" {
		t.Errorf("due begins with %+v", first)
	}
	for _, i := range d.Items {
		if i.TooLow != (i.ID == "P-4") || i.ID == "P-5" {
			t.Errorf("%+v", i)
		}
	}
	for name, write := range map[string]func() error{
		"due":      func() error { return d.Text(&b, 100) },
		"calendar": func() error { return d.Calendar(&b, 90) },
		"csv":      func() error { return d.CSV(&b) },
		"tree":     func() error { return NewTree(v).Text(&b, 200) },
	} {
		b.Reset()
		if err := write(); err != nil || strings.Count(strings.ReplaceAll(b.String(), "\r\n ", ""), covered) == 0 {
			t.Errorf("%s: %v\n%s", name, err, b.String())
		}
	}
	b.Reset()
	if err := whole(v).JSON(&b); err != nil {
		t.Fatal(err)
	}
	var out struct {
		Locations []struct {
			ID       string
			Standing *struct {
				Status string
				TooLow *bool `json:"too_low"`
			}
		}
	}
	if err := json.Unmarshal(b.Bytes(), &out); err != nil {
		t.Fatal(err)
	}
	for _, l := range out.Locations {
		if l.Standing != nil && (l.Standing.TooLow != nil) != (l.ID == "P-4") {
			t.Errorf("%s: %+v", l.ID, l.Standing)
		}
	}
}

// A place with label = no is counted, and is neither printed nor refused.
func TestNoLabelInTable(t *testing.T) {
	var b bytes.Buffer
	if err := whole(ranked(t)).Text(&b, 160, true); err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{"P-5       no label ", ", 1 without a label (label = no)\n", "\nlabels: ", "dates only\n", standing.DatesOnly} {
		if !strings.Contains(b.String(), want) {
			t.Errorf("no %q in\n%s", want, b.String())
		}
	}
	if strings.Contains(b.String(), "never printed") || strings.Count(b.String(), "dates only") != 2 {
		t.Errorf("%s", b.String())
	}
}

func TestPercent(t *testing.T) {
	for p, want := range map[float64]string{0: "<0.1 %", 0.04: "<0.1 %", 0.0999: "<0.1 %", 0.1: "0.1 %", 0.3: "0.3 %", 9.99: "9.9 %",
		70.5: "70.5 %", 99.99: "99.9 %", 100: "100 %", 432.6: "432 %", 999.9: "999 %", 12345.6: ">1000 %"} {
		if got := percent(p); got != want {
			t.Errorf("%v is %q, want %q", p, got, want)
		}
	}
}

// The margins that people need: to the next kit and to DANGER, in percent and
// in what the inputs may become. That to the rounding is not told.
func TestMargins(t *testing.T) {
	ms, reduced := 134.2, 150.9
	room := func(limit assess.CalCM2, p float64) *standing.Room {
		return &standing.Room{Limit: limit, Percent: p, ClearMS: &ms, ClearReducedMS: &reduced, FaultKA: &[2]float64{9.5, 31.25}, LowEnd: "low", HighEnd: "high"}
	}
	for _, c := range []struct {
		name  string
		h     standing.Headroom
		words string
		lines string
	}{
		{"a kit between", standing.Headroom{Energy: room(6.6, 0), Kit: room(8, 21.2), Signal: room(40, 506)},
			"margin 21.2 %, 506 % to DANGER",
			"margin 21.2 % to the next kit, at 8.0 cal/cm²: arc duration up to 134.2 ms at the full and 150.9 ms at the reduced arcing current; " +
				"fault current from 9.5 kA (low) to 31.25 kA (high); each with the others unchanged\n" +
				"margin 506 % to DANGER, at 40.0 cal/cm²: arc duration up to 134.2 ms at the full and 150.9 ms at the reduced arcing current; " +
				"fault current from 9.5 kA (low) to 31.25 kA (high); each with the others unchanged"},
		{"the top kit", standing.Headroom{Energy: room(39.9, 0.2), Kit: room(40, 0.05), Signal: room(40, 0.05)}, "margin <0.1 % to DANGER", "margin <0.1 % to DANGER, at 40.0 cal"},
		{"DANGER", standing.Headroom{Energy: room(85.8, 0.1)}, "", "no margin: the label already says DANGER"},
		{"the study's word", standing.Headroom{WhyNot: "the row's method is stated"}, "", "the margin is not known: the row's method is stated"},
	} {
		lines := strings.Join(HeadroomLines(&c.h), "\n")
		if got := marginWords(&c.h, 2); got != c.words || !strings.HasPrefix(lines, c.lines) || strings.Contains(lines, "6.6") {
			t.Errorf("%s: %q\n%s", c.name, got, lines)
		}
	}
}
