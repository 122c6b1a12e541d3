package intake

import (
	"strings"
	"testing"

	"vouchmark/assess/intake/sheet"
)

// Which rows are locations: totals, notes and other tables are not; rows that may be
// either are asked about.
func TestRows(t *testing.T) {
	const head = "Bus ID,Description,Voltage (V),Bolted Fault (kA)\nA-1,Panel,480,22\nA-2,Panel,208,14\n"
	for _, c := range []struct{ row, ids, asks string }{
		{"A-3,Panel,480,9", "A-1 A-2 A-3", ""},
		{"A-3,,480,", "A-1 A-2 A-3", ""}, // with a voltage alone
		{"Total,,,36", "A-1 A-2", ""},
		{"Average,,344,18", "A-1 A-2", ""},
		{"Max.,,480,22.0", "A-1 A-2", ""},
		{"Total of all buses,,,36", "A-1 A-2", ""},
		{"Total,2 locations,,36", "A-1 A-2", ""},
		{",Total,,36", "A-1 A-2", ""},
		{"Total Flow Panel,,480,22", "A-1 A-2 Total Flow Panel", ""}, // no sum of what is above
		{"Total Flow Panel,Panel,480,36", "A-1 A-2 Total Flow Panel", ""},
		{"MAX-1,,240,9", "A-1 A-2 MAX-1", ""},
		{"MAX-1,,480,22", "A-1 A-2", "4"}, // the largest ones, or a location
		{"Total,,480,9", "A-1 A-2", "4"},  // not their sum
		{"MIN,Mining panel,208,14", "A-1 A-2", "4"},
		{"AREA 2,,,", "A-1 A-2", ""},
		{"Section:,North side,,", "A-1 A-2", "4"},
		{"Note 1,Values above 40,,", "A-1 A-2", "4"},
		{"Page,1,480,3", "A-1 A-2", "4"},
		{"Prepared by:,E. Sample,480,12.5", "A-1 A-2", "4"},
		{"* estimated,see report,480,", "A-1 A-2", "4"},
		{"Note Press 1,Press,480,9", "A-1 A-2 Note Press 1", ""},
		{"A-3,spare,n/a,n/a", "A-1 A-2 A-3", ""}, // it says that both are missing
		{"A-3,spare,,", "A-1 A-2", "4"},
		{"A-3,spare,see note,see note", "A-1 A-2", "4"},
		{",Panel,480,9", "A-1 A-2", "4"},
		{"BUS ID,Description,Voltage (V),Bolted Fault (kA)", "A-1 A-2", ""},
		{"bus id,description,voltage (v),bolted fault (ka)", "A-1 A-2", ""},
	} {
		if s := take(t, head+c.row+"\n", Answers{}, Context{}); idsOf(s) != c.ids || !strings.HasPrefix(asks(s)+";", c.asks) ||
			c.asks == "" && strings.HasPrefix(asks(s), "4") {
			t.Errorf("%s: rows %s, want %s, asks %s\n%s", c.row, idsOf(s), c.ids, asks(s), show(s))
		}
	}
}

// What follows the headings of another table is of that table, also where a person
// leaves its headings out.
func TestOtherTables(t *testing.T) {
	const first = "Bus ID,Description,Voltage (V),Bolted Fault (kA)\nA-1,Panel,480,22\nA-2,Panel,208,14\n"
	for _, heading := range []string{"Bus ID,X/R,Arcing Current (kA)", "Tag,Length (ft)", "X/R,Location ID,Peak", "Voltage (kV),Bolted Fault (kA),X/R"} {
		text := first + "\n" + heading + "\nA-1,3.1,9.9\nA-2,4.1,8.8\n"
		s := take(t, text, Answers{}, Context{})
		if idsOf(s) != "A-1 A-2" || !strings.HasPrefix(asks(s), "5") {
			t.Errorf("%s: rows %s, asks %s", heading, idsOf(s), asks(s))
		}
		s = take(t, text, Answers{Skip: []int{5}}, Context{})
		if idsOf(s) != "A-1 A-2" || strings.HasPrefix(asks(s), "5") || !strings.Contains(show(s), "left 7 from another table") {
			t.Errorf("%s, left out: rows %s, asks %s", heading, idsOf(s), asks(s))
		}
	}
	above := "Bus ID,X/R,Arcing Current (kA),Peak Current (kA),Conductor Gap (mm)\nB-1,3.1,9.9,8,25\n\n" + first
	s := take(t, above, Answers{}, Context{})
	if idsOf(s) != "A-1 A-2" || !strings.HasPrefix(asks(s), "1;") {
		t.Errorf("rows %s, asks %s", idsOf(s), asks(s))
	}
	revisions := "Rev,Date,By,Description\n1,2026-01-02,ES,issued\n\n" + first
	if s = take(t, revisions, Answers{}, Context{}); strings.HasPrefix(asks(s), "1") || idsOf(s) != "A-1 A-2" {
		t.Errorf("revisions: rows %s, asks %s", idsOf(s), asks(s))
	}
}

