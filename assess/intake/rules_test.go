package intake

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"vouchmark/assess/intake/sheet"
)

// rest are the columns that every study has, so that a test asks about one thing.
const (
	restHead = ",Description,Voltage (V),Incident Energy (cal/cm2),Arc Flash Boundary (in),Working Distance (in),Supply,Study Date"
	restRow  = ",Panel,480,9.4,40,18,ac3,2026-03-14"
)

// asks are the rows and headings that a study asks about.
func asks(s *Study) string {
	var all []string
	for _, q := range s.Questions {
		switch {
		case q.Row > 0:
			all = append(all, fmt.Sprint(q.Row))
		case q.Heading != "":
			all = append(all, q.Heading)
		default:
			all = append(all, q.What)
		}
	}
	return strings.Join(all, "; ")
}

// taken are the columns that a study gives, as an answer spells them.
func taken(s *Study) string {
	var all []string
	for i := range s.Columns {
		for k := range s.Columns[i].Means {
			all = append(all, s.Columns[i].Means[k].Spelling())
		}
	}
	slices.Sort(all)
	return strings.Join(all, " ")
}

// idsOf are the ids of a study's rows.
func idsOf(s *Study) string {
	var all []string
	for _, r := range s.Rows {
		all = append(all, r.Cells["id"])
	}
	return strings.Join(all, " ")
}

// beside is one column of cells beside the rest of a study.
func beside(t *testing.T, heading string, cells ...string) *Study {
	t.Helper()
	text := "Bus ID" + restHead + ";" + heading + "\n"
	for i, c := range cells {
		text += fmt.Sprintf("P-%d%s;%s\n", i+1, restRow, c)
	}
	return take(t, strings.ReplaceAll(strings.ReplaceAll(text, ",", "\t"), ";", "\t"), Answers{}, Context{})
}

// of is what a column of a study became: its spelling, and its cells.
func of(s *Study, name string) string {
	m := s.meaning(name)
	if m == nil {
		return "-"
	}
	out := m.Spelling()
	for _, r := range s.Rows {
		out += " | " + r.Cells[name]
	}
	return out
}

// No unit is guessed where values fit two, and a unit that is named is not believed
// where most values would be absurd in it.
func TestUnitIsNeverGuessed(t *testing.T) {
	for _, c := range []struct {
		name, heading string
		cells         []string
		want          string // spelling, or "-" for asked
	}{
		{"clear", "Clearing Time", []string{"0.05", "0.05", "0.3"}, "clear_s"},
		{"clear", "Clearing Time", []string{"0.05", "0.3"}, "-"},
		{"clear", "Clearing Time", []string{"2", "5"}, "-"},           // s or cycles
		{"clear", "Clearing Time", []string{"0.2", "5", "30"}, "-"},   // a fuse of 0.2 cycles, or 0.2 s
		{"clear", "Clearing Time", []string{"50", "80", "1000"}, "-"}, // ms or cycles
		{"fault", "Bolted Fault Current", []string{"22", "14"}, "fault_ka"},
		{"fault", "Bolted Fault Current", []string{"22000", "14600"}, "fault_a"},
		{"fault", "Bolted Fault Current", []string{"150", "200"}, "-"},
		{"fault", "Bolted Fault Current (kA)", []string{"22000", "14600", "150"}, "-"}, // absurd in kA
		{"fault", "Bolted Fault Current (kA)", []string{"22", "14600"}, "-"},
		{"fault", "Bolted Fault Current (A) (kA)", []string{"22", "14"}, "-"},
		{"gap", "Conductor Gap", []string{"32", "104"}, "gap_mm"},
		{"gap", "Conductor Gap", []string{"25", "13"}, "-"},
		{"rating", "SCCR", []string{"22", "65"}, "rating_ka"},
		{"fault", "Bolted Fault Current", []string{"22 kA", "14600 A"}, "fault"}, // each its own
		{"fault", "Bolted Fault Current", []string{"22 kA", "14600"}, "fault_a"},
		{"fault", "Bolted Fault Current", []string{"22 kA", "140"}, "-"},
		{"fault", "Bolted Fault Current", []string{"22", "14", "15", "5000"}, "-"}, // one mistyped excludes nothing
		{"height", "Enclosure Height", []string{"20", "14"}, "-"},
	} {
		s := beside(t, c.heading, c.cells...)
		got := "-"
		if m := s.meaning(c.name); m != nil {
			got = m.Spelling()
		}
		if got != c.want {
			t.Errorf("%s %v: %s, want %s\n%s", c.heading, c.cells, got, c.want, show(s))
		}
		if asked := strings.Contains(asks(s), c.heading); asked != (c.want == "-") {
			t.Errorf("%s %v: asks %q", c.heading, c.cells, asks(s))
		}
	}
	for cells, want := range map[string]string{"480 208": "voltage_v", "0.48 0.208": "voltage_kv", "13.8 4.16": "voltage_kv", "230 400": "-",
		"115 138": "-", "34.5 34.5": "-", "480 0.208": "-"} {
		text := "Bus ID\tDescription\tVoltage\n"
		for i, v := range strings.Fields(cells) {
			text += fmt.Sprintf("P-%d\tPanel\t%s\n", i, v)
		}
		s := take(t, text, Answers{}, Context{})
		got := "-"
		if m := s.meaning("voltage"); m != nil {
			got = m.Spelling()
		}
		if got != want {
			t.Errorf("voltages %s: %s, want %s", cells, got, want)
		}
	}
	for _, cells := range [][]string{{"9.4"}, {"0.02"}, {"2000"}} { // never told from the values whether they are joules
		s := take(t, "Bus ID,Description,Voltage (V),Incident Energy\nP-1,Panel,480,"+cells[0]+"\n", Answers{}, Context{})
		if s.meaning("energy") != nil || !strings.Contains(asks(s), "Incident Energy") {
			t.Errorf("energy %v\n%s", cells, show(s))
		}
	}
}

