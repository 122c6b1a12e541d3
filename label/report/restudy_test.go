package report

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"unicode/utf8"

	"vouchmark/assess"
	"vouchmark/assess/shock"
	"vouchmark/label"
	"vouchmark/label/plant"
	"vouchmark/label/record"
)

// panels is an invented site of panels that nothing joins.
func panels(t *testing.T, n int) *assess.Site {
	t.Helper()
	s := &assess.Site{Policy: assess.Policy{Name: "Invented works", Units: assess.US, Edition: "NFPA 70E-2024", Cutoff: 40, ReviewMonths: 60,
		NoticeDays: 90, Govern: assess.Larger, TolerancePercent: 5, Languages: []string{"en"},
		Ladder: []assess.Rung{{Kit: "Kit A", Rating: 4}, {Kit: "Kit B", Rating: 8}, {Kit: "Kit C", Rating: 25}, {Kit: "Kit D", Rating: 40}}}}
	for i := range n {
		id := fmt.Sprintf("P-%d", i)
		s.Policy.Sources = append(s.Policy.Sources, id)
		s.Locations = append(s.Locations, assess.Location{ID: id, Equipment: "Panel", Area: "Hall", Supply: shock.AC3, Voltage: 480, Distance: 457.2,
			Cases: []assess.Case{{Method: assess.Stated, Energy: 5, Boundary: 1100, Fault: 12, Clear: 60, ClearReduced: 80,
				Study: "R-26", Surveyed: day(t, "2026-02-01"), Prepared: day(t, "2026-03-14")}}})
	}
	return s
}

// restudied is the effect of a change on the labels of a site, all of them mounted.
func restudied(t *testing.T, s *assess.Site, change func(*assess.Site), outside ...string) *plant.Restudy {
	t.Helper()
	h := mounted(t, s)
	on := func(s *assess.Site) *plant.Plant {
		v, err := plant.New(s, h, day(t, "2027-05-03"), func(act assess.Act, on string) string { return fmt.Sprintf("%v %s", act, on) })
		if err != nil {
			t.Fatal(err)
		}
		return v
	}
	later := *s
	later.Locations = slices.Clone(s.Locations)
	for i := range later.Locations {
		later.Locations[i].Cases = slices.Clone(later.Locations[i].Cases)
	}
	change(&later)
	return plant.NewRestudy(on(s), on(&later), func(id string) bool { return !slices.Contains(outside, id) })
}

// every is a restudy with a row of each effect.
func every(t *testing.T) *plant.Restudy {
	s := panels(t, 12)
	s.Locations[7].Equipment, s.Locations[8].Area = "=SUM(A1)", "+1\x1b[31m"
	s.Locations[11].ID = strings.Repeat("LONG-", 8)
	return restudied(t, s, func(s *assess.Site) {
		set := func(i int, e assess.CalCM2, b assess.MM) {
			c := &s.Locations[i].Cases[0]
			c.Energy, c.Boundary, c.Study, c.Prepared = e, b, "R-27", day(t, "2027-04-20")
		}
		set(0, 45, 4300)
		set(1, 9, 1500)
		set(2, 5, 1150)
		set(3, 4.9, 1100)
		set(4, 5, 1100)
		set(5, 5.5, 1150)
		s.Locations[5].Cases[0].FedFrom = []string{"NOWHERE"}
		set(6, 1.1, 430)
		s.Locations[6].Cases[0].FedFrom = []string{"NOWHERE"}
		set(11, 0.5, 250)
		n := s.Locations[10]
		n.ID = "N-1"
		s.Locations = append(s.Locations, n)
		s.Locations = slices.Delete(s.Locations, 9, 10)
	}, "P-8")
}

// The words of a label, in numbers again, as a reader takes them.
type readLabel struct {
	danger                        bool
	energy                        float64
	bound                         string
	arc, distance, limited, reach float64 // in
	rule                          string
	kit                           float64 // rating; 0 where none is asked for
	glove                         string
}

var numbered = regexp.MustCompile(`[\d.]+`)

func number(t *testing.T, text string) float64 {
	t.Helper()
	x, err := strconv.ParseFloat(numbered.FindString(text), 64)
	if err != nil {
		t.Fatalf("no number in %q", text)
	}
	return x
}

// inches reads "3 ft 10 in", "4 ft", "18 in" and "60 in (5 ft)".
func inches(t *testing.T, text string) float64 {
	t.Helper()
	text, _, _ = strings.Cut(text, " (")
	feet, rest, both := strings.Cut(text, " ft")
	if !both {
		return number(t, text)
	}
	x := 12 * number(t, feet)
	if strings.TrimSpace(rest) != "" {
		x += number(t, rest)
	}
	return x
}

