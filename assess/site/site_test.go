package site

import (
	"errors"
	"strings"
	"testing"
	"testing/fstest"

	"vouchmark/assess"
	"vouchmark/testdata/suite"
)

// The plants of these tests are invented.
const goodPolicy = `name = "Invented"
units = "us"
edition = "NFPA 70E-2024"
cutoff_cal_cm2 = 40.0
review_months = 60

[[ladder]]
kit = "Kit A"
rating_cal_cm2 = 8.0
wear = ["shirt"]

[[ladder]]
kit = "Kit B"
rating_cal_cm2 = 40.0
wear = ["suit"]
wear_es = ["traje"]
`

const goodRows = "id,equipment,supply,voltage_v,energy_cal_cm2,boundary_in,distance_in,prepared\n" +
	"P-1,Panel,ac3,480,2.5,30,18,2026-03-14\n"

func read(policy, rows string) (*assess.Site, Problems) {
	fs := fstest.MapFS{}
	if policy != "" {
		fs["site.toml"] = &fstest.MapFile{Data: []byte(policy)}
	}
	if rows != "" {
		fs["locations.csv"] = &fstest.MapFile{Data: []byte(rows)}
	}
	s, err := Read(fs, Options{Languages: []string{"en", "es", "fr"}})
	var ps Problems
	errors.As(err, &ps)
	return s, ps
}

func TestGood(t *testing.T) {
	s, ps := read(goodPolicy, goodRows)
	if ps != nil {
		t.Fatal(ps)
	}
	p := s.Policy
	if p.NoticeDays != 90 || p.StaleDays != 7 || p.TolerancePercent != 5 || p.Govern != assess.Larger || p.FrequencyHz != 60 || len(p.Languages) != 1 {
		t.Errorf("defaults: %+v", p)
	}
	if got := p.Ladder[1].Wear.In("es"); got[0] != "traje" {
		t.Errorf("wear_es is %q", got)
	}
	if got := p.Ladder[0].Wear.In("es"); got[0] != "shirt" {
		t.Errorf("wear serves every language, yet es has %q", got)
	}
	l := s.Locations[0]
	if l.ID != "P-1" || l.Voltage != 480 || l.Distance != 457.2 || l.Cases[0].Boundary != 762 || l.Cases[0].Method != assess.Stated {
		t.Errorf("location: %+v", l)
	}
}

// Real spreadsheets: what is the same to a person is the same to the reader.
func TestSpellings(t *testing.T) {
	for name, rows := range map[string]string{
		"byte-order mark":       "\ufeff" + goodRows,
		"CRLF":                  strings.ReplaceAll(goodRows, "\n", "\r\n"),
		"tabs":                  strings.ReplaceAll(goodRows, ",", "\t"),
		"semicolons":            strings.ReplaceAll(goodRows, ",", ";"),
		"decimal comma":         strings.ReplaceAll(strings.ReplaceAll(goodRows, ",", ";"), "2.5", "2,5"),
		"blank lines":           "\n\n" + strings.ReplaceAll(goodRows, "\n", "\n\n,,,,,,,\n"),
		"quoted newline":        strings.Replace(goodRows, "Panel", "\"Pan\nel\"", 1),
		"capitals and blanks":   strings.Replace(goodRows, "id,equipment,supply,voltage_v", "ID,Equipment,Supply,Voltage V", 1),
		"kV":                    strings.NewReplacer("voltage_v", "voltage_kv", "480", "0.48").Replace(goodRows),
		"joules":                strings.NewReplacer("energy_cal_cm2", "energy_j_cm2", "2.5", "10.46").Replace(goodRows),
		"mm":                    strings.NewReplacer("boundary_in", "boundary_mm", "30", "762").Replace(goodRows),
		"feet":                  strings.NewReplacer("boundary_in", "boundary_ft", "30", "2.5").Replace(goodRows),
		"no newline at the end": strings.TrimSuffix(goodRows, "\n"),
	} {
		t.Run(name, func(t *testing.T) {
			s, ps := read(goodPolicy, rows)
			if ps != nil {
				t.Fatal(ps)
			}
			l := s.Locations[0]
			if l.Voltage != 480 || l.Cases[0].Energy != 2.5 || l.Cases[0].Boundary != 762 || l.Distance != 457.2 {
				t.Errorf("%v V, %v cal/cm2, %v mm at %v mm", l.Voltage, l.Cases[0].Energy, l.Cases[0].Boundary, l.Distance)
			}
		})
	}
}

