package intake

import (
	"fmt"
	"strings"
	"testing"

	"vouchmark/assess/intake/sheet"
	"vouchmark/assess/site"
)

// What a cell of a workbook says as a quantity: the stored number, in the way in
// which it is shown.
func TestQuantityText(t *testing.T) {
	for _, c := range []struct{ shown, raw, want string }{
		{"40.1", "40.05", "40.05"}, {"0", "0.48", "0.48"}, {"> 40", "40", "> 40"}, {"13.8 kV", "13.8", "13.8 kV"},
		{"14,600", "14600", "14600"}, {"14.600", "14600", "14600"}, {"0,48", "0.48", "0.48"},
		{"8.5%", "0.085", "8.5%"}, {"13.8", "13800", "13.8"}, // another number: the shown one
		{"3.1E+04", "31234", "31234"}, {"5.9E+01", "59", "59"}, {"3.1E+04", "41234", "3.1E+04"},
		{"1/2", "0.5", "0.5"}, {"3 1/2", "3.5", "3.5"}, {"3 1/2", "4.5", "3 1/2"},
		{"1.234", "1.234", "1.2340"}, {"480.125", "480.125", "480.1250"}, // no thousands
		{"(12.5)", "-12.5", "(12.5)"}, {"480Y/277V", "480", "480 Y/277V"},
	} {
		got := quantityText(&sheet.Cell{Shown: c.shown, Raw: c.raw, Kind: sheet.Number})
		if got != c.want {
			t.Errorf("%s of %s: %q, want %q", c.shown, c.raw, got, c.want)
		}
	}
	if got := quantityText(&sheet.Cell{Shown: "1.234", Kind: sheet.Text}); got != "1.234" {
		t.Errorf("a text stays as it is: %q", got)
	}
}

// A text that is not a plain number is not read as one, or comes back complete.
func TestQuantityCells(t *testing.T) {
	for _, c := range []struct{ heading, name, cell, want string }{
		{"Clearing Time (s)", "clear", "0.05", "0.05"}, {"Clearing Time (s)", "clear", "50 ms", "50 ms"},
		{"Clearing Time (s)", "clear", "3 cycles", "3 cycles"}, {"Clearing Time (s)", "clear", "0.05*", "? 0.05*"},
		{"Clearing Time (s)", "clear", "-0.05", "? -0.05"}, {"Clearing Time (s)", "clear", "< 0.1", "? < 0.1"},
		{"Clearing Time (s)", "clear", "5E-2", "5E-2"}, {"Clearing Time (s)", "clear", "instantaneous", "? instantaneous"},
		{"Bolted Fault (kA)", "fault", "~22", "? ~22"}, {"Bolted Fault (kA)", "fault", "22 (est.)", "? 22 (est.)"},
		{"Bolted Fault (kA)", "fault", "22 kVA", "? 22 kVA"}, {"Bolted Fault (kA)", "fault", "22+", "? 22+"}, {"Bolted Fault (kA)", "fault", "See note 3", "? See note 3"},
		{"Bolted Fault (kA)", "fault", "22000 A", "22000 A"}, {"Bolted Fault (kA)", "fault", "TBD", ""}, {"Bolted Fault (kA)", "fault", "#DIV/0!", ""},
		{"Conductor Gap (cm)", "gap", "2.5", "2.5 cm"}, {"Conductor Gap (cm)", "gap", "25 mm", "25 mm"}, {"Conductor Gap (mm)", "gap", "85%", "? 85%"},
		{"Enclosure Depth (ft-in)", "depth", "1-4", `1'-4"`}, {"Enclosure Depth (ft-in)", "depth", "1' 4", `1'-4"`}, {"Enclosure Depth (ft-in)", "depth", "1.4", "? 1.4"},
		{"Enclosure Depth (ft-in)", "depth", "16", "? 16"}, {"Enclosure Depth (ft-in)", "depth", "1-14", "? 1-14"}, {"Enclosure Depth (ft-in)", "depth", "16 in", "16 in"},
	} {
		s := beside(t, c.heading, c.cell, c.cell)
		if len(s.Rows) < 1 || s.Rows[0].Cells[c.name] != c.want {
			t.Errorf("%s %q: %v, want %q\n%s", c.heading, c.cell, of(s, c.name), c.want, show(s))
		}
	}
	for cell, want := range map[string]string{"> 40": "> 40", "≥40": "≥40", ">40 cal/cm²": ">40 cal/cm²", "<1.2": "<1.2", ">40 cal": "? >40 cal",
		"40+": "? 40+", "Dangerous": "? Dangerous", "18*": "? 18*", "over 40": "over 40", "N/A": ""} {
		s := take(t, "Bus ID,Description,Voltage (V),Incident Energy (cal/cm2)\nP-1,Panel,480,"+cell+"\nP-2,Panel,480,2\n", Answers{}, Context{})
		if got := s.Rows[0].Cells["energy"]; got != want {
			t.Errorf("energy %q: %q, want %q", cell, got, want)
		}
	}
	for cell, want := range map[string]string{"480Y/277": "480Y/277", "120/240": "120/240", "480/277 V": "480/277 V", "13800/480": "? 13800/480",
		"13.8/0.48 kV": "? 13.8/0.48 kV", "480 / 4809": "? 480 / 4809", "480-208": "? 480-208", "480 V": "480 V"} {
		s := take(t, "Bus ID,Description,Voltage (V),Bolted Fault (kA)\nP-1,Panel,"+cell+",22\nP-2,Panel,480,2\n", Answers{}, Context{})
		if got := s.Rows[0].Cells["voltage"]; got != want {
			t.Errorf("voltage %q: %q, want %q", cell, got, want)
		}
	}
}

