package site

import (
	"strings"
	"testing"

	"vouchmark/assess"
)

// rowWith is the text of a locations.csv with one row that is sound except for the
// cells given as column, cell, column, cell.
func rowWith(delimiter string, pairs ...string) string {
	values := map[string]string{"id": "P-1", "equipment": "Panel", "supply": "ac3", "voltage_v": "480",
		"distance_in": "18", "prepared": "2026-03-14"}
	for i := 0; i < len(pairs); i += 2 {
		c, _ := columnOf(assess.Columns, pairs[i])
		for _, same := range c.Spellings() {
			delete(values, same)
		}
		values[pairs[i]] = pairs[i+1]
	}
	var head, cells []string
	for _, name := range spellings(assess.Columns) {
		if v, ok := values[name]; ok {
			head, cells = append(head, name), append(cells, `"`+strings.ReplaceAll(v, `"`, `""`)+`"`)
		}
	}
	return strings.Join(head, delimiter) + "\n" + strings.Join(cells, delimiter) + "\n"
}

// locationWith is the location of that row, in a folder without problems.
func locationWith(t *testing.T, policy string, pairs ...string) *assess.Location {
	t.Helper()
	s, ps := read(policy, rowWith(",", pairs...))
	if ps != nil || len(s.Locations) != 1 {
		t.Fatalf("%q: %v", pairs, ps)
	}
	return &s.Locations[0]
}

