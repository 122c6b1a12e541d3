package site

import (
	"fmt"
	"strings"
	"testing"
	"testing/fstest"

	"vouchmark/assess"
)

// A cell that cannot be read stops only its own location; with a problem of the folder
// it is in the same report.
func TestUnreadableRows(t *testing.T) {
	const head = "id,case,equipment,fed_from,supply,voltage_v,fault_ka,energy_cal_cm2,boundary_in,distance_in,prepared," +
		"surveyed,curve,multiplier,method,label\n"
	const sound = "P-1,,Panel,UP,ac3,480,20,2.5,30,18,2026-03-14,2026-01-20,,,,\n"
	for _, c := range []struct{ name, old, with, field, says string }{
		{"a unit of something else", "480", "480 A", "voltage_v", `found "480 A", expected a number, or a number with its own unit: V, kV`},
		{"a word for a number", "480", "high", "voltage_v", `found "high", expected a number such as 480; take it from the study report`},
		{"a word where nothing is needed", ",20,", ",high,", "fault_ka", "leave the cell empty if the study does not say"},
		{"a decimal comma in commas", "2.5", `"2,5"`, "energy_cal_cm2", `found "2,5", expected a number such as 2.5`},
		{"thousands", "480", `"13,800"`, "voltage_v", `expected a number that can be read in only one way; write 13800`},
		{"thousands and decimals", "480", `"1.234,5"`, "voltage_v", "expected a number without thousands separators"},
		{"a blank for thousands", "480", "1 200", "voltage_v", "expected a number without thousands separators"},
		{"a bound of a current", ",20,", ",>20,", "fault_ka", "only an energy may be a limit"},
		{"a negative energy", "2.5", "-2.5", "energy_cal_cm2", "expected a number above 0"},
		{"an energy of zero", "2.5", "0", "energy_cal_cm2", "expected a number above 0"},
		{"a size nothing has", "480", "1e12", "voltage_v", "expected a number above 0 and at most 1000000000"},
		{"nearly nothing", "480", "1e-300", "voltage_v", "a number of normal size"},
		{"an impossible date", "2026-03-14", "2026-02-30", "prepared", "expected a date such as 2026-03-14"},
		{"a date in another form", "2026-03-14", "3/14/2026", "prepared", "date_form in site.toml"},
		{"a survey to be done", "2026-01-20", "TBD", "surveyed", `found "TBD"`},
		{"an unknown supply", "ac3", "3ph", "supply", `found "3ph", expected one of ac3, ac1, dc`},
		{"an unknown method", ",,\n", ",guess,\n", "method", "expected one of ieee1584-2018"},
		{"a direction mark", "Panel", "Pan\u202eel", "equipment", "U+202E"},
		{"a control character", "Panel", "Pan\x07el", "equipment", "U+0007"},
		{"a text too long", "Panel", strings.Repeat("x", 201), "equipment", "found 201 characters, expected at most 200"},
		{"an error of the spreadsheet", "Panel", "#REF!", "equipment", "the spreadsheet could not work this cell out"},
		{"no equipment", "Panel", "", "equipment", "found an empty cell"},
		{"no voltage", "480", "", "voltage_v", "found an empty cell"},
		{"no supply", "ac3", "", "supply", "found an empty cell"},
		{"no distance", ",18,", ",,", "distance_in", "found an empty cell"},
		{"no date", "2026-03-14", "", "prepared", "found an empty cell"},
		{"a feed to be found", "UP", "#N/A", "fed_from", "#N/A"},
		{"one feed of two to be found", "UP", "UP; TBD", "fed_from", `found "TBD"`},
		{"a curve outside the folder", "2026-01-20,,", "2026-01-20,../x.csv,", "curve", "the name of a CSV file in curves/"},
		{"a curve that is not there", "2026-01-20,,", "2026-01-20,x.csv,", "curve", "a file in curves/"},
		{"a multiplier that nobody published", "2026-01-20,,,", "2026-01-20,,2,", "multiplier", "1 in open air or 3 in an enclosure"},
	} {
		t.Run(c.name, func(t *testing.T) {
			bad := strings.Replace(sound, c.old, c.with, 1)
			if bad == sound {
				t.Fatal("nothing is altered")
			}
			rows := head + strings.Replace(sound, "P-1", "UP", 1) + bad + strings.Replace(sound, "P-1", "P-3", 1)
			s, ps := read(goodPolicy, rows)
			if ps != nil || len(s.Locations) != 3 {
				t.Fatalf("%v, %d locations", ps, len(s.Locations))
			}
			if up, down := s.Locations[0], s.Locations[2]; up.Unreadable != nil || down.Unreadable != nil || down.Voltage != 480 {
				t.Errorf("its neighbors: %v, %v", up.Unreadable, down.Unreadable)
			}
			l := s.Locations[1]
			if len(l.Unreadable) != 1 {
				t.Fatalf("%v", l.Unreadable)
			}
			f := l.Unreadable[0]
			if l.ID != "P-1" || f.Level != assess.Error || f.Code != assess.Unreadable || f.Field != c.field || f.Line != 3 ||
				f.File != "" || !strings.Contains(f.Message, c.says) {
				t.Errorf("%+v, want %s: %s", f, c.field, c.says)
			}
			if l.FeedsUnknown() != (c.field == "fed_from") {
				t.Error("whether its feeds are known")
			}
			_, ps = read("unheard_of = 1\n"+goodPolicy, rows)
			if len(ps) != 2 || ps[1].Line != 3 || !strings.Contains(ps[1].String(), c.says) {
				t.Errorf("with a problem of the folder: %v", ps)
			}
		})
	}
}