// A delimiter too many moves all cells behind it.
func TestWideRows(t *testing.T) {
	const head = "Bus ID,Description,Voltage (V),Bolted Fault (kA),Notes\nA-1,Panel,480,22,\nA-2,Panel,208,14,\n"
	for row, want := range map[string]string{
		"A-3,Panel,480,9,":           "",
		"A-3,Pump, north,480,9,":     "4",
		"A-3,Pump, north,480,9,x":    "4",
		"A-3,\"Pump, north\",480,9,": "",
	} {
		if s := take(t, head+row+"\n", Answers{}, Context{}); !strings.HasPrefix(asks(s)+";", want) || (want == "") != (idsOf(s) == "A-1 A-2 A-3") {
			t.Errorf("%s: rows %s, asks %s", row, idsOf(s), asks(s))
		}
	}
	// a delimiter after every row is not a cell
	s := take(t, "Bus ID,Description,Voltage (V)\nA-1,Panel,480,\nA-2,Panel,208,\n", Answers{}, Context{})
	if idsOf(s) != "A-1 A-2" {
		t.Errorf("%s", show(s))
	}
}

// Rows above and below belong to the headings, and change what they mean.
func TestHeadingsOfSeveralRows(t *testing.T) {
	for _, c := range []struct{ text, want string }{
		{"Bus ID,Bus,Bolted,Incident\n,Voltage (V),Fault (kA),Energy (cal/cm2)\nA-1,480,22,9.4", "energy_cal_cm2 fault_ka id voltage_v"},
		// units below, also of one column, also with other words
		{"Bus ID,Voltage,Bolted Fault,Clearing Time\n,V,kA rms,s\nA-1,480,22,0.05", "clear_s fault_ka id voltage_v"},
		{"Bus ID,Voltage (V),Bolted Fault (kA),Clearing Time\n,,,cycles\nA-1,480,22,5", "clear_cycles fault_ka id voltage_v"},
		{"Units,Bus ID,Voltage,Bolted Fault\nUnits:,-,kV,A\n,A-1,0.48,22000", "fault_a id voltage_kv"},
		{"Bus ID,Voltage,Bolted Fault (kA),SCCR (kA)\n,V L-N,,\nA-1,480,22,65", "fault_ka id rating_ka"},
		{"Bus ID,Voltage (V),Bolted Fault (kA),Clearing Time\n,,,at 85 %\n,,,(s)\nA-1,480,22,0.05", "fault_ka id voltage_v"},
		{"Area,Bus ID,Voltage (V),Bolted Fault (kA)\nA,,,\nMill,A-1,480,22", "area fault_ka id voltage_v"}, // area A, no ampere
		{"Clearing Time (s),Bus ID,Voltage (V),Bolted Fault (kA)\nBoiler house,,,\n0.05,A-1,480,22", "clear_s fault_ka id voltage_v"},
		// a second row of words in most columns
		{"Bus,Voltage (V),Bolted Fault Current,Arc Duration,SCCR (kA)\nID,L-L,Through Device (kA),at 85 % (s),\nA-1,480,22,0.05,65", "id rating_ka voltage_v"},
		{"Location,X/R,SCCR,Voltage,Arcing,Gap\nID,Ratio,(kA),(V),Fault Current (kA),(mm)\nA-1,3,65,480,22,25", "gap_mm id rating_ka voltage_v"},
		{"Location,60,SCCR,Voltage,Incident,Total Bolted\nID,Hz,(kA),(V),Energy (cal/cm2),Fault Through Device (kA)\nA-1,3,65,480,22,25",
			"energy_cal_cm2 id rating_ka voltage_v"},
		// groups over several columns, without merged cells
		{",,Arc Flash,,Shock,\nBus ID,Voltage (V),Boundary (in),SCCR (kA),Boundary (in),Bolted Fault (kA)\nA-1,480,40,65,42,22",
			"boundary_in fault_ka id rating_ka voltage_v"},
		{",,Maintenance Mode,,,\nBus ID,Voltage (V),Incident Energy (cal/cm2),Arc Flash Boundary (in),Working Distance (in)\nA-1,480,3,20,18", "id voltage_v"},
		{",,Shock Protection,,,\nBus ID,Voltage (V),Boundary (in),SCCR (kA),Bolted Fault (kA)\nA-1,480,42,65,22", "id voltage_v"},
		{"Arc Flash Study\nBus ID,Voltage (V),SCCR (kA),Bolted Fault (kA)\nA-1,480,65,22", "fault_ka id rating_ka voltage_v"},
		{"Client: X,,Project: Y\nBus ID,Voltage (V),SCCR (kA),Bolted Fault (kA)\nA-1,480,65,22", "fault_ka id rating_ka voltage_v"},
	} {
		if s := take(t, c.text+"\n", Answers{}, Context{}); taken(s) != c.want {
			t.Errorf("%s\ngot %s, want %s\n%s", c.text, taken(s), c.want, show(s))
		}
	}
}