func TestUnits(t *testing.T) {
	rows := "id,equipment,supply,voltage_v,energy_cal_cm2,boundary_in,distance_in,prepared,fault_a,clear_cycles,clear_reduced_s,gap_in\n" +
		"P-1,Panel,ac3,480,2.5,30,18,2026-03-14,18400,5,0.1,1\n"
	s, ps := read(goodPolicy, rows)
	if ps != nil {
		t.Fatal(ps)
	}
	c := s.Locations[0].Cases[0]
	if c.Fault != 18.4 || c.Clear != 83.3333333 || c.ClearReduced != 100 || s.Locations[0].Cases[0].Gap != 25.4 {
		t.Errorf("%v kA, %v ms, %v ms, %v mm", c.Fault, c.Clear, c.ClearReduced, s.Locations[0].Cases[0].Gap)
	}
	if s, _ = read("frequency_hz = 50\n"+goodPolicy, rows); s.Locations[0].Cases[0].Clear != 100 {
		t.Errorf("5 cycles at 50 Hz are %v ms", s.Locations[0].Cases[0].Clear)
	}
}

func TestOwnHeadings(t *testing.T) {
	rows := strings.NewReplacer("id,", "Tag,", "voltage_v", "U [V]").Replace(goodRows)
	rows = strings.ReplaceAll(strings.Replace(rows, "prepared\n", "prepared,Room key\n", 1), "03-14\n", "03-14,17\n")
	policy := goodPolicy + "\n[columns]\nid = \"Tag\"\nvoltage_v = \"U [V]\"\n"
	s, ps := read("ignore_columns = [\"room key\"]\n"+policy, rows)
	if ps != nil || s.Locations[0].ID != "P-1" || s.Locations[0].Voltage != 480 {
		t.Errorf("%v", ps)
	}
	if _, ps = read(policy, goodRows); len(ps) != 2 || !strings.Contains(ps[0].String(), `no column headed "Tag"`) {
		t.Errorf("headings that the file does not have: %v", ps)
	}
}

func TestCases(t *testing.T) {
	head := "id,case,equipment,supply,voltage_v,energy_cal_cm2,boundary_in,distance_in,prepared\n"
	s, ps := read(goodPolicy, head+"P-1,a,Panel,ac3,480,2.5,30,18,2026-03-14\nP-1,b,Panel,ac3,480,3.5,36,18,2026-03-14\n")
	if ps != nil || len(s.Locations) != 1 || len(s.Locations[0].Cases) != 2 {
		t.Fatal(ps, s.Locations)
	}
	_, ps = read(goodPolicy, head+"P-1,a,Panel,ac3,480,2.5,30,18,2026-03-14\nP-1,b,Panel,ac3,240,3.5,36,24,2026-03-14\n")
	if len(ps) != 2 || ps[0].Column != "voltage_v" || ps[1].Column != "distance_in" {
		t.Errorf("cases that disagree: %v", ps)
	}
}