// A cell's own unit counts before the heading's. The numbers are by the
// definitions of NIST SP 811 (2008), B.8: 1 in is 25.4 mm, 1 ft is 304.8 mm,
// 1 cal (th) is 4.184 J.
func TestUnitsOfCells(t *testing.T) {
	voltage := func(l *assess.Location) float64 { return float64(l.Voltage) }
	fault := func(l *assess.Location) float64 { return float64(l.Cases[0].Fault) }
	distance := func(l *assess.Location) float64 { return float64(l.Distance) }
	gap := func(l *assess.Location) float64 { return float64(l.Cases[0].Gap) }
	clearing := func(l *assess.Location) float64 { return float64(l.Cases[0].Clear) }
	energy := func(l *assess.Location) float64 { return float64(l.Cases[0].Energy) }
	hertz := func(l *assess.Location) float64 { return float64(l.Cases[0].Hertz) }
	for _, c := range []struct {
		column, cell string
		of           func(*assess.Location) float64
		want         float64 // 0: the cell cannot be read
	}{
		{"voltage_v", "480", voltage, 480}, {"voltage_v", "480 V", voltage, 480}, {"voltage_v", "480V", voltage, 480},
		{"voltage_v", "0.48 kV", voltage, 480}, {"voltage_kv", "480 V", voltage, 480}, {"voltage_v", "13.8kV", voltage, 13800},
		{"voltage_v", "480 VAC", voltage, 480}, {"voltage_v", "480 V AC", voltage, 480}, {"voltage_v", "480 vac", voltage, 480},
		{"voltage_v", "4.16 kVac", voltage, 4160},
		{"voltage_v", "480 VDC", voltage, 0}, // on an ac3 row
		{"voltage_v", "480Y/277", voltage, 480}, {"voltage_v", "480Y/277V", voltage, 480}, {"voltage_v", "480 Y / 277 V", voltage, 480},
		{"voltage_v", "120/240", voltage, 240}, {"voltage_v", "277/480", voltage, 480}, {"voltage_v", "480V/277V", voltage, 480},
		{"voltage_kv", "13.8/7.97", voltage, 13800}, {"voltage_v", "13.8Y/7.97 kV", voltage, 13800},
		{"voltage_v", "480/277/120", voltage, 0}, {"voltage_v", "480Y/", voltage, 0}, {"voltage_v", "480/high", voltage, 0},
		{"voltage_v", "480 A", voltage, 0}, {"voltage_v", "480 in", voltage, 0}, {"voltage_v", "1 MV", voltage, 0},
		{"voltage_v", "480 mV", voltage, 0}, {"voltage_v", "13,800 V", voltage, 0}, {"voltage_v", "13 800 V", voltage, 0},
		{"voltage_kv", "13.8 kV nominal", voltage, 0}, {"voltage_v", "> 480", voltage, 0},

		{"fault_ka", "22 kA", fault, 22}, {"fault_ka", "22000 A", fault, 22}, {"fault_a", "22 kA", fault, 22},
		{"fault_ka", "22kA", fault, 22}, {"fault_ka", "22,000 A", fault, 0}, {"fault_ka", "65 kAIC", fault, 65},
		{"fault_ka", "22 kV", fault, 0}, {"fault_ka", "22 mA", fault, 0}, {"fault_ka", "about 22", fault, 0},

		{"distance_in", `3'-4"`, distance, 1016}, {"distance_in", `3' 4"`, distance, 1016}, {"distance_in", `3'4"`, distance, 1016},
		{"distance_in", "3 ft 4 in", distance, 1016}, {"distance_in", "3 ft. 4 in.", distance, 1016}, {"distance_in", "3’-4”", distance, 1016},
		{"distance_in", `18"`, distance, 457.2}, {"distance_in", "18 in", distance, 457.2}, {"distance_in", "18 in.", distance, 457.2},
		{"distance_in", "457 mm", distance, 457}, {"distance_in", "45.7 cm", distance, 457}, {"distance_mm", `18"`, distance, 457.2},
		{"distance_in", "1.5'", distance, 457.2}, {"distance_ft", `18 inches`, distance, 457.2}, {"distance_in", "0.457 m", distance, 457},
		{"distance_in", `3'-0"`, distance, 914.4}, {"distance_in", `0'-8"`, distance, 203.2}, {"distance_in", `3' 4.5"`, distance, 1028.7}, {"distance_in", "3 feet", distance, 914.4},
		{"distance_in", `3'-14"`, distance, 0}, {"distance_in", `3.5'-4"`, distance, 0}, {"distance_in", `0'-0"`, distance, 0},
		{"distance_in", "18 V", distance, 0}, {"distance_in", "1'200", distance, 0}, {"distance_in", `18" AFF`, distance, 0},
		{"gap_mm", "1.25 in", gap, 31.75}, {"gap_mm", `1.25"`, gap, 31.75},

		{"clear_ms", "0.05 s", clearing, 50}, {"clear_s", "50 ms", clearing, 50}, {"clear_ms", "3 cycles", clearing, 50},
		{"clear_ms", "3 cycle", clearing, 50}, {"clear_cycles", "50 ms", clearing, 50}, {"clear_ms", "0.05 sec", clearing, 50},
		{"clear_ms", "3 c", clearing, 0}, {"clear_ms", "2 min", clearing, 0}, {"clear_ms", "50 mm", clearing, 0},

		{"energy_cal_cm2", "6.5 cal/cm²", energy, 6.5}, {"energy_cal_cm2", "6.5 cal/cm2", energy, 6.5},
		{"energy_cal_cm2", "6.5 cal/cm^2", energy, 6.5}, {"energy_cal_cm2", "27 J/cm²", energy, 6.45315488},
		{"energy_j_cm2", "6.5 cal/cm²", energy, 6.5}, {"energy_cal_cm2", "41.84 J/cm2", energy, 10},
		{"energy_cal_cm2", "6.5 J", energy, 0}, {"energy_cal_cm2", "6.5 kA", energy, 0},

		{"frequency_hz", "60 Hz", hertz, 60}, {"frequency_hz", "50", hertz, 50}, {"frequency_hz", "60 kHz", hertz, 0},
		{"frequency_hz", "0.5", hertz, 0}, {"frequency_hz", "1001", hertz, 0},
		{"multiplier", "3 x", func(l *assess.Location) float64 { return l.Cases[0].Multiplier }, 0},
	} {
		l := locationWith(t, goodPolicy, c.column, c.cell)
		if got := c.of(l); c.want > 0 && got != c.want || (len(l.Unreadable) > 0) != (c.want == 0) {
			t.Errorf("%s %q is %v, want %v; %v", c.column, c.cell, got, c.want, l.Unreadable)
		}
	}
}