// A heading that may mean several things is not taken for a quantity by leaving out
// what another heading means, nor where its values would be absurd.
func TestNothingIsTakenByElimination(t *testing.T) {
	for _, c := range []struct{ heading, cells, name, want string }{
		{"Distance (in)", "18 24", "distance", "distance_in"}, // the other one is there
		{"Rating (A)", "1200 2000", "rating", "-"},
		{"Rating", "225 400", "rating", "-"},
		{"Rating (kA)", "22 65", "rating", "rating_ka"},
		{"Device Rating (A)", "1200 2000", "device_rating", "-"}, // a continuous current
		{"Device Rating (A)", "22000 65000", "device_rating", "device_rating_a"},
		{"Breaker Rating", "225 400", "device_rating", "-"},
		{"AIC (kA)", "22 65", "rating", "-"},
		{"AIC (kA)", "22 65", "device_rating", "-"},
		{"Time (s)", "0.05 0.1", "clear", "clear_s"},
		{"Height (mm)", "20 50", "height", "-"}, // absurd
		{"Height (mm)", "508 914", "height", "height_mm"},
		{"Curve", "TCC-1 TCC-2", "curve", "-"},
		{"Label", "print print", "label", "-"},
		{"Mode", "A B", "mode", "-"},
		{"Study", "2026-03-14 2026-03-15", "study", "-"}, // dates name none
	} {
		if s := beside(t, c.heading, strings.Fields(c.cells)...); c.want != strings.Fields(of(s, c.name))[0] && c.heading != "Distance (in)" {
			t.Errorf("%s %s: %s\n%s", c.heading, c.cells, of(s, c.name), show(s))
		}
	}
	// A second distance is not a boundary, although only the boundary is left.
	s := take(t, "Bus ID,Description,Voltage (V),Working Distance (in),Distance (in)\nP-1,Panel,480,18,40\nP-2,Panel,480,18,30\n", Answers{}, Context{})
	if s.meaning("boundary") != nil {
		t.Errorf("%s", show(s))
	}
	// Beside the equipment's own rating, an interrupting rating is the device's; beside
	// the device's, no rating is the equipment's.
	s = take(t, "Bus ID,Description,Voltage (V),SCCR (kA),AIC (kA)\nP-1,Panel,480,22,65\n", Answers{}, Context{})
	if got := taken(s); got != "device_rating_ka equipment id rating_ka voltage_v" {
		t.Errorf("%s", got)
	}
	s = take(t, "Bus ID,Description,Voltage (V),Device AIC (kA),AIC (kA)\nP-1,Panel,480,22,65\n", Answers{}, Context{})
	if got := taken(s); got != "device_rating_ka equipment id voltage_v" {
		t.Errorf("%s", got)
	}
}

// Two headings for one thing are asked about, unless they say the same in every row.
func TestContested(t *testing.T) {
	for _, c := range []struct{ headings, row, want string }{
		{"Arc Flash Boundary (in),Arc Flash Boundary (mm)", "40,1016", "boundary_mm"}, // the finer digits
		{"Arc Flash Boundary (in),Arc Flash Boundary (mm)", "40.0,1016", "boundary_mm"},
		{"Arc Flash Boundary (in),Arc Flash Boundary (mm)", "40,1060", "-"},
		{"Arc Flash Boundary (in),Flash Protection Boundary (mm)", "40,1016", "-"}, // other words
		{"Arc Flash Boundary (in),Arc Flash Boundary (in)", "40,40", "boundary_in"},
		{"Arc Flash Boundary (in),Arc Flash Boundary (in)", "40,41", "-"},
		{"Arc Flash Boundary (in),Arc Flash Boundary (in)", "40,42", "-"},
		{"Incident Energy (cal/cm2),Incident Energy (cal/cm2)", "> 40,40", "-"},
	} {
		s := take(t, "Bus ID,Description,Voltage (V),"+c.headings+"\nP-1,Panel,480,"+c.row+"\nP-2,Panel,480,"+c.row+"\n", Answers{}, Context{})
		name := "boundary"
		if strings.HasPrefix(c.headings, "Incident") {
			name = "energy"
		}
		if got := strings.Fields(of(s, name))[0]; got != c.want || (c.want == "-") != strings.Contains(show(s), "each may be "+name) {
			t.Errorf("%s %s: %s\n%s", c.headings, c.row, got, show(s))
		}
	}
}