// Each bad input gives exactly the problems named, at their lines.
func TestBadInput(t *testing.T) {
	row := func(old, with string) string { return strings.Replace(goodRows, old, with, 1) }
	toml := func(old, with string) string { return strings.Replace(goodPolicy, old, with, 1) }
	for _, c := range []struct {
		name, policy, rows string
		want               []string // parts of the problems, in order
	}{
		{"no site.toml", "", goodRows, []string{"site.toml: found no such file"}},
		{"no locations.csv", goodPolicy, "", []string{"locations.csv: found no such file"}},
		{"no unit in a heading", goodPolicy, row("voltage_v", "voltage"), []string{`locations.csv:1: voltage: found no unit in the heading, expected voltage_v or voltage_kv`}},
		{"two columns for one quantity", goodPolicy, "id,equipment,supply,voltage_v,voltage_kv,distance_in,prepared\nP,Q,ac3,480,0.48,18,2026-03-14\n",
			[]string{"locations.csv:1: voltage_kv: found a second column for voltage"}},
		{"a comma that shifts the cells", goodPolicy, row("2.5", "2,5"), []string{"found 9 cells, expected 8"}},
		{"a last row cut off", goodPolicy, strings.TrimSuffix(goodRows, ",18,2026-03-14\n"), []string{"found 6 cells and no end of line", "distance_in: found an empty cell", "prepared: found an empty cell"}},
		{"cases apart in capitals only", goodPolicy, "id,case,equipment,supply,voltage_v,energy_cal_cm2,boundary_in,distance_in,prepared\nP,a,Q,ac3,480,2,30,18,2026-03-14\nP,A,Q,ac3,480,2,30,18,2026-03-14\n", []string{"which is already on line 2"}},
		{"cases with another conductor", goodPolicy, "id,case,equipment,supply,voltage_v,distance_in,prepared,conductor\nP,a,Q,ac3,480,18,2026-03-14,fixed\nP,b,Q,ac3,480,18,2026-03-14,movable\n", []string{"conductor: found \"movable\", expected the same as for \"P\" on line 2"}},
		{"a duplicate id", goodPolicy, goodRows + "P-1,Panel,ac3,480,2.5,30,18,2026-03-14\n", []string{`locations.csv:3: id: found "P-1", which is already on line 2`}},
		{"ids apart in capitals only", goodPolicy, goodRows + "p-1,Panel,ac3,480,2.5,30,18,2026-03-14\n", []string{`locations.csv:3: id: found "p-1"`}},
		{"a missing column", goodPolicy, "id,equipment,supply,voltage_v,prepared\nP,Q,ac3,480,2026-03-14\n", []string{"distance_in: found no such column"}},
		{"an unknown column", goodPolicy, row("energy_cal_cm2", "enregy_cal_cm2"), []string{"enregy_cal_cm2: found an unknown column, expected one such as energy_cal_cm2"}},
		{"an empty id", goodPolicy, row("P-1", ""), []string{"id: found an empty cell"}},
		{"a stray quotation mark", goodPolicy, row("Panel", `Pa"nel`), []string{"locations.csv:2: character 7: found a stray quotation mark"}},
		{"UTF-16", goodPolicy, "\xff\xfei\x00d\x00", []string{"found text in UTF-16, expected text in UTF-8; save it"}},
		{"Latin-1", goodPolicy, row("Panel", "Tableau \xe9lectrique"), []string{"locations.csv:2: character 13: found text that is not UTF-8"}},
		{"headings alone", goodPolicy, "id,equipment,supply,voltage_v,distance_in,prepared\n", []string{"found no row below the headings"}},
		{"an empty file", goodPolicy, "\n", []string{"found no heading line"}},

		{"broken TOML", toml("units", "uni ts"), goodRows, []string{"site.toml:2: character 5: found a syntax error"}},
		{"an unknown key", "cutof_cal_cm2 = 1\n" + goodPolicy, goodRows, []string{"site.toml:1: cutof_cal_cm2: found an unknown key, expected a known one; the nearest is cutoff_cal_cm2"}},
		{"an unknown key in a rung", toml("wear_es", "waer_es"), goodRows, []string{"site.toml:16: ladder[2].waer_es: found an unknown key"}},
		{"no cutoff", toml("cutoff_cal_cm2 = 40.0", ""), goodRows, []string{"cutoff_cal_cm2: found no such key"}},
		{"a cutoff in words", toml("40.0\nrev", "\"forty\"\nrev"), goodRows, []string{`site.toml:4: cutoff_cal_cm2: found "forty"`}},
		{"an interval above five years", toml("= 60", "= 61"), goodRows, []string{"site.toml:5: review_months: found 61, expected a whole number of months from 1 to 60: the analysis must be reviewed at intervals of at most 5 years (NFPA 70E 130.5(G))"}},
		{"a ladder out of order", toml("8.0", "50.0"), goodRows, []string{"site.toml:14: ladder[2].rating_cal_cm2: found 40, expected more than the 50"}},
		{"two rungs of one rating", toml("8.0", "40.0"), goodRows, []string{"ladder[2].rating_cal_cm2: found 40, expected more than the 40"}},
		{"an unrated rung", toml("rating_cal_cm2 = 8.0", ""), goodRows, []string{"site.toml:7: ladder[1].rating_cal_cm2: found no such key"}},
		{"an empty rung", toml(`["shirt"]`, "[]"), goodRows, []string{"site.toml:10: ladder[1].wear: found an empty list"}},
		{"a ladder below the cutoff", toml("rating_cal_cm2 = 40.0", "rating_cal_cm2 = 25"), goodRows, []string{"cutoff_cal_cm2: found 40, expected at most 25"}},
		{"no ladder", strings.Split(goodPolicy, "[[")[0], goodRows, []string{"ladder: found no such key"}},
		{"govern without a name", "govern = \"study\"\n" + goodPolicy, goodRows, []string{"govern_accepted_by", "govern_date", "govern_reason"}},
		{"a link in small letters", "link = \"https://labels.example.org\"\n" + goodPolicy, goodRows, []string{"link: found"}},
		{"a language nobody proofread", "languages = [\"en\", \"tlh\"]\n" + goodPolicy, goodRows, []string{`languages: found "tlh"`}},
		{"a transformer nowhere", goodPolicy + "[[transformer]]\nat = \"T-9\"\nkva = 1000\nimpedance_percent = 5.75\nsecondary_v = 480\n", goodRows, []string{`site.toml:18: transformer[1].at: found "T-9"`}},
		{"approach rows that overlap", goodPolicy + strings.Repeat("[[approach]]\nsupply = \"ac\"\nabove_v = 15000\nupto_v = 36000\nlimited_in = 72\nrestricted_in = 33\nsource = \"invented\"\n", 2), goodRows, []string{"approach[2].above_v"}},

		{"an approach row that the table settles", goodPolicy + "[[approach]]\nsupply = \"ac\"\nabove_v = 300\nupto_v = 1000\nlimited_in = 84\nrestricted_in = 24\nsource = \"invented\"\n", goodRows, []string{"expected voltages that the published table does not cover; its row 151 V to 750 V"}},
		{"a movable boundary inside the fixed one", goodPolicy + "[[approach]]\nsupply = \"ac\"\nabove_v = 15000\nupto_v = 36000\nlimited_in = 84\nlimited_movable_in = 10\nrestricted_in = 24\nsource = \"invented\"\n", goodRows, []string{"limited_movable_in: found 10 in"}},
		{"two units for one quantity", goodPolicy + "[columns]\nenergy_cal_cm2 = \"E\"\nenergy_j_cm2 = \"E\"\n", strings.Replace(goodRows, "energy_cal_cm2", "E", 1), []string{"columns.energy_j_cm2: found a second unit for energy", "columns.energy_j_cm2: found \"E\""}},
		{"a heading in another sense", goodPolicy + "[columns]\nenergy_j_cm2 = \"energy_cal_cm2\"\n", goodRows, []string{"it already means energy"}},
		{"two nameplates at one place", goodPolicy + strings.Repeat("[[transformer]]\nat = \"P-1\"\nkva = 1000\nimpedance_percent = 5.75\nsecondary_v = 480\n", 2), goodRows, []string{"transformer[2].at: found \"P-1\""}},
		{"a kit named as if there were none", toml("Kit A", "No kit"), goodRows, []string{"expected another name"}},
		{"kits apart in hyphens only", toml("Kit A", "KIT-B"), goodRows, []string{"rung 1 has the same name except for blanks"}},

		{"problems of both files at once", toml("60", "0"), row("480", "480 A"), []string{"site.toml:5: review_months", "locations.csv:2: voltage_v"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, ps := read(c.policy, c.rows)
			if len(ps) != len(c.want) {
				t.Fatalf("%d problems, want %d:\n%v", len(ps), len(c.want), ps)
			}
			all := ps.Error()
			for _, w := range c.want {
				if !strings.Contains(all, w) {
					t.Errorf("no problem says %q:\n%v", w, all)
				}
			}
		})
	}
}