// Merged headings over several columns are read with those below them.
func TestMergedGroups(t *testing.T) {
	for _, c := range []struct{ group, heading, want string }{
		{"Arc Flash", "Boundary (in)", "boundary_in id voltage_v"},
		{"Arc Flash", "Incident Energy (cal/cm2)", "energy_cal_cm2 id voltage_v"},
		{"Results", "Boundary (in)", "boundary_in id voltage_v"}, // it says nothing else
		{"Shock", "Boundary (in)", "id voltage_v"},
		{"Maintenance Mode", "Incident Energy (cal/cm2)", "id voltage_v"},
		{"Transformer Primary", "Bolted Fault (kA)", "id voltage_v"},
		{"Protective Device", "Clearing Time (s)", "clear_s id voltage_v"},
		{"Anything Else", "Bolted Fault (kA)", "id voltage_v"},
	} {
		book := &sheet.Book{Sheets: []sheet.Sheet{{Name: "Results", Merges: []sheet.Merge{{Top: 1, Left: 3, Bottom: 1, Right: 4}}, Rows: []sheet.Row{
			{Number: 1, Cells: texts("", "", "", c.group)},
			{Number: 2, Cells: texts("Bus ID", "Voltage (V)", "Serial", c.heading, "Owner")},
			{Number: 3, Cells: texts("A-1", "480", "x", "22", "y")},
			{Number: 4, Cells: texts("A-2", "480", "x", "40", "y")},
		}}}}
		s, err := Read(book, "a.xlsx", &Answers{HeadingRow: 2}, Context{})
		if err != nil || taken(s) != c.want {
			t.Errorf("%s over %s: %v, want %s\n%s", c.group, c.heading, err, c.want, show(s))
		}
	}
}

// A merged cell says the same of each row where that is what merging means, and no
// number and no id is filled down.
func TestMergedDown(t *testing.T) {
	rows := []sheet.Row{
		{Number: 1, Cells: texts("Bus ID", "Area", "Voltage (V)", "Bolted Fault (kA)", "Fed From")},
		{Number: 2, Cells: texts("A-1", "Mill", "480", "22", "U-1")},
		{Number: 3, Cells: texts("A-2", "", "", "14")},
		{Number: 4, Cells: texts("", "", "", "9")},
	}
	book := &sheet.Book{Sheets: []sheet.Sheet{{Name: "Results", Rows: rows, Merges: []sheet.Merge{{Top: 2, Left: 0, Bottom: 4, Right: 0},
		{Top: 2, Left: 1, Bottom: 3, Right: 1}, {Top: 2, Left: 2, Bottom: 3, Right: 2}, {Top: 2, Left: 4, Bottom: 3, Right: 4}}}}}
	s, err := Read(book, "a.xlsx", &Answers{}, Context{IDs: []string{"U-1"}})
	if err != nil || len(s.Rows) != 2 {
		t.Fatalf("%v\n%s", err, show(s))
	}
	if c := s.Rows[1].Cells; c["area"] != "Mill" || c["voltage"] != "" || c["fed_from"] != "U-1" {
		t.Errorf("%v", c)
	}
	if !strings.HasPrefix(asks(s), "4") || !strings.Contains(show(s), "its id is in a merged cell") {
		t.Errorf("%s", show(s))
	}
}