// Cycles are those of the row's own frequency, else of the site's.
func TestCyclesOfTheRow(t *testing.T) {
	for _, c := range []struct {
		policy, hertz string
		want          assess.MS
	}{
		{goodPolicy, "", 50}, {goodPolicy, "50", 60}, {goodPolicy, "25 Hz", 120},
		{"frequency_hz = 50\n" + goodPolicy, "", 60}, {"frequency_hz = 50\n" + goodPolicy, "60", 50},
		{"frequency_hz = 16.7\n" + goodPolicy, "", 179.640719},
	} {
		for _, cell := range []string{"3", "3 cycles"} {
			l := locationWith(t, c.policy, "frequency_hz", c.hertz, "clear_cycles", cell)
			if l.Cases[0].Clear != c.want {
				t.Errorf("%s at %q Hz: %v ms, want %v", cell, c.hertz, l.Cases[0].Clear, c.want)
			}
		}
	}
}

// What a cell nearly says is refused, with what to write.
func TestHintsForCells(t *testing.T) {
	for _, c := range []struct{ column, cell, says string }{
		{"energy_cal_cm2", "6.5 cal", "; write 6.5 cal/cm²"}, {"energy_cal_cm2", "27 J", "; write 27 J/cm²"},
		{"energy_j_cm2", "27 joules", "; write 27 J/cm²"}, {"energy_cal_cm2", "> 40 cal", "; write > 40 cal/cm²"},
		{"distance_in", "1'6", `; write 1'-6"`}, {"boundary_in", "12' 7", `; write 12'-7"`}, {"distance_mm", "1’-6", `; write 1'-6"`},
		{"boundary_in", `3' - 4 1/2"`, `expected a length such as 3'-4" or 40.5 in; write a fraction as a decimal`},
		{"boundary_in", `40 1/2`, `expected a length such as 3'-4" or 40.5 in; write a fraction as a decimal`},
		{"boundary_in", `40½"`, `expected a length such as 3'-4" or 40.5 in; write a fraction as a decimal`},
	} {
		l := locationWith(t, goodPolicy, c.column, c.cell)
		if len(l.Unreadable) != 1 || !strings.Contains(l.Unreadable[0].Message, c.says) {
			t.Errorf("%s %q: %v, want %s", c.column, c.cell, l.Unreadable, c.says)
		}
	}
}

// A file of semicolons may have decimal commas, with units too.
func TestUnitsWithDecimalCommas(t *testing.T) {
	s, ps := read(goodPolicy, rowWith(";", "voltage_v", "0,48 kV", "distance_in", "45,7 cm", "fault_ka", "1,250 kA",
		"energy_cal_cm2", "> 40,5 cal/cm²"))
	if ps != nil || len(s.Locations[0].Unreadable) > 0 {
		t.Fatal(ps, s.Locations[0].Unreadable)
	}
	l := s.Locations[0]
	if l.Voltage != 480 || l.Distance != 457 || l.Cases[0].Fault != 1.25 || l.Cases[0].Energy != 40.5 {
		t.Errorf("%+v", l)
	}
	s, _ = read(goodPolicy, rowWith(";", "fault_ka", "1,250 kA"))
	if len(s.Locations[0].Unreadable) != 1 || !strings.Contains(s.Locations[0].Unreadable[0].Message, "can be read in only one way") {
		t.Errorf("without another cell to settle it: %v", s.Locations[0].Unreadable)
	}
}