func TestPolicyCautions(t *testing.T) {
	for kit, want := range map[string]bool{"CAT 2": true, "cat2": true, "Category 4": true, "HRC 2": true, "HRC2": true, "2": true, "HRC_2": true, "PPECAT2": true, "Catégorie 2": true,
		"Kit Z": false, "Catalina": false, "Level C": false, "12": false} {
		p := strings.Replace(goodPolicy, "Kit A", kit, 1)
		s, ps := read(p, goodRows)
		if ps != nil || (len(s.Policy.Findings) == 1) != want {
			t.Errorf("kit %q: %v %v, want a caution: %v", kit, ps, s.Policy.Findings, want)
		}
	}
	s, _ := read(strings.Replace(goodPolicy, "cutoff_cal_cm2 = 40.0", "cutoff_cal_cm2 = 8.0", 1), goodRows)
	if len(s.Policy.Findings) != 1 || !strings.Contains(s.Policy.Findings[0].Message, "above the cutoff") {
		t.Errorf("a rung above the cutoff: %v", s.Policy.Findings)
	}
}

// Decimal signs: a file settles its own, and what reads two ways is refused.
func TestDecimals(t *testing.T) {
	for _, c := range []struct {
		cells []string
		cell  string
		want  float64 // 0: refused
	}{
		{nil, "1.250", 0}, // a point for thousands, or a decimal one?
		{[]string{"6.5"}, "1.250", 1.25},
		{[]string{"6.5"}, "1,250", 0},
		{nil, "1,250", 0},
		{[]string{"6,5"}, "1,250", 1.25},
		{[]string{"6,5"}, "1.250", 0},
		{[]string{"6,5"}, "0,480", 0.48},
		{nil, "0,480", 0.48},
		{nil, "1,2,3", 0},
		{nil, "1e3", 1000},
		{nil, ".5", 0.5},
		{nil, "NaN", 0}, {nil, "Inf", 0}, {nil, "0x10", 0}, {nil, "1_000", 0}, {nil, "1e999", 0},
	} {
		d := decimals{comma: true}
		d.settle(c.cells)
		if got, expected, _ := d.parse(c.cell, "ka"); got != c.want || (expected == "") != (c.want != 0) {
			t.Errorf("%q beside %q = %v (%s), want %v", c.cell, c.cells, got, expected, c.want)
		}
	}
}