func reads(t *testing.T, r *record.Record) readLabel {
	t.Helper()
	l := label.Compose(r, "", label.Presentation{Languages: []string{"en"}})
	w := l.Words[0]
	got := readLabel{danger: w.Signal == "DANGER", energy: number(t, w.Energy), arc: inches(t, w.ArcLength),
		distance: inches(t, w.WorkingDistance), rule: w.RestrictedRule}
	got.bound, _, _ = strings.Cut(w.Energy, " ")
	if l.Chosen >= 0 {
		got.kit = number(t, l.Ladder[l.Chosen].Rating)
	}
	if w.LimitedLength != "" {
		got.limited = inches(t, w.LimitedLength)
	}
	if strings.Contains(w.RestrictedRule, " in") || strings.Contains(w.RestrictedRule, " ft") {
		got.reach = inches(t, w.RestrictedRule)
	}
	got.glove = r.Glove.Class
	return got
}

// A label is too low exactly where what is read on it is less than what would be
// read on the new one: held against the finished words of both labels.
func TestRestudyLowAsRead(t *testing.T) {
	rnd := rand.New(rand.NewPCG(15, 4))
	classes := []string{"00", "0", "1", "2", "3", "4"}
	energies := []assess.CalCM2{0.4, 1.1, 1.19, 1.2, 1.21, 3.95, 4, 4.01, 7.9, 8, 8.05, 24.9, 25, 25.1, 39.9, 40, 40.1, 60}
	seen := map[plant.Low]int{}
	random := func(l *assess.Location) {
		c := &l.Cases[0]
		c.Energy = energies[rnd.IntN(len(energies))]
		if rnd.IntN(3) == 0 {
			c.Energy += assess.CalCM2(rnd.Float64() / 5)
		}
		switch rnd.IntN(12) {
		case 0:
			c.Bound, c.Energy = assess.Above, max(c.Energy, 40)
		case 1:
			c.Bound, c.Energy = assess.Under, min(c.Energy, 1.2)
		}
		c.Boundary = assess.MM(float64(8+rnd.IntN(200)) * 25.4)
		l.Distance = []assess.MM{457.2, 457.2, 609.6, 406.4}[rnd.IntN(4)]
		l.Voltage = []assess.Volts{480, 480, 480, 600, 120, 2400, 48}[rnd.IntN(7)]
		c.Prepared = day(t, "2026-03-14").AddDays(rnd.IntN(300))
	}
	for range 12 {
		s := panels(t, 40)
		for i := range s.Locations {
			random(&s.Locations[i])
		}
		r := restudied(t, s, func(s *assess.Site) {
			for i := range s.Locations {
				if rnd.IntN(4) > 0 {
					random(&s.Locations[i])
				}
			}
		})
		for i := range r.Rows {
			row := &r.Rows[i]
			was, is := reads(t, row.Before), reads(t, row.After)
			var want []plant.Low
			add := func(low plant.Low, so bool) {
				if so {
					want = append(want, low)
				}
			}
			add(plant.LowSignal, is.danger && !was.danger)
			add(plant.LowKit, !is.danger && !was.danger && is.kit > 0 && was.kit < is.energy)
			more := is.energy > was.energy
			switch {
			case was.bound == "above":
				more = false
			case is.bound == "above":
				more = true
			case was.bound == "below" && is.bound != "below":
				more = is.energy >= was.energy
			}
			add(plant.LowEnergy, more)
			add(plant.LowDistance, is.distance > was.distance)
			add(plant.LowBoundary, is.arc > was.arc)
			add(plant.LowApproach, is.limited > was.limited || is.reach > was.reach || was.rule == "" && is.rule != "")
			add(plant.LowGloves, slices.Index(classes, is.glove) > slices.Index(classes, was.glove))
			add(plant.LowVoltage, row.After.Location.Voltage > row.Before.Location.Voltage)
			if !slices.Equal(row.Low, want) || (row.Effect == plant.LabelTooLow) != (want != nil) {
				t.Fatalf("%s: %q, read %q\nbefore %+v\nnow %+v", row.ID, row.Low, want, was, is)
			}
			for _, low := range want {
				seen[low]++
			}
		}
	}
	for _, low := range plant.Lows {
		if seen[low] == 0 && low != plant.LowTold && low != plant.LowSwitch {
			t.Errorf("%s was never too low", low)
		}
	}
}