func TestBounds(t *testing.T) {
	for cell, want := range map[string]struct {
		energy assess.CalCM2 // 0: the cell cannot be read
		bound  assess.Bound
	}{
		"> 40": {40, assess.Above}, ">40": {40, assess.Above}, "≥ 40": {40, assess.Above}, ">= 40": {40, assess.Above},
		"above 40": {40, assess.Above}, "Above 40 cal/cm²": {40, assess.Above}, "> 167.36 J/cm²": {40, assess.Above},
		"< 1.2": {1.2, assess.Under}, "<1.2 cal/cm2": {1.2, assess.Under}, "below 0.5": {0.5, assess.Under},
		"< 5.0208 J/cm²": {1.2, assess.Under},
		"< 1.3":          {1.3, ""}, "below 8": {8, ""}, "<= 1.2": {1.2, ""}, "≤ 1.2": {1.2, ""}, "<=8": {8, ""},
		"over 40": {40, assess.Above}, "More than 40 cal/cm²": {40, assess.Above}, "under 1": {1, assess.Under}, "less than 8": {8, ""},
		"6.5": {6.5, ""}, "overt 40": {}, "over": {}, "over 40 to 50": {},
		"Danger": {}, "Dangerous!": {}, "exceeds limits": {}, "~40": {}, "about 40": {}, "=> 40": {}, "> > 40": {},
		"> ": {}, "> 0": {}, "> -1": {}, "40+": {}, "> Danger": {}, "> N/A": {}, "20-30": {}, "> 40 kA": {},
	} {
		l := locationWith(t, goodPolicy, "energy_cal_cm2", cell)
		c := l.Cases[0]
		if len(l.Unreadable) != map[bool]int{true: 1}[want.energy == 0] || want.energy > 0 && (c.Energy != want.energy || c.Bound != want.bound) {
			t.Errorf("%q is %v %q, want %v; %v", cell, c.Energy, c.Bound, want, l.Unreadable)
		}
	}
	for _, cell := range []string{"Danger", "~ 40"} {
		l := locationWith(t, goodPolicy, "energy_cal_cm2", cell)
		if m := l.Unreadable[0].Message; !strings.Contains(m, "a bound such as > 40") {
			t.Errorf("%q: %s", cell, m)
		}
	}
	for _, column := range []string{"voltage_v", "fault_ka", "boundary_in", "distance_in", "clear_ms", "rating_ka"} {
		for _, cell := range []string{"> 18", "<= 18", "≥18", "above 18", "below 18"} {
			l := locationWith(t, goodPolicy, column, cell)
			if len(l.Unreadable) != 1 || !strings.Contains(l.Unreadable[0].Message, "only an energy may be a limit") {
				t.Errorf("%s %q: %v", column, cell, l.Unreadable)
			}
		}
	}
}

// Words for nothing count as empty in a number column that may be empty, and
// are said once for a column.
func TestEmptyWords(t *testing.T) {
	for _, word := range []string{"N/A", "#N/A", "NA", "n/a", "-", "–", "—", "TBD"} {
		s, ps := read(goodPolicy, rowWith(",", "fault_ka", word, "energy_cal_cm2", word))
		l, found := s.Locations[0], s.Policy.Findings
		if ps != nil || len(l.Unreadable) > 0 || l.Cases[0].Fault != 0 || l.Cases[0].Energy != 0 || len(found) != 2 {
			t.Fatalf("%s: %v, %+v, %v", word, ps, l, found)
		}
		if f := found[0]; f.Code != assess.EmptyWord || f.Level != assess.Caution || f.Field != "fault_ka" ||
			f.File != "locations.csv" || f.Line != 2 || !strings.Contains(f.Message, "one cell says") {
			t.Errorf("%+v", f)
		}
		for _, column := range []string{"fed_from", "tied_to", "device", "device_at", "surveyed", "accepted_by",
			"two_second_reason", "equipment", "voltage_v", "distance_in", "prepared"} {
			l := locationWith(t, goodPolicy, column, word)
			if len(l.Unreadable) != 1 || l.Unreadable[0].Field != column {
				t.Errorf("%s in %s: %v", word, column, l.Unreadable)
			}
		}
	}
	head := "id,equipment,supply,voltage_v,distance_in,prepared,fault_ka\n"
	s, _ := read(goodPolicy, head+"A,Q,ac3,480,18,2026-03-14,20\nB,Q,ac3,480,18,2026-03-14,N/A\nC,Q,ac3,480,18,2026-03-14,TBD\n")
	if f := s.Policy.Findings; len(f) != 1 || f[0].Line != 3 || !strings.Contains(f[0].Message, "2 cells say") {
		t.Errorf("%v", f)
	}
	// A utility's place without a label needs no working distance.
	if l := locationWith(t, goodPolicy, "label", "no", "distance_in", "N/A", "prepared", ""); len(l.Unreadable) > 0 {
		t.Errorf("%v", l.Unreadable)
	}
}