// In volts and amperes three digits behind a sign are refused, whatever the
// rest of the file: 13,800 V read as 13.8 V would lose its shock protection.
func TestThousandsOfVolts(t *testing.T) {
	for _, unit := range []string{"v", "a"} {
		for _, cell := range []string{"13,800", "13.800"} {
			for _, d := range []decimals{{}, {comma: true}, {comma: true, sure: true}, {comma: true, point: true}} {
				if v, expected, do := d.parse(cell, unit); expected == "" || !strings.Contains(do, "13800") {
					t.Errorf("%s %s = %v, %s", cell, unit, v, do)
				}
			}
		}
	}
}

func TestStarterReads(t *testing.T) {
	dir := t.TempDir() + "/new"
	if err := Start(dir); err != nil {
		t.Fatal(err)
	}
	if err := Start(dir); err == nil {
		t.Error("a folder that is not empty is written over")
	}
}

func FuzzLocations(f *testing.F) {
	f.Add(goodRows)
	f.Add("\ufeffid;equipment\r\n\"a\nb\";c\r\n")
	f.Add("voltage,voltage_v\n,,,\n")
	f.Fuzz(func(t *testing.T, rows string) {
		if len(rows) > suite.Longest {
			return
		}
		var s *assess.Site
		var ps Problems
		suite.Bounded(t, len(rows), 4096, 8<<20, func() { s, ps = read(goodPolicy, rows) })
		if ps == nil {
			for _, l := range s.Locations {
				if len(l.Unreadable) > 0 {
					continue
				}
				labeled := l.Distance > 0 && !l.Cases[0].Prepared.IsZero()
				if !(l.Voltage > 0) || l.ID == "" || !labeled && !l.Unlabeled {
					t.Errorf("a location that cannot be true passes: %+v", l)
				}
			}
		}
	})
}