// Which row it is, is a matter of the whole folder.
func TestBadNames(t *testing.T) {
	head := "id,case,equipment,supply,voltage_v,distance_in,prepared\n"
	for _, c := range []struct{ row, want string }{
		{",,Q,ac3,480,18,2026-03-14", "id: found an empty cell"},
		{"N/A,,Q,ac3,480,18,2026-03-14", `id: found "N/A"`},
		{"#REF!,,Q,ac3,480,18,2026-03-14", `id: found "#REF!"`},
		{"A\u200b,,Q,ac3,480,18,2026-03-14", "id: found the invisible character U+200B"},
		{"all,,Q,ac3,480,18,2026-03-14", `id: found "all"`},
		{"A,a\u200b,Q,ac3,480,18,2026-03-14", "case: found the invisible character U+200B"},
	} {
		if _, ps := read(goodPolicy, head+c.row+"\n"); len(ps) != 1 || !strings.Contains(ps.Error(), c.want) {
			t.Errorf("%q: %v", c.row, ps)
		}
	}
}

// Cases whose cells cannot be compared do not disagree; the location stops for
// the cell that cannot be read, whichever row it is in.
func TestUnreadableCases(t *testing.T) {
	head := "id,case,equipment,supply,voltage_v,distance_in,prepared\n"
	for _, voltages := range [][2]string{{"high", "480"}, {"480", "high"}} {
		s, ps := read(goodPolicy, head+"A,x,Q,ac3,"+voltages[0]+",18,2026-03-14\nA,y,Q,ac3,"+voltages[1]+",18,2026-03-14\n")
		if ps != nil || len(s.Locations) != 1 || len(s.Locations[0].Unreadable) != 1 || len(s.Locations[0].Cases) != 2 {
			t.Errorf("%v: %v, %+v", voltages, ps, s.Locations)
		}
	}
	_, ps := read(goodPolicy, head+"A,x,Q,ac3,high,18,2026-03-14\nA,y,Q,ac3,480,24,2026-03-14\n")
	if len(ps) != 2 || ps[1].Column != "distance_in" {
		t.Errorf("what can be compared: %v", ps)
	}
}

