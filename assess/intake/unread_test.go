package intake

import (
	"strings"
	"testing"
)

const sound = `,Study Date,Supply
P-1,Panel,480,14.6,4.1,37,18,%s,2026-03-14,ac3
P-2,Panel,480,14.6,4.1,37,18,%s,2026-03-14,ac3
`

// second is a study with one more column.
func second(heading, one, two string) string {
	text := strings.Replace(sound, "%s", one, 1)
	return "ID,Equipment,Voltage (V),Fault (A),Incident Energy (cal/cm2),AFB (in),Working Distance (in)," + heading +
		strings.Replace(strings.Replace(text, "%s", two, 1), "14.6", "14600", 2)
}

// A second energy or boundary that says more than the one that is read is asked
// about; one that says less, or is not a result of the location, is not.
func TestAsksAboutSecondResult(t *testing.T) {
	for _, x := range []struct {
		heading, one, two string
		asked             bool
	}{
		{"Line Side Incident Energy (cal/cm2)", "4.1", "19.3", true},
		{"Min IE (cal/cm2)", "4.1", "9.3", true},
		{"Existing Energy", "4.1", "9", true},
		{"Line Side (J/cm2)", "17", "80", true},
		{"Line Side AFB (in)", "37", "100", true},
		{"Line Side AFB (in)", "37", "see note", true},
		{"Incident Energy at 36 in (cal/cm2)", "1.2", "1.2", false},
		{"Line Side AFB (in)", "37", "36", false},
		{"Limited Approach Boundary (in)", "42", "42", false},
		{"Arc Rating (cal/cm2)", "40", "40", false},
		{"Comment on energy", "high", "see page 3", false},
	} {
		s := take(t, second(x.heading, x.one, x.two), Answers{}, Context{})
		if got := s.Questions != nil; got != x.asked {
			t.Errorf("%s %s %s: asked %v\n%s", x.heading, x.one, x.two, got, show(s))
		}
		if s = take(t, second(x.heading, x.one, x.two), Answers{Leave: []string{x.heading}}, Context{}); s.Questions != nil {
			t.Errorf("%s: asked though it is left out:\n%s", x.heading, show(s))
		}
	}
}

// What is given for all rows fills no gap of a column that the file has, and stands
// in for none that is there under another heading.
func TestGivenFillsNoGaps(t *testing.T) {
	text := `ID,Equipment,Voltage (V),Fault (kA),Incident Energy (cal/cm2),AFB (in),Working Distance (in),Study Date,Area
P-1,Panel,480,14.6,4.1,37,18,2026-03-14,North
P-2,Panel,480,14.6,4.1,37,,,
`
	s := take(t, text, Answers{Give: []Given{{"supply", "ac3"}, {"distance", "18 in"}, {"prepared", "2026-01-01"}, {"area", "South"}}}, Context{})
	r := s.Rows[1].Cells
	if r["distance"] != "" || r["prepared"] != "" || r["area"] != "South" || r["supply"] != "ac3" || s.Rows[0].Cells["area"] != "North" {
		t.Errorf("%v", r)
	}
	rival := strings.Replace(text, "Working Distance (in)", "Reach (in)", 1)
	s = take(t, rival, Answers{Give: []Given{{"supply", "ac3"}, {"distance", "18 in"}}}, Context{})
	if !strings.Contains(show(s), `"Reach (in)" may be the distance`) {
		t.Errorf("%s", show(s))
	}
	if s = take(t, strings.Replace(text, "Working Distance (in)", "W.D. in", 1), Answers{}, Context{}); s.meaning("distance") == nil {
		t.Errorf("%s", show(s))
	}
}

// A case with the maintenance switch on is asked about, and said by the person.
func TestAsksAboutMaintenance(t *testing.T) {
	text := `ID,Scenario,Equipment,Voltage (V),Fault (kA),Incident Energy (cal/cm2),AFB (in),Working Distance (in),Study Date,Supply
P-1,Utility,Panel,480,14.6,14.1,87,18,2026-03-14,ac3
P-1,Maint. switch ON,Panel,480,14.6,4.1,37,18,2026-03-14,ac3
P-2,Reduced load,Panel,480,14.6,4.1,37,18,2026-03-14,ac3
`
	if s := take(t, text, Answers{}, Context{}); len(s.Questions) != 2 ||
		!strings.Contains(show(s), `the name of the case "Maint. switch ON" suggests an arc-reducing maintenance switch that is on`) {
		t.Errorf("%s", show(s))
	}
	on, err := ParseMode("maint. switch on=maintenance")
	if err != nil {
		t.Fatal(err)
	}
	off, err := ParseMode("Reduced load=normal")
	if err != nil {
		t.Fatal(err)
	}
	s := take(t, text, Answers{Modes: []Given{on, off}}, Context{})
	if s.Questions != nil || s.Rows[0].Cells["mode"] != "" || s.Rows[1].Cells["mode"] != "maintenance" || s.Rows[2].Cells["mode"] != "normal" {
		t.Errorf("%s", show(s))
	}
	kept, err := s.AppendLayout(nil)
	if err != nil {
		t.Fatal(err)
	}
	layouts, err := ParseLayouts(kept)
	if err != nil {
		t.Fatal(err)
	}
	if s = take(t, text, Answers{}, Context{Layouts: layouts}); s.Questions != nil || s.Rows[1].Cells["mode"] != "maintenance" {
		t.Errorf("%s\n%s", show(s), kept)
	}
	for _, wrong := range []string{"x", "=normal", "x=on"} {
		if _, err := ParseMode(wrong); err == nil {
			t.Errorf("%s: no error", wrong)
		}
	}
}