func FuzzPolicy(f *testing.F) {
	f.Add(goodPolicy)
	f.Add("name = '''\n[[ladder]]\n'''\n[columns]\nid = 1\n")
	f.Add("[[ladder]]\nkit = [\n\"]\"\n]\n")
	f.Fuzz(func(t *testing.T, policy string) {
		if len(policy) > suite.Longest {
			return
		}
		var s *assess.Site
		var ps Problems
		suite.Bounded(t, len(policy), 4096, 8<<20, func() { s, ps = read(policy, goodRows) })
		if ps == nil {
			top := s.Policy.Ladder[len(s.Policy.Ladder)-1].Rating
			if top < s.Policy.Cutoff || s.Policy.ReviewMonths < 1 || s.Policy.ReviewMonths > 60 {
				t.Errorf("a policy that cannot be true passes: %+v", s.Policy)
			}
		}
	})
}

// A curve declares what its times are; what it does not declare is refused.
func TestCurves(t *testing.T) {
	rows := "id,equipment,supply,voltage_v,distance_in,prepared,curve\nP,Q,ac3,480,18,2026-03-14,m.csv\n"
	load := func(curve string) (*assess.Site, Problems) {
		s, err := Read(fstest.MapFS{
			"site.toml": {Data: []byte(goodPolicy)}, "locations.csv": {Data: []byte(rows)}, "curves/m.csv": {Data: []byte(curve)},
		}, Options{Languages: []string{"en", "es", "fr"}})
		var ps Problems
		errors.As(err, &ps)
		return s, ps
	}
	for name, curve := range map[string]string{
		"seconds":       "current_a,total_clearing_max_s\n1000,10\n10000,0.1\n",
		"milliseconds":  "current_ka;total_clearing_max_ms\n1;10000\n10;100\n",
		"decimal comma": "current_a;total_clearing_max_s\n1000;10\n10000;0,1\n",
		"cycles":        "current_a,total_clearing_max_cycles\n1000,600\n10000,6\n",
	} {
		s, ps := load(curve)
		if ps != nil {
			t.Errorf("%s: %v", name, ps)
			continue
		}
		if ms, err := s.Curves["m.csv"].ClearMS(10); err != nil || ms < 99.9999 || ms > 100.0001 {
			t.Errorf("%s: %v ms at 10 kA, %v", name, ms, err)
		}
	}
	s, ps := load("current_a,total_clearing_max_s,pickup_tolerance_percent\n1000,10,10\n10000,0.1,\n")
	if ps != nil || s.Curves["m.csv"].TolerancePercent != 10 {
		t.Errorf("tolerance: %v", ps)
	}
	for _, c := range []struct{ name, curve, want string }{
		{"undeclared", "current_a,time_s\n1000,10\n10000,0.1\n", "curves/m.csv:1: time_s: found a time that is not declared as total clearing at the maximum of the band"},
		{"the band undeclared", "current_a,total_clearing_s\n1000,10\n10000,0.1\n", "not declared as total clearing"},
		{"melting time", "current_a,melting_s\n1000,10\n10000,0.1\n", "not declared as total clearing"},
		{"no current", "total_clearing_max_s\n10\n0.1\n", "current_a: found no such column"},
		{"out of order", "current_a,total_clearing_max_s\n10000,0.1\n1000,10\n", "curves/m.csv:1: found point 2"},
		{"one point", "current_a,total_clearing_max_s\n10000,0.1\n", "at least two"},
		{"an empty cell", "current_a,total_clearing_max_s\n1000,10\n10000,\n", "curves/m.csv:3: total_clearing_max_s: found an empty cell"},
		{"two tolerances", "current_a,total_clearing_max_s,pickup_tolerance_percent\n1000,10,10\n10000,0.1,5\n", "found 5, expected 10"},
	} {
		if _, ps := load(c.curve); len(ps) == 0 || !strings.Contains(ps.Error(), c.want) {
			t.Errorf("%s: %v, want %q", c.name, ps, c.want)
		}
	}
}