func TestDateForm(t *testing.T) {
	us, day := "date_form = \"m/d/y\"\n"+goodPolicy, "date_form = \"d/m/y\"\n"+goodPolicy
	for _, c := range []struct{ policy, cell, want string }{
		{goodPolicy, "2026-03-04", "2026-03-04"}, {us, "2026-03-04", "2026-03-04"}, {day, "2026-03-04", "2026-03-04"},
		{us, "3/4/2026", "2026-03-04"}, {us, "03/04/2026", "2026-03-04"}, {us, "3/14/2026", "2026-03-14"}, {us, "3-14-2026", "2026-03-14"},
		{day, "4/3/2026", "2026-03-04"}, {day, "04.03.2026", "2026-03-04"}, {day, "14/3/2026", "2026-03-14"},
		{goodPolicy, "3/14/2026", ""}, {goodPolicy, "14.3.2026", ""},
		{us, "14/3/2026", ""}, {day, "3/14/2026", ""}, {us, "3/14/26", ""}, {us, "2/30/2026", ""}, {us, "3/14-2026", ""},
		{us, "0/14/2026", ""}, {us, "2026/03/14", ""}, {goodPolicy, "2026-02-30", ""}, {goodPolicy, "March 2026", ""},
		{goodPolicy, "46095", ""},
		{us, "3/14/2026 0:00", "2026-03-14"}, {us, "3/14/2026 00:00:00", "2026-03-14"}, {us, "3/14/2026 12:00 AM", "2026-03-14"},
		{us, "2026-03-14T00:00:00", "2026-03-14"}, {day, "14.3.2026 0:00:00", "2026-03-14"}, {us, "3/14/2026 7:30", ""},
		{us, "3/14/2026 12:00 PM", ""}, {us, "3/14/2026 10:00", ""}, {goodPolicy, "3/14/2026 0:00", ""},
		{goodPolicy, "14-Mar-2026", "2026-03-14"}, {goodPolicy, "4 march 2026", "2026-03-04"}, {us, "Mar. 4, 2026", "2026-03-04"},
		{day, "September 30 2026", "2026-09-30"}, {day, "30-SEPT-2026", "2026-09-30"}, {day, "31-Sep-2026", ""},
		{day, "14-Marz-2026", ""}, {day, "14-Ma-2026", ""}, {day, "14-Mar-26", ""},
	} {
		l := locationWith(t, c.policy, "prepared", c.cell)
		if got := l.Cases[0].Prepared.String(); got != c.want || (len(l.Unreadable) == 1) != (c.want == "") {
			t.Errorf("%q is %q, want %q; %v", c.cell, got, c.want, l.Unreadable)
		}
	}
	l := locationWith(t, goodPolicy, "prepared", "3/14/2026")
	if m := l.Unreadable[0].Message; !strings.Contains(m, "date_form") || !strings.Contains(m, `"m/d/y"`) {
		t.Errorf("nothing says how to tell the form: %s", m)
	}
	for cell, want := range map[string]string{
		"3/1/26": "write the year with four digits", "14-Mar-26": "write the year with four digits", "26-03-14": "write the year with four digits",
		"46082": "this is a spreadsheet's day number; format the column as a date", "46082.5": "this is a spreadsheet's day number",
		"3/14/2026 0:00": "date_form in site.toml", "2026": "year, month, day; the day must exist",
	} {
		l := locationWith(t, goodPolicy, "prepared", cell)
		if m := l.Unreadable[0].Message; !strings.HasSuffix(m, want) && !strings.Contains(m, "; "+want) {
			t.Errorf("%s: %s, want %s", cell, m, want)
		}
	}
	if _, ps := read("date_form = \"mdy\"\n"+goodPolicy, goodRows); len(ps) != 1 || ps[0].Column != "date_form" {
		t.Errorf("%v", ps)
	}
}
