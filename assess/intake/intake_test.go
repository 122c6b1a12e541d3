package intake

import (
	"fmt"
	"strings"
	"testing"

	"vouchmark/assess/intake/sheet"
)

// take reads a text file as a study.
func take(t *testing.T, text string, a Answers, c Context) *Study {
	t.Helper()
	book, err := sheet.Read("study.csv", []byte(text), sheet.Options{})
	if err != nil {
		t.Fatal(err)
	}
	s, err := Read(book, "study.csv", &a, c)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// show is a study as text, for a test to look at.
func show(s *Study) string {
	var b strings.Builder
	for _, c := range s.Columns {
		fmt.Fprintf(&b, "%s:", c.Heading)
		for _, m := range c.Means {
			fmt.Fprintf(&b, " %s %s", m.Spelling(), m.Certainty)
		}
		if len(c.Means) == 0 {
			fmt.Fprintf(&b, " - %s", c.Why)
		}
		b.WriteByte('\n')
	}
	for _, l := range s.Left {
		fmt.Fprintf(&b, "left %d %s\n", l.Row, l.Why)
	}
	for _, x := range s.Converted {
		fmt.Fprintf(&b, "converted %s: %s (%d, %q)\n", x.Heading, x.What, x.Count, x.First)
	}
	for _, q := range s.Questions {
		fmt.Fprintf(&b, "ask %d %s: %s; %s\n", q.Row, q.Heading, q.What, q.Do)
	}
	return b.String()
}

// A study with a title, units below some headings and a total, as it is read.
func TestRead(t *testing.T) {
	s := take(t, `Arc Flash Study,,,,,,,,
Prepared 3/14/2026,,,,,,,,

Bus ID,Location,Description,Nominal Voltage,Bolted Fault kA,Trip Time (s),Incident Energy (cal/cm2),AFB (ft-in),Working Dist.,PPE Level,Protective Device
,,,kV,,,,,in,,
SWB-1,Room 1,Main switchboard,0.48,22.1,0.05,> 40,"12'-7""",24,DANGER,UTIL main
PNL-3,Room 1,Panel,480Y/277 V,14.6,0.05,2.9,2-9,18,Kit A,SWB-1 feeder 3
PNL-4,Room 2,Panel,0.208,#N/A,0.05,2.9,2-9,18,Kit A,SWB-1 feeder 3
Total,,,,36.7,,,,,,
`, Answers{Give: []Given{{"supply", "ac3"}, {"prepared", "2026-03-14"}}}, Context{})
	if s.Questions != nil {
		t.Errorf("%s", show(s))
	}
	l, err := s.Locations(nil, "study.csv", false)
	want := `id,area,equipment,fed_from,supply,voltage_kv,fault_ka,energy_cal_cm2,boundary_in,distance_in,clear_s,device,device_at,prepared,source
SWB-1,Room 1,Main switchboard,,ac3,0.48,22.1,> 40,"12'-7""",24,0.05,UTIL main,,2026-03-14,study.csv 6
PNL-3,Room 1,Panel,SWB-1,ac3,480Y/277 V,14.6,2.9,"2'-9""",18,0.05,SWB-1 feeder 3,SWB-1,2026-03-14,study.csv 7
PNL-4,Room 2,Panel,SWB-1,ac3,0.208,,2.9,"2'-9""",18,0.05,SWB-1 feeder 3,SWB-1,2026-03-14,study.csv 8
`
	if err != nil || string(l.CSV) != want {
		t.Errorf("%v\n%s\nwant\n%s", err, l.CSV, want)
	}
}