func TestTypicalFillsTheDistance(t *testing.T) {
	rows := "id,equipment,class,supply,voltage_v,distance_in,prepared\nP,Q,panelboard,ac3,480,,2026-03-14\n"
	if s, ps := read(goodPolicy, rows); ps != nil || len(s.Locations[0].Unreadable) != 1 {
		t.Errorf("without typical = true: %v, %v", ps, s.Locations[0].Unreadable)
	}
	if s, ps := read("typical = true\n"+goodPolicy, rows); ps != nil || s.Locations[0].Distance != 457.2 {
		t.Errorf("with it: %v", ps)
	}
}

// An empty method is IEEE 1584-2018 on an ac3 row with electrodes alone: one
// phase needs it by name.
func TestMethodLeftEmpty(t *testing.T) {
	head := "id,equipment,supply,voltage_v,distance_in,prepared,electrodes,method\n"
	s, ps := read(goodPolicy, head+"A,Q,ac3,480,18,2026-03-14,VCB,\nB,Q,ac1,240,18,2026-03-14,VCB,\nC,Q,ac3,480,18,2026-03-14,,\nD,Q,ac1,240,18,2026-03-14,VCB,ieee1584-2018\n")
	if ps != nil {
		t.Fatal(ps)
	}
	for i, want := range []assess.Method{assess.IEEE1584, assess.Stated, assess.Stated, assess.IEEE1584} {
		if got := s.Locations[i].Cases[0].Method; got != want {
			t.Errorf("%s: %s, want %s", s.Locations[i].ID, got, want)
		}
	}
}

func TestOneCase(t *testing.T) {
	s, err := OneCase(map[string]string{"voltage_kv": "4.16", "fault_a": "15000", "distance_mm": "914.4", "electrodes": "vcb"}, nil, 60, Options{})
	if err != nil || s.Locations[0].Voltage != 4160 || s.Locations[0].Cases[0].Fault != 15 || s.Locations[0].Cases[0].Method != assess.IEEE1584 {
		t.Errorf("%+v, %v", s.Locations[0], err)
	}
	_, err = OneCase(map[string]string{"voltage_v": "480 kA"}, nil, 60, Options{})
	if err == nil || !strings.Contains(err.Error(), "--voltage-v: found \"480 kA\"") || !strings.Contains(err.Error(), "--distance-in: found nothing") {
		t.Errorf("%v", err)
	}
}