// The table names what matters first, every location and why it changes, and
// keeps to its width.
func TestRestudyTable(t *testing.T) {
	r := every(t)
	for _, width := range []int{60, 80, 100, 200} {
		var b bytes.Buffer
		if err := Restudy(&b, r, width); err != nil {
			t.Fatal(err)
		}
		for _, line := range strings.Split(b.String(), "\n") {
			if utf8.RuneCountInString(line) > width || strings.TrimRight(line, " ") != line {
				t.Errorf("%d columns: %q", width, line)
			}
		}
		for i := range r.Rows {
			if !strings.Contains(b.String(), r.Rows[i].ID) {
				t.Errorf("%d columns: no %s", width, r.Rows[i].ID)
			}
		}
		if strings.Contains(b.String(), "\x1b") {
			t.Errorf("%d columns: a control character", width)
		}
	}
	var b bytes.Buffer
	if err := Restudy(&b, r, 100); err != nil {
		t.Fatal(err)
	}
	text := b.String()
	at := 0
	for _, want := range []string{
		"13 locations: 4 labels too low: cover them now, 1 not printed, 3 labels change (1 only in dates), 1\n  new, 1 location deleted, 1 not in this study, 2 labels stay\n",
		"COVER: printed too low (4)\nLOCATION",
		"P-0 ", "5.0 → 45.0 cal/cm²", "44 in → 14 ft 2 in", "WARNING Kit B → DANGER", "too low: now DANGER, no energized work; the label says WARNING",
		"also: study R-26 → R-27\n", "-> cover the label now; print the new one and mount it\n",
		"P-1 ", "WARNING Kit B → Kit C", "too low: Kit B is not enough for 9.0 cal/cm²; energy 9.0 cal/cm², above the printed 5.0 cal/cm²",
		"P-5 ", `not printed: "NOWHERE" is not a location`, "also: fed_from (empty) → NOWHERE", "cover the label now; a new one can be printed once its row is corrected",
		"P-2 ", "too low: boundary 46 in, above the printed 44 in",
		"Not printed (1)\nP-6 ", "5.0 → 1.1 cal/cm²", "WARNING Kit B → below 1.2", "-> cover the label: it does not hold\n",
		"The label changes (2)\n", "LONG-LONG", "P-3 ", "5.0 → 4.9 cal/cm²",
		"The label changes only in the study's name and dates (1)\n  P-4\n",
		"New locations (1)\nN-1 ", "-> print the first label and mount it\n",
		"Deleted locations (1)\nP-9 ", "-> remove the label if the equipment is gone; if not, cover the label\n",
		"Not in this study, left unchanged (1)\n  P-8\n", "The label stays (2)\n  P-7, P-10\n",
	} {
		next := strings.Index(text[at:], want)
		if next < 0 {
			t.Fatalf("no %q behind\n%s\nin\n%s", want, text[max(0, at-40):at], text)
		}
		at += next + len(want)
	}
}

// Where all is well it says so, and where no label was printed it does not.
func TestRestudySummary(t *testing.T) {
	same := func(*assess.Site) {}
	if got := RestudySummary(restudied(t, panels(t, 1), same)); got != "1 location: no printed label is too low, 1 label stays" {
		t.Error(got)
	}
	v, err := plant.New(panels(t, 2), nil, day(t, "2026-05-01"), nil)
	if err != nil {
		t.Fatal(err)
	}
	if got := RestudySummary(plant.NewRestudy(nil, v, nil)); got != "2 locations: 2 new" {
		t.Error(got)
	}
	if got := RestudySummary(plant.NewRestudy(v, v, nil)); got != "2 locations: 2 never printed" {
		t.Error(got)
	}
	low := restudied(t, panels(t, 1), func(s *assess.Site) { s.Locations[0].Cases[0].Energy = 5.2 })
	if got := RestudySummary(low); got != "1 location: 1 label too low: cover it now" {
		t.Error(got)
	}
	if got := RestudySummary(&plant.Restudy{}); got != "0 locations" {
		t.Error(got)
	}
}

