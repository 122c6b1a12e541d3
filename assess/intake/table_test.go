package intake

import (
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"vouchmark/assess/site"
)

const policy = `name = "Invented"
edition = "NFPA 70E-2024"
units = "us"
cutoff_cal_cm2 = 40.0
review_months = 60
[[ladder]]
kit = "Kit A"
rating_cal_cm2 = 40.0
wear = ["arc-rated suit"]
`

// table reads an existing locations.csv as it is written.
func table(t *testing.T, more, csv string) *site.Table {
	t.Helper()
	before, err := site.ReadTable(fstest.MapFS{"site.toml": {Data: []byte(more + policy)},
		"locations.csv": {Data: []byte(csv)}}, site.Options{})
	if err != nil {
		t.Fatal(err)
	}
	return before
}

// restudy takes a study into a site that has a locations.csv.
func restudy(t *testing.T, before *site.Table, text string, drop bool) (*Study, *Locations) {
	t.Helper()
	c := Context{Has: map[string]bool{}}
	for _, x := range before.Columns {
		if x.Column != nil {
			c.Has[x.Name] = true
		}
	}
	for _, r := range before.Rows {
		c.IDs = append(c.IDs, at(r, place(before, "id")))
	}
	s := take(t, text, Answers{}, c)
	if s.Questions != nil {
		t.Fatalf("%+v", s.Questions)
	}
	l, err := s.Locations(before, "new.csv", drop)
	if err != nil {
		t.Fatal(err)
	}
	return s, l
}

const oldRows = `id,equipment,supply,voltage_v,fault_ka,energy_cal_cm2,boundary_in,distance_in,clear_ms,device,tied_to,prepared,study,accepted_by,note
SWB-1,Main switchboard,ac3,480,22.1,9.4,72,24,50,main,SWB-2,2021-03-14,INV-1,E. Sample,keep this
SWB-2,Second switchboard,ac3,480,21.0,9.1,71,24,50,main,,2021-03-14,INV-1,,
PNL-1,Panel,ac3,480,14.6,2.9,32,18,50,SWB-1,,2021-03-14,INV-1,,and this
`

// What the study lacks of a row is kept, except what a study calculates and what names
// it: that would be mistaken for the new study's.
func TestKeepsWhatStudyLacks(t *testing.T) {
	_, l := restudy(t, table(t, "", oldRows), `Bus ID,Nominal Voltage (V),Bolted Fault (kA),Incident Energy (cal/cm²),Arc Flash Boundary (in),Working Distance (in),Study Date
SWB-1,480,24.0,10.2,76,24,2026-03-14
PNL-9,208,10.0,1.5,20,18,2026-03-14
PNL-1,480,15.0,3.1,33,18,2026-03-14
`, false)
	want := `id,equipment,supply,voltage_v,fault_ka,energy_cal_cm2,boundary_in,distance_in,clear_ms,device,tied_to,prepared,study,accepted_by,note,source
SWB-1,Main switchboard,ac3,480,24.0,10.2,76,24,,main,SWB-2,2026-03-14,,E. Sample,keep this,new.csv 2
SWB-2,Second switchboard,ac3,480,21.0,9.1,71,24,50,main,,2021-03-14,INV-1,,,
PNL-1,Panel,ac3,480,15.0,3.1,33,18,,SWB-1,,2026-03-14,,,and this,new.csv 4
PNL-9,,,208,10.0,1.5,20,18,,,,2026-03-14,,,,new.csv 3
`
	if string(l.CSV) != want {
		t.Errorf("got\n%s\nwant\n%s", l.CSV, want)
	}
	if !slices.Equal(l.New, []string{"PNL-9"}) || !slices.Equal(l.Stay, []string{"SWB-2"}) || l.Dropped != nil ||
		!slices.Equal(l.Emptied, []string{"clear_ms", "study"}) ||
		!slices.Equal(l.Kept, []string{"equipment", "supply", "device", "tied_to", "accepted_by", "note"}) {
		t.Errorf("%+v", l)
	}
	if l.Lines[2] != 2 || l.Lines[3] != 0 || l.Lines[4] != 4 || l.Lines[5] != 3 {
		t.Errorf("lines %v", l.Lines)
	}
}

func TestDropsWhatStudyLacks(t *testing.T) {
	_, l := restudy(t, table(t, "", oldRows), `Bus ID,Nominal Voltage (V),Bolted Fault (kA),Incident Energy (cal/cm²),Arc Flash Boundary (in),Working Distance (in),Study Date
PNL-1,480,15.0,3.1,33,18,2026-03-14
`, true)
	if !slices.Equal(l.Dropped, []string{"SWB-1", "SWB-2"}) || l.Stay != nil || strings.Contains(string(l.CSV), "SWB-2") {
		t.Errorf("%+v\n%s", l, l.CSV)
	}
}