// Every location that names a curve which is not there stops, not the first.
func TestMissingCurves(t *testing.T) {
	head := "id,equipment,supply,voltage_v,distance_in,prepared,curve,frequency_hz\n"
	rows := head + "A,Q,ac3,480,18,2026-03-14,x.csv,\nB,Q,ac3,480,18,2026-03-14,x.csv,\nC,Q,ac3,480,18,2026-03-14,y.csv,\nD,Q,ac3,480,18,2026-03-14,y.csv,50\n"
	s, err := Read(fstest.MapFS{
		"site.toml": {Data: []byte(goodPolicy)}, "locations.csv": {Data: []byte(rows)},
		"curves/y.csv": {Data: []byte("current_a,total_clearing_max_cycles\n1000,600\n10000,6\n")},
	}, Options{Languages: []string{"en", "es"}})
	if err != nil {
		t.Fatal(err)
	}
	for i, want := range []string{"a file in curves/", "a file in curves/", "", "times in s or ms: this row has 50 Hz, the site 60"} {
		l := s.Locations[i]
		if len(l.Unreadable) != map[bool]int{true: 1}[want != ""] || want != "" && !strings.Contains(l.Unreadable[0].Message, want) {
			t.Errorf("%s: %v, want %q", l.ID, l.Unreadable, want)
		}
	}
	if s.Curves["y.csv"] == nil || len(s.Curves) != 1 {
		t.Errorf("%v", s.Curves)
	}
}

// A row with label = no is there for what it feeds.
func TestUnlabeledRows(t *testing.T) {
	head := "id,equipment,supply,voltage_v,fault_ka,energy_cal_cm2,distance_in,prepared,label\n"
	_, ps := read(goodPolicy, head+"UTL,Utility,ac3,13800,9.6,,,,no\nA,Q,ac3,480,,2,18,2026-03-14,yes\nB,Q,ac3,480,,2,,,\n,Q,ac3,480,,2,,,no\n")
	if len(ps) != 3 { // the id of the last; distance and date of B
		t.Fatal(ps)
	}
	s, ps := read(goodPolicy, head+"UTL,Utility,ac3,13800,9.6,,,,no\nA,Q,ac3,480,,2,18,2026-03-14,yes\nC,Q,,,,,,,No\n")
	if ps != nil || !s.Locations[0].Unlabeled || s.Locations[0].Unreadable != nil || s.Locations[1].Unlabeled {
		t.Errorf("%v %+v", ps, s.Locations)
	}
	if got := s.Locations[2].Unreadable; len(got) != 2 || got[0].Field != "supply" || got[1].Field != "voltage_v" {
		t.Errorf("what it needs: %v", got)
	}
}

// A feeder at a location whose fed_from cannot be read is not a second problem.
func TestFeederOfUnknownFeeds(t *testing.T) {
	rows := "id,equipment,supply,voltage_v,distance_in,prepared,fed_from\nA,Q,ac3,480,18,2026-03-14,\nB,Q,ac3,480,18,2026-03-14,#N/A\n"
	s, ps := read(goodPolicy+"[[feeder]]\nat = \"B\"\nfrom = \"A\"\nmilliohm = 3\n", rows)
	if ps != nil || !s.Locations[1].FeedsUnknown() || s.Locations[0].FeedsUnknown() {
		t.Errorf("%v", ps)
	}
}

// A report says the first fifty problems of a kind, and how many more there are.
func TestFiftyOfAKind(t *testing.T) {
	rows := "id,equipment,supply,voltage_v,distance_in,prepared,fault_ka\n"
	for i := range 120 {
		rows += fmt.Sprintf("P-%d,Q,ac3,480,18,2026-03-14,a lot\n", i)
	}
	for range 70 {
		rows += "P-1,Q,ac3,480,18,2026-03-14,20\n"
	}
	_, ps := read(goodPolicy, rows)
	if len(ps) != 100 || ps.Count() != 190 {
		t.Fatalf("%d problems told, %d in all", len(ps), ps.Count())
	}
	all := ps.Error()
	for _, want := range []string{"locations.csv:51: fault_ka: ", "; and 70 more of this kind\n", "; and 20 more of this kind"} {
		if !strings.Contains(all, want) {
			t.Errorf("nothing says %q:\n%s", want, all)
		}
	}
	if strings.Contains(all, "locations.csv:52: fault_ka") {
		t.Error("it tells more than fifty")
	}
	s, _ := read(goodPolicy, strings.Join(strings.Split(rows, "\n")[:121], "\n"))
	for _, l := range s.Locations {
		if len(l.Unreadable) != 1 {
			t.Fatalf("%s does not stop: %v", l.ID, l.Unreadable)
		}
	}
}