func TestStock(t *testing.T) {
	s, ps := read(goodPolicy+`
[[stock]]
name = "door roll"
unit = "mm"
label = [100, 150]
corner = 3
bleed = 2
color = "one-color"

[[stock]]
name = "sheet"
unit = "in"
page = [8.5, 11]
label = [4, 3]
columns = 2
rows = 3
margin = [0.25, 1]
orange_cmyk = [0, 55, 100, 0]
output_condition = "CGATS TR 001"
`, goodRows)
	if ps != nil {
		t.Fatal(ps)
	}
	a, b := s.Policy.Stocks[0], s.Policy.Stocks[1]
	if a.Page != a.Label || a.Label != [2]float64{100, 150} || a.Bleed != 2 || a.Color != assess.OneColor || a.Columns != 1 {
		t.Errorf("%+v", a)
	}
	if b.Page != [2]float64{215.9, 279.4} || b.Left != 6.35 || b.Orange != [4]int{0, 55, 100, 0} || !b.HasOrange || b.HasRed ||
		a.OutputCondition != "" || b.OutputCondition != "CGATS TR 001" {
		t.Errorf("%+v", b)
	}
	for bad, want := range map[string]string{
		"name = \"x\"\nunit = \"cm\"\nlabel = [100, 100]\n":                                                  "unit: found \"cm\"",
		"name = \"x\"\nunit = \"mm\"\n":                                                                      "label: found no such key",
		"name = \"x\"\nunit = \"mm\"\nlabel = [100]\n":                                                       "label: found a list",
		"name = \"x\"\nunit = \"mm\"\nlabel = [100, 100]\ncolumns = 2\n":                                     "columns: found 2 labels that need 200",
		"name = \"x\"\nunit = \"mm\"\nlabel = [100, 100]\ncolor = \"pink\"\n":                                "color: found \"pink\"",
		"name = \"x\"\nunit = \"mm\"\nlabel = [100, 100]\nred_cmyk = [0, 0.5, 0, 0]\n":                       "red_cmyk: found 0.5",
		"name = \"x\"\nunit = \"mm\"\nlabel = [100, 100]\nradius = 3\n":                                      "radius: found an unknown key",
		"name = \"x\"\nunit = \"mm\"\nlabel = [100, 100]\noutput_condition = \"a (b)\"\n":                    "output_condition: found \"a (b)\"",
		"name = \"x\"\nunit = \"mm\"\nlabel = [100, 100]\noutput_condition = \"FOGRA39\"\ncolor = \"rgb\"\n": "output_condition: found it with color = \"rgb\"",
	} {
		if _, ps := read(goodPolicy+"[[stock]]\n"+bad, goodRows); len(ps) != 1 || !strings.Contains(ps[0].String(), want) {
			t.Errorf("%q: %v", bad, ps)
		}
	}
}

// Ids that look alike, whichever comes first; what differs in ASCII alone is accepted.
func TestLookAlikeIDs(t *testing.T) {
	head, row, _ := strings.Cut(goodRows, "\n")
	row = strings.TrimPrefix(row, "P-1")
	for _, c := range []struct{ a, b, want string }{
		{"A-1", "a-1", `found "a-1", expected an id that differs from "A-1" on line 2 by more than capitals; people cannot tell them apart`},
		{"A-1", "А-1", `found "А-1" with U+0410, expected an id that does not look like "A-1" on line 2; people cannot tell them apart`},
		{"А-1", "A-1", `found "A-1", expected an id that does not look like "А-1" with U+0410 on line 2`},
		{"A-1", "A–1", `found "A–1" with U+2013, expected an id that does not look like "A-1"`},
		{"A-1", "A\u20101", `with U+2010, expected an id that does not look like "A-1"`},
		{"Süd", "Su\u0308d", `with U+0308, expected an id that does not look like "Süd" with U+00FC on line 2`},
		{"LP-1L", "LP-11", ""},
		{"ÉL", "EL", ""},
	} {
		text := head + "\n" + c.a + row + c.b + row
		for what, near := range map[string]Near{"all": nil, "one": func(all []assess.Outline, _ map[string]int, _ *assess.Log, _ []string) []bool {
			keep := make([]bool, len(all))
			keep[0] = true
			return keep
		}} {
			folder := fstest.MapFS{"site.toml": {Data: []byte(goodPolicy)}, "locations.csv": {Data: []byte(text)}}
			_, err := ReadNear(folder, Options{Languages: []string{"en", "es"}}, near)
			ps, _ := err.(Problems)
			if c.want == "" && err != nil || c.want != "" && (len(ps) != 1 || !strings.Contains(ps[0].String(), c.want)) {
				t.Errorf("%s: %+q and %+q: %v", what, c.a, c.b, err)
			}
		}
	}
}