// A heading of the owner's keeps its unit: a study in another one says so in its
// cells. Decimal commas of the file before become points, since commas separate
// the cells of the one that is written.
func TestKeepsOwnHeadingsAndUnits(t *testing.T) {
	before := table(t, "ignore_columns = [\"Crew\"]\ncolumns.energy_cal_cm2 = \"Energie\"\n", `id;equipment;supply;voltage_v;Energie;boundary_mm;distance_mm;clear_ms;prepared;Crew
A-1;Panel;ac3;400;6,5;810;455;83,3;2021-03-14;north
A-2;Panel;ac3;400;1,25;410;455;0,083;2021-03-14;south
`)
	_, l := restudy(t, before, `Bus ID,Incident Energy (J/cm²),Arc Flash Boundary (ft-in),Working Distance (cm),Clearing Time (cycles),Study Date
A-1,30.5,"3'-4""",45.5,6,2026-03-14
`, false)
	want := `id,equipment,supply,voltage_v,Energie,boundary_mm,distance_mm,clear_ms,prepared,Crew,source
A-1,Panel,ac3,400,30.5 J/cm²,"3'-4""",45.5 cm,6 cycles,2026-03-14,north,new.csv 2
A-2,Panel,ac3,400,1.25,410,455,0.083,2021-03-14,south,
`
	if string(l.CSV) != want {
		t.Errorf("got\n%s\nwant\n%s", l.CSV, want)
	}
}

// A number that can be read in two ways in the file before does not become one that reads
// one way.
func TestDoubtStaysDoubt(t *testing.T) {
	before := table(t, "", `id;equipment;supply;voltage_v;energy_cal_cm2;boundary_mm;distance_mm;prepared
A-1;Panel;ac3;400;1.234;810;455;2021-03-14
A-2;Panel;ac3;400;6,5;810;455;2021-03-14
`)
	_, l := restudy(t, before, `Bus ID,Incident Energy (cal/cm²),Arc Flash Boundary (in),Working Distance (in),Study Date
A-2,6.1,32,18,2026-03-14
`, false)
	if !strings.Contains(string(l.CSV), "A-1,Panel,ac3,400,? 1.234,810,455,") {
		t.Errorf("%s", l.CSV)
	}
}

// Cases are matched by name; one row alone on both sides is the same case by
// whatever name.
func TestMatchesCases(t *testing.T) {
	before := table(t, "", `id,case,equipment,supply,voltage_v,energy_cal_cm2,boundary_in,distance_in,device,prepared,note
A-1,Utility,Panel,ac3,480,6.5,40,18,F1,2021-03-14,first
A-1,Generator,Panel,ac3,480,2.5,30,18,F2,2021-03-14,second
B-1,,Panel,ac3,480,6.5,40,18,F3,2021-03-14,third
`)
	_, l := restudy(t, before, `Bus ID,Scenario,Incident Energy (cal/cm²),Arc Flash Boundary (in),Working Distance (in),Study Date
A-1,utility,6.5,40,18,2026-03-14
A-1,Island,7.5,45,18,2026-03-14
B-1,Normal,6.5,40,18,2026-03-14
`, false)
	want := `id,case,equipment,supply,voltage_v,energy_cal_cm2,boundary_in,distance_in,device,prepared,note,source
A-1,utility,Panel,ac3,480,6.5,40,18,F1,2026-03-14,first,new.csv 2
A-1,Island,Panel,ac3,480,7.5,45,18,,2026-03-14,,new.csv 3
B-1,Normal,Panel,ac3,480,6.5,40,18,F3,2026-03-14,third,new.csv 4
`
	if string(l.CSV) != want || !slices.Equal(l.Unmatched, []string{"A-1"}) {
		t.Errorf("got\n%s%v\nwant\n%s", l.CSV, l.Unmatched, want)
	}
}

// What was written comes back the same from the same file.
func TestTwiceIsOnce(t *testing.T) {
	text := `Bus ID,Nominal Voltage (V),Bolted Fault (kA),Incident Energy (cal/cm²),Arc Flash Boundary (ft-in),Working Distance (cm),Study Date
SWB-1,480,24.0,> 10.2,76-3,45.5,2026-03-14
PNL-9,208,10.0,1.5,2-0,45.5,2026-03-14
`
	_, l := restudy(t, table(t, "", oldRows), text, false)
	_, again := restudy(t, table(t, "", string(l.CSV)), text, false)
	if string(l.CSV) != string(again.CSV) {
		t.Errorf("once\n%s\ntwice\n%s", l.CSV, again.CSV)
	}
}

// A value for all rows keeps its unit.
func TestGivenDistance(t *testing.T) {
	g, err := ParseGiven("distance_mm=455")
	if err != nil {
		t.Fatal(err)
	}
	s := take(t, `Bus ID,Description,Voltage (V),Incident Energy (cal/cm2),Arc Flash Boundary (in),Supply,Study Date
P-1,Panel,480,9.4,40,ac3,2026-03-14
`, Answers{Give: []Given{g}}, Context{})
	l, err := s.Locations(nil, "new.csv", false)
	if err != nil || s.Questions != nil || !strings.Contains(string(l.CSV), "P-1,Panel,ac3,480,9.4,40,455 mm,2026-03-14") {
		t.Errorf("%v %s%s", err, show(s), l.CSV)
	}
}

// The name of a sheet is the consultant's, and may be in any script.
func TestTraceable(t *testing.T) {
	for sheet, want := range map[string]string{"Results": "Results", "Résultats 2": "Résultats 2", "結果": "__", "a\u200bb": "a_b"} {
		if got := traceable(sheet); got != want {
			t.Errorf("%q: %q, want %q", sheet, got, want)
		}
	}
}