// What changes in no number that is shown is still named.
func TestRestudyNamesAReason(t *testing.T) {
	for name, change := range map[string]func(l *assess.Location, c *assess.Case){
		"energy that prints the same": func(_ *assess.Location, c *assess.Case) { c.Energy = 4.99 },
		"a duration":                  func(_ *assess.Location, c *assess.Case) { c.Clear = 61 },
		"who accepts it":              func(_ *assess.Location, c *assess.Case) { c.AcceptedBy = "E. Sample, PE" },
		"the area":                    func(l *assess.Location, _ *assess.Case) { l.Area = "" },
		"the working distance":        func(l *assess.Location, _ *assess.Case) { l.Distance = 406.4 },
		"the fault current":           func(_ *assess.Location, c *assess.Case) { c.Fault = 11.5 },
		"the supply":                  func(l *assess.Location, _ *assess.Case) { l.Voltage = 460 },
	} {
		r := restudied(t, panels(t, 1), func(s *assess.Site) { change(&s.Locations[0], &s.Locations[0].Cases[0]) })
		lines := RestudySections(r)[0].Lines
		if r.Rows[0].Effect != plant.LabelChanges || len(lines[0].Others) != 1 || !lines[0].Others[0].Differs() {
			t.Errorf("%s: %q, %+v", name, r.Rows[0].Effect, lines[0].Others)
		}
	}
}

// The spreadsheet has a row for each location, columns of their own names, and
// no formula of the owner's texts (OWASP, CSV injection).
func TestRestudyCSV(t *testing.T) {
	r := every(t)
	var b bytes.Buffer
	if err := RestudyCSV(&b, r); err != nil {
		t.Fatal(err)
	}
	text, marked := strings.CutPrefix(b.String(), "\ufeff")
	rows, err := csv.NewReader(strings.NewReader(text)).ReadAll()
	if err != nil || !marked || len(rows) != len(r.Rows)+1 {
		t.Fatalf("%d rows of %d, %v", len(rows), len(r.Rows), err)
	}
	column := map[string]int{}
	for i, name := range rows[0] {
		if _, again := column[name]; again {
			t.Errorf("%s twice", name)
		}
		column[name] = i
	}
	for i, row := range rows[1:] {
		for k, cell := range row {
			if cell != "" && strings.ContainsRune("=+-@", rune(cell[0])) || strings.ContainsRune(cell, '\x1b') {
				t.Errorf("%s: %q", rows[0][k], cell)
			}
		}
		if row[column["id"]] != r.Rows[i].ID || row[column["effect"]] != string(r.Rows[i].Effect) {
			t.Errorf("row %d is %v", i, row)
		}
	}
	for name, want := range map[string]string{"signal_before": "WARNING", "signal_now": "DANGER", "kit_before": "Kit B", "kit_now": "none allowed",
		"energy_before_cal_cm2": "5", "energy_now_cal_cm2": "45", "boundary_before_in": "44", "boundary_now_in": "170", "boundary_now_mm": "4300",
		"distance_now_in": "18", "distance_before_mm": "460", "voltage_now_v": "480", "fault_before_ka": "12", "prepared_before": "2026-03-14",
		"prepared_now": "2027-04-20", "review_by_now": "2032-04-20", "to_print": "yes", "in_study": "yes", "hazard": "up", "already": "no"} {
		if got := rows[1][column[name]]; got != want {
			t.Errorf("%s is %q, want %q", name, got, want)
		}
	}
}

// A program reads the same.
func TestRestudyJSON(t *testing.T) {
	r := every(t)
	var b bytes.Buffer
	if err := WriteJSON(&b, map[string]any{"restudy": RestudyJSON(r)}); err != nil {
		t.Fatal(err)
	}
	var got struct {
		Restudy struct {
			Summary   string
			Counts    map[string]int
			Locations []map[string]any
		}
	}
	if err := json.Unmarshal(b.Bytes(), &got); err != nil {
		t.Fatal(err)
	}
	sum := 0
	for _, n := range got.Restudy.Counts {
		sum += n
	}
	if sum != len(r.Rows) || len(got.Restudy.Counts) != len(plant.Effects) || got.Restudy.Summary != RestudySummary(r) {
		t.Errorf("%+v", got.Restudy.Counts)
	}
	for i, l := range got.Restudy.Locations {
		row := &r.Rows[i]
		gone := row.Row == plant.RowGone
		if l["id"] != row.ID || l["effect"] != string(row.Effect) || (l["after"] == nil) != gone || (l["before"] == nil) != (row.Row == plant.RowNew) ||
			(l["printed"] == nil) != (row.Row == plant.RowNew) || (l["refused"] == nil) != (row.Refused == nil) || l["differences"] == nil || l["too_low"] == nil {
			t.Errorf("%s: %v", row.ID, l)
		}
	}
	first := got.Restudy.Locations[0]
	after := first["after"].(map[string]any)
	if after["signal"] != "DANGER" || after["kit"] != nil || after["kit_status"] != "none allowed" || after["energy_printed"] != "45 cal/cm²" ||
		after["boundary_printed"] != "14 ft 2 in" || after["boundary_mm"] != 4300.0 || first["before_from"] != "label" || first["hazard"] != "up" {
		t.Errorf("%v", first)
	}
}