// Thousands are read where they are nothing else.
func TestThousands(t *testing.T) {
	for _, c := range []struct {
		delimiter, heading string
		cells              []string
		want               string // of the first
	}{
		{",", "Bolted Fault (A)", []string{"14,600"}, "14600"}, // points are the decimal signs of the rest
		{",", "Bolted Fault (kA)", []string{"1,200"}, "? 1,200"},
		{",", "Clearing Time (ms)", []string{"1,200"}, "1200"},
		{",", "Clearing Time (s)", []string{"1,200"}, "? 1,200"},
		{",", "Bolted Fault (A)", []string{"14,600", "8,6"}, "? 14,600"}, // a decimal comma elsewhere
		{";", "Bolted Fault (A)", []string{"14,600"}, "? 14,600"},
		{";", "Bolted Fault (A)", []string{"14.600"}, "? 14.600"},
		{";", "Clearing Time (ms)", []string{"1.234,5"}, "1234.5"}, {";", "Bolted Fault (A)", []string{"14,600.5"}, "14600.5"},
		{";", "Bolted Fault (A)", []string{"14'600"}, "14600"}, {";", "Bolted Fault (A)", []string{"14 600"}, "? 14 600"},
		{";", "Bolted Fault (A)", []string{"14,600.567"}, "? 14,600.567"}, {";", "Bolted Fault (A)", []string{"14,600,5"}, "? 14,600,5"},
		{",", "Clearing Time (ms)", []string{"1.873", "108"}, "? 1.873"},  // whole numbers beside it
		{",", "Clearing Time (ms)", []string{"1.873", "8,6"}, "? 1.873"},  // a decimal comma beside it
		{",", "Clearing Time (ms)", []string{"16.873", "8.61"}, "16.873"}, // decimals beside it
		{",", "Arc Flash Boundary (mm)", []string{"3.855", "912.6", "811.5"}, "? 3.855"},
		{",", "Bolted Fault (kA)", []string{"14.600", "8.61"}, "14.600"},
	} {
		text := strings.ReplaceAll("Bus ID;Description;Voltage (kV);Gap (in);", ";", c.delimiter) + c.heading + "\n"
		decimal := map[string]string{",": "0.48,1.25", ";": "0,48;1,25"}[c.delimiter]
		for i, cell := range c.cells {
			text += strings.ReplaceAll(fmt.Sprintf("P-%d;Panel;", i), ";", c.delimiter) + decimal + c.delimiter + `"` + cell + "\"\n"
		}
		s := take(t, text, Answers{}, Context{})
		name := map[string]string{"B": "fault", "C": "clear", "A": "boundary"}[c.heading[:1]]
		if len(s.Rows) == 0 || s.meaning(name) == nil || s.Rows[0].Cells[name] != c.want {
			t.Errorf("%s %v below %s: %s, want %s\n%s", c.delimiter, c.cells, c.heading, of(s, name), c.want, show(s))
		}
	}
}

// Several groups are thousands in any file.
func TestUngroup(t *testing.T) {
	f := &file{study: &Study{Book: &sheet.Book{Delimiter: ';'}}}
	for text, want := range map[string]string{"1,234,567": "1234567", "1.234.567,8 A": "1234567.8 A", "> 1'234": "> 1234", "12,34,567": "12,34,567",
		"1,234": "1,234", "1.234,567": "1.234,567", "1,234,567,8": "1,234,567,8", "0,123,456": "0,123,456"} {
		u, _ := site.UnitIn(columnNamed("fault"), "a")
		if got := f.ungroup(columnNamed("fault"), u, text); got != want {
			t.Errorf("%s: %s, want %s", text, got, want)
		}
	}
}

// Words of a study for what a column chooses from.
func TestChoices(t *testing.T) {
	for cell, want := range map[string]string{"3-phase": "ac3", "3PH": "ac3", "three-phase": "ac3", "3Ø": "ac3", "3 Φ": "ac3", "AC 3-phase": "ac3",
		"1-ph": "ac1", "single phase": "ac1", "DC": "dc", "2-phase": ""} {
		if got, _ := choice(columnNamed("supply"), cell); got != want {
			t.Errorf("%s: %s, want %s", cell, got, want)
		}
	}
	for cell, want := range map[string]string{"Panelboard": "panelboard", "Motor Control Center": "mcc", "MV Switchgear": "switchgear", "ATS": ""} {
		if got, _ := choice(columnNamed("class"), cell); got != want {
			t.Errorf("%s: %s, want %s", cell, got, want)
		}
	}
}