// A trip time is not the arc duration where the breaker's own time is in another column.
func TestTripTimes(t *testing.T) {
	for headings, want := range map[string]string{
		"Trip Time (s)": "clear_s", "Trip Time (s),Opening Time (s)": "-", "Trip Time (s),Breaker Opening Time (ms)": "-",
		"Trip Time (s),Breaker Time": "-", "Time (s),Opening Time (s)": "-", "Relay Time (s),Trip Time (s)": "-",
		"Clearing Time (s),Opening Time (s)": "clear_s", "Total Clearing Time (s),Relay Time (s)": "clear_s",
	} {
		n := strings.Count(headings, ",")
		s := take(t, "Bus ID,Description,Voltage (V),"+headings+"\nP-1,Panel,480,0.05"+strings.Repeat(",0.05", n)+"\n", Answers{}, Context{})
		if got := strings.Fields(of(s, "clear"))[0]; got != want {
			t.Errorf("%s: %s, want %s\n%s", headings, got, want, show(s))
		}
	}
}

// A hidden column is read where a person names it, and nowhere else.
func TestHiddenColumn(t *testing.T) {
	book := &sheet.Book{Sheets: []sheet.Sheet{{Name: "Results", HiddenColumns: []int{3}, Rows: []sheet.Row{
		{Number: 1, Cells: texts("Bus ID", "Description", "Voltage (V)", "Incident Energy (cal/cm2)", "cal/cm²")},
		{Number: 2, Cells: texts("P-1", "Panel", "480", "9.4", "3.1")},
	}}}}
	s, err := Read(book, "a.xlsx", &Answers{}, Context{})
	if err != nil || of(s, "energy") != "energy_cal_cm2 | 3.1" {
		t.Errorf("%v\n%s", err, show(s))
	}
	s, err = Read(book, "a.xlsx", &Answers{Columns: []Answer{{Heading: "Incident Energy (cal/cm2)", Column: "energy_cal_cm2"}}}, Context{})
	if err != nil || of(s, "energy") != "energy_cal_cm2 | 9.4" {
		t.Errorf("%v\n%s", err, show(s))
	}
	book.Sheets[0].Rows = append(book.Sheets[0].Rows, sheet.Row{Number: 3, Hidden: true, Cells: texts("P-2", "Panel", "480", "", "7.7")})
	if s, err = Read(book, "a.xlsx", &Answers{}, Context{}); err != nil || idsOf(s) != "P-1 P-2" {
		t.Errorf("a hidden row is a row: %v\n%s", err, show(s))
	}
}

// texts are cells of texts.
func texts(all ...string) []sheet.Cell {
	cells := make([]sheet.Cell, len(all))
	for i, s := range all {
		cells[i] = textCell(s)
	}
	return cells
}

// Any number may be an id, but a name that several rows share is not one.
func TestWeakIDs(t *testing.T) {
	for cells, want := range map[string]bool{"SG-1 SG-2": true, "1 2": false, "480 208": false, "480V 208V": false, "690/398 480Y/277": false,
		"P P": false, "007x 12y": true} {
		two := strings.Fields(cells)
		s := take(t, "No.,Description,Voltage (V),SCCR (kA)\n"+two[0]+",Panel,480,22\n"+two[1]+",Panel,480,22\n", Answers{}, Context{})
		if got := s.meaning("id") != nil; got != want {
			t.Errorf("ids %s: %v\n%s", cells, got, show(s))
		}
	}
	// a strong one may be anything, and is left as it is
	s := take(t, "Bus ID,Description,Voltage (V)\n0033,Panel,480\n9E42,Panel,480\n12,Panel,480\n1.50,Panel,480\n", Answers{}, Context{})
	if idsOf(s) != "0033 9E42 12 1.50" {
		t.Errorf("%s", idsOf(s))
	}
	// with cases an id comes twice
	s = take(t, "Item,Scenario,Description,Voltage (V),SCCR (kA)\nQ-1,normal,Panel,480,22\nQ-1,tie closed,Panel,480,22\n", Answers{}, Context{})
	if idsOf(s) != "Q-1 Q-1" {
		t.Errorf("%s", show(s))
	}
}
