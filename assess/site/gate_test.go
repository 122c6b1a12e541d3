package site

import (
	"fmt"
	"maps"
	"regexp"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"vouchmark/assess"
)

// The gate: what once printed a clean label, each as a row of locations.csv
// and a policy, with the finding that must come; and its correct twin, which
// must print without that finding. The rows are invented; package assess names the
// reason for each finding.

// cells are a row by its headings; "" takes a heading's cell away.
type cells map[string]string

// gatePanel is an honest row: a 480 V panel whose study states what IEEE
// 1584-2018 gives, rounded up.
var gatePanel = cells{"id": "PNL-1", "equipment": "Panel", "class": "panelboard", "fed_from": "SWB-1", "supply": "ac3",
	"voltage_v": "480", "fault_ka": "16", "rating_ka": "22", "energy_cal_cm2": "1.53", "boundary_in": "20.6", "distance_in": "18",
	"electrodes": "VCBB", "gap_mm": "25", "height_mm": "355.6", "width_mm": "304.8", "depth_mm": "203.2",
	"clear_ms": "50", "clear_reduced_ms": "50", "device": "breaker 1", "device_at": "SWB-1", "device_rating_ka": "65",
	"surveyed": "2026-02-01", "prepared": "2026-03-14"}

// gateBoard feeds it, and is a source of the site.
var gateBoard = cells{"id": "SWB-1", "equipment": "Switchboard", "class": "switchboard", "supply": "ac3", "voltage_v": "480",
	"fault_ka": "20", "energy_cal_cm2": "9.4", "boundary_in": "72.6", "distance_in": "24", "method": "stated", "prepared": "2026-03-14"}

// bare leaves the panel its results alone.
var bare = cells{"electrodes": "", "gap_mm": "", "height_mm": "", "width_mm": "", "depth_mm": "", "clear_ms": "", "clear_reduced_ms": ""}

// dcBus is a DC panel by the maximum-power method (NFPA 70E D.5).
var dcBus = over(bare, cells{"supply": "dc", "voltage_v": "125", "fault_ka": "4", "clear_ms": "200", "method": "dc-max-power",
	"multiplier": "3", "energy_cal_cm2": "", "boundary_in": "", "accepted_by": "E. Sample, PE", "fed_from": "", "device": "", "device_at": ""})

func over(all ...cells) cells {
	row := cells{}
	for _, c := range all {
		maps.Copy(row, c)
	}
	return row
}

const gatePolicy = `name = "Gate (invented)"
units = "us"
edition = "NFPA 70E-2024"
cutoff_cal_cm2 = 40.0
review_months = 60
`

const gateLadder = `
[[ladder]]
kit = "Kit A"
rating_cal_cm2 = 8.0
wear = ["shirt"]

[[ladder]]
kit = "Kit B"
rating_cal_cm2 = 40.0
wear = ["suit"]
`

// gateSite judges rows by a policy on a day.
func gateSite(t *testing.T, top, tables string, rows ...cells) []assess.Assessment {
	t.Helper()
	s, err := Read(gateFolder(top, tables, rows...), Options{Languages: []string{"en", "es", "fr"}})
	if err != nil {
		t.Fatalf("%v", err)
	}
	day, _ := assess.ParseDate("2026-05-01")
	return s.Assess(day)
}

func gateFolder(top, tables string, rows ...cells) fstest.MapFS {
	var headings []string
	for _, r := range rows {
		for _, h := range slices.Sorted(maps.Keys(r)) {
			if !slices.Contains(headings, h) {
				headings = append(headings, h)
			}
		}
	}
	var b strings.Builder
	b.WriteString(strings.Join(headings, ",") + "\n")
	for _, r := range rows {
		line := make([]string, len(headings))
		for i, h := range headings {
			line[i] = `"` + strings.ReplaceAll(r[h], `"`, `""`) + `"`
		}
		b.WriteString(strings.Join(line, ",") + "\n")
	}
	sources := ""
	if !strings.Contains(top, "sources") {
		sources = "sources = [\"SWB-1\"]\n"
	}
	return fstest.MapFS{"site.toml": {Data: []byte(gatePolicy + sources + top + gateLadder + tables)}, "locations.csv": {Data: []byte(b.String())},
		"curves/fuse.csv":  {Data: []byte("current_a,total_clearing_max_s\n1000,10\n5000,0.1\n10000,0.004\n100000,0.004\n")},
		"curves/slow.csv":  {Data: []byte("current_a,total_clearing_max_s\n100,30\n50000,2\n")},
		"curves/fifty.csv": {Data: []byte("current_a,total_clearing_max_s\n100,0.05\n50000,0.05\n")},
		"curves/high.csv":  {Data: []byte("current_a,total_clearing_max_s\n20000,0.05\n50000,0.05\n")}}
}

// accepting is an [[accept]] for a finding at the panel.
func accepting(code assess.Code) string {
	return fmt.Sprintf("\n[[accept]]\nat = \"PNL-1\"\nfinding = \"%s\"\nby = \"E. Sample, PE\"\ndate = 2026-03-20\nreason = \"seen on site\"\n", code)
}

func TestGate(t *testing.T) {
	for _, c := range []struct {
		name        string
		row         cells // over the panel
		top, tables string
		want        string // level and code
		honest      cells  // over the panel
	}{
		{name: "seconds in the ms column", row: over(bare, cells{"electrodes": "VCBB", "gap_mm": "25", "height_mm": "355.6", "width_mm": "304.8", "depth_mm": "203.2",
			"clear_ms": "0.05", "clear_reduced_ms": "0.05", "energy_cal_cm2": "", "boundary_in": "", "accepted_by": "E"}),
			want: "error duration-too-short", honest: cells{}},
		{name: "7.9 ms", row: over(bare, cells{"clear_ms": "7.9"}), want: "error duration-too-short", honest: over(bare, cells{"clear_ms": "8"})},
		{name: "4 ms without the curve", row: over(bare, cells{"clear_ms": "4", "clear_reduced_ms": "4", "method": "ieee1584-2018", "electrodes": "VCBB", "gap_mm": "25", "height_mm": "355.6", "width_mm": "304.8", "depth_mm": "203.2"}),
			want:   "error duration-too-short",
			honest: over(bare, cells{"clear_ms": "4", "clear_reduced_ms": "4", "curve": "fuse.csv", "method": "ieee1584-2018", "electrodes": "VCBB", "gap_mm": "25", "height_mm": "355.6", "width_mm": "304.8", "depth_mm": "203.2"})},
		{name: "30 ms at 4160 V", row: over(bare, cells{"voltage_v": "4160", "fed_from": "", "device_at": "", "clear_ms": "30", "distance_in": "36", "energy_cal_cm2": "2", "boundary_in": "50"}),
			want: "caution duration-too-short", honest: over(bare, cells{"voltage_v": "4160", "fed_from": "", "device_at": "", "clear_ms": "83", "distance_in": "36", "energy_cal_cm2": "2", "boundary_in": "50"})},
		{name: "mm in the inch column", row: cells{"class": "", "distance_in": "457", "energy_cal_cm2": "", "boundary_in": "", "accepted_by": "E"}, want: "error distance-unusual",
			honest: cells{"class": ""}},
		{name: "72 in at 480 V", row: over(bare, cells{"distance_in": "72", "energy_cal_cm2": "0.4", "boundary_in": "36"}), want: "error distance-unusual", honest: cells{"distance_in": "18"}},
		{name: "11 in", row: over(bare, cells{"distance_in": "11"}), want: "error distance-unusual", honest: over(bare, cells{"distance_in": "12", "boundary_in": "13.6"})},
		{name: "kilovolts in the volts column", row: over(bare, cells{"voltage_v": "13.8", "fed_from": "", "device_at": ""}), want: "error voltage-too-low", honest: cells{}},
		{name: "kilovolts by the class", row: over(bare, cells{"voltage_v": "13.8", "fed_from": "", "device_at": "", "fault_ka": "", "energy_cal_cm2": "0.5", "boundary_in": "10"}),
			want:   "error voltage-too-low",
			honest: over(bare, cells{"voltage_v": "48", "supply": "dc", "class": "battery", "fed_from": "", "device_at": "", "fault_ka": "0.4", "energy_cal_cm2": "0.5", "boundary_in": "10"})},
		{name: "phase to neutral", row: over(bare, cells{"voltage_v": "277", "fed_from": "", "device_at": ""}), want: "error voltage-unusual", honest: over(bare, cells{"voltage_v": "277", "supply": "ac1", "fed_from": "", "device_at": ""})},
		{name: "138 V", row: over(bare, cells{"voltage_v": "138", "fed_from": "", "device_at": ""}), want: "error voltage-unusual", honest: over(bare, cells{"voltage_v": "208", "fed_from": "", "device_at": ""})},
		{name: "amperes in the kA column", row: over(bare, cells{"fault_ka": "22000", "rating_ka": "", "device_rating_ka": ""}), want: "error current-too-high", honest: over(bare, cells{"fault_ka": "20"})},
		{name: "kA in the A column", row: over(bare, cells{"fault_ka": "0.016"}), want: "error current-too-low", honest: over(bare, cells{"fault_ka": "16"})},
		{name: "stated beside inputs that give more", row: cells{"method": "stated", "energy_cal_cm2": "1.0", "boundary_in": "16.5", "clear_ms": "143", "clear_reduced_ms": "143"},
			want: "error understated", honest: cells{"method": "stated"}},
		{name: "one duration missing, the other proves more", row: cells{"energy_cal_cm2": "40", "boundary_in": "125", "clear_ms": "3000", "clear_reduced_ms": ""},
			want: "error understated", honest: cells{"clear_reduced_ms": ""}},
		{name: "VOA in a panelboard", row: cells{"electrodes": "VOA", "energy_cal_cm2": "0.9", "boundary_in": "15"}, want: "error open-air-in-enclosure",
			honest: over(cells{"class": "other", "electrodes": "VOA", "height_mm": "", "width_mm": "", "depth_mm": "", "energy_cal_cm2": "0.9", "boundary_in": "15"})},
		{name: "HOA beside dimensions", row: cells{"class": "", "electrodes": "HOA", "energy_cal_cm2": "2.5", "boundary_in": "28"}, want: "error open-air-in-enclosure", honest: cells{"class": ""}},
		{name: "DC multiplier 1 in a panelboard", row: over(dcBus, cells{"multiplier": "1"}), want: "error open-air-in-enclosure", honest: dcBus},
		{name: "above the equipment's rating", row: cells{"rating_ka": "14"}, want: "error over-rating", honest: cells{"rating_ka": "16"}},
		{name: "above what the device interrupts", row: cells{"device_rating_ka": "14", "device_at": ""}, want: "error over-interrupting", honest: cells{"device_rating_ka": "16", "device_at": ""}},
		{name: "the reduced current clears sooner", row: over(bare, cells{"clear_ms": "100", "clear_reduced_ms": "60"}), want: "caution reduced-clears-sooner", honest: over(bare, cells{"clear_ms": "100", "clear_reduced_ms": "100"})},
		{name: "energy and boundary fall apart", row: over(bare, cells{"energy_cal_cm2": "3.1", "boundary_in": "24.1"}), want: "error distance-exponent", honest: over(bare, cells{"energy_cal_cm2": "3.1", "boundary_in": "31.4"})},
		{name: "feet and inches read as decimal feet", row: over(bare, cells{"energy_cal_cm2": "6.6", "boundary_in": "3.1 ft"}), want: "error distance-exponent", honest: over(bare, cells{"energy_cal_cm2": "6.6", "boundary_in": "46.4"})},
		{name: "by the rounding of two digits", row: over(bare, cells{"energy_cal_cm2": "1.60", "boundary_in": "19.3"}), want: "error distance-exponent", honest: over(bare, cells{"energy_cal_cm2": "1.6", "boundary_in": "20"})},
		{name: "an owner's row of 1 in", row: over(bare, cells{"voltage_v": "34500", "fed_from": "", "device_at": "", "distance_in": "36", "energy_cal_cm2": "5.2", "boundary_in": "77.6", "clear_ms": ""}),
			tables: "\n[[approach]]\nsupply = \"ac\"\nabove_v = 15000\nupto_v = 36000\nlimited_in = 1\nrestricted_in = 0.5\nsource = \"invented\"\n",
			want:   "error approach-too-near", honest: cells{}},
		{name: "400 Hz", row: cells{"frequency_hz": "400"}, want: "error frequency", honest: cells{"frequency_hz": "400", "method": "stated"}},
		{name: "the study of 2002", row: over(bare, cells{"edition": "IEEE 1584-2002"}), want: "caution old-method", honest: over(bare, cells{"edition": "IEEE 1584-2018"})},
		{name: "a Spanish label with an English list", row: cells{}, top: "languages = [\"es\"]\n", want: "caution wear-untranslated"},
		{name: "the energy above a value", row: over(bare, cells{"energy_cal_cm2": "> 12", "boundary_in": "90"}), want: "error bound-below-cutoff", honest: over(bare, cells{"energy_cal_cm2": "> 40", "boundary_in": "200"})},
		{name: "a large energy beside the recomputed boundary", row: cells{"energy_cal_cm2": "39", "boundary_in": "", "clear_ms": "30", "clear_reduced_ms": "30", "accepted_by": "E"},
			want: "error no-results", honest: cells{"energy_cal_cm2": "", "boundary_in": "", "accepted_by": "E"}},
		{name: "above 40 beside the recomputed boundary", row: cells{"energy_cal_cm2": "> 40", "boundary_in": "", "clear_ms": "143", "clear_reduced_ms": "143", "accepted_by": "E"},
			want: "error no-results", honest: cells{"energy_cal_cm2": "> 40", "boundary_in": "150", "clear_ms": "143", "clear_reduced_ms": "143"}},
		{name: "a curve that is slower than the row", row: cells{"curve": "slow.csv"}, want: "error understated", honest: cells{"curve": "fifty.csv"}},
		{name: "a curve beside a stated result", row: cells{"curve": "slow.csv", "method": "stated"}, want: "error understated", honest: cells{"curve": "fifty.csv", "method": "stated"}},
		{name: "a stated result below the curve", row: cells{"curve": "high.csv", "method": "stated"}, want: "error may-not-clear", honest: cells{"curve": "fifty.csv", "method": "stated"}},
		{name: "Lee at 480 V", row: cells{"method": "lee", "energy_cal_cm2": "0.5", "boundary_in": "11.5"}, want: "error method-unfit", honest: cells{}},
		{name: "the DC method on AC", row: cells{"method": "dc-max-power", "multiplier": "3"}, want: "error method-unfit", honest: cells{}},
		{name: "a lost decimal near 1.2", row: over(bare, cells{"energy_cal_cm2": "1.09", "boundary_in": "66"}), want: "error distance-exponent", honest: over(bare, cells{"energy_cal_cm2": "10.9", "boundary_in": "66"})},
		{name: "three phases under 50 V", row: over(bare, cells{"voltage_v": "13.8", "class": "other", "fault_ka": "", "fed_from": "", "device_at": "", "energy_cal_cm2": "1.1", "boundary_in": "17"}),
			want: "error voltage-too-low", honest: cells{}},
		{name: "an amendment of the study of 2002", row: over(bare, cells{"edition": "IEEE 1584a-2004"}), want: "caution old-method", honest: over(bare, cells{"edition": "IEEE 1584-2018"})},
		{name: "a quick fuse without its curve", row: over(bare, cells{"clear_ms": "4"}), want: "error duration-too-short", honest: over(bare, cells{"clear_ms": "4", "curve": "fuse.csv"})},
		{name: "the owner lets the row's own durations govern against the curve", row: cells{"curve": "slow.csv", "energy_cal_cm2": "160", "boundary_in": "260"},
			top: "govern = \"computed\"\ngovern_accepted_by = \"E\"\ngovern_reason = \"x y\"\ngovern_date = 2026-03-01\n", want: "error understated", honest: cells{"curve": "fifty.csv"}},
		{name: "DC in a panelboard without a multiplier", row: over(dcBus, cells{"method": "stated", "multiplier": "", "energy_cal_cm2": "0.5", "boundary_in": "11.6", "clear_ms": "400", "voltage_v": "250"}),
			want: "error understated", honest: dcBus},
		{name: "above a value just below the cutoff", row: over(bare, cells{"energy_cal_cm2": "> 39.95", "boundary_in": "200"}), want: "error bound-below-cutoff",
			honest: over(bare, cells{"energy_cal_cm2": "> 40", "boundary_in": "200"})},
		{name: "no fed_from", row: over(bare, cells{"fed_from": "", "device_at": ""}), want: "caution no-feeds", honest: over(bare, cells{})},
		{name: "a device downstream", row: over(bare, cells{"device_at": "LP-1"}), want: "error device-not-upstream", honest: over(bare, cells{})},
		{name: "a word in a number cell", row: over(bare, cells{"energy_cal_cm2": "Danger"}), want: "error unreadable", honest: over(bare, cells{})},
		{name: "N/A as a date", row: over(bare, cells{"surveyed": "#N/A"}), want: "error unreadable", honest: over(bare, cells{"fault_ka": "N/A", "rating_ka": "TBD"})},
	} {
		t.Run(c.name, func(t *testing.T) {
			below := cells{"id": "LP-1", "equipment": "Panel", "fed_from": "PNL-1", "supply": "ac3", "voltage_v": "480", "energy_cal_cm2": "0.4",
				"boundary_in": "10", "distance_in": "18", "method": "stated", "prepared": "2026-03-14"}
			level, code, _ := strings.Cut(c.want, " ")
			of := func(row cells, tables string) *assess.Assessment {
				t.Helper()
				return &gateSite(t, c.top, tables, over(gatePanel, row), gateBoard, below)[0]
			}
			for _, u := range []assess.Units{assess.US, assess.SI, assess.Both} {
				inUnits(t, u, c.top, c.tables, over(gatePanel, c.row), gateBoard, below)
			}
			a := of(c.row, c.tables)
			if f := findingOf(a, assess.Code(code)); f == nil || string(f.Level) != level || f.Message == "" || f.Line != 2 {
				t.Errorf("found %v, want %s", said(a), c.want)
			}
			if stops := level == "error"; a.Prints() == stops {
				t.Errorf("prints: %v with %v", a.Prints(), said(a))
			}
			if c.honest != nil {
				if a := of(c.honest, ""); findingOf(a, assess.Code(code)) != nil || !a.Prints() {
					t.Errorf("its honest twin: %v", said(a))
				}
			}
			// What may be accepted prints then as a caution, and what may not stays.
			if code := assess.Code(code); level == "error" && code.Acceptable() {
				a := of(c.row, c.tables+accepting(code))
				if code == assess.OpenAirInEnclosure && c.row["supply"] == "dc" || code == assess.DeviceNotUpstream {
					if a.Prints() {
						t.Errorf("%s was accepted, which nobody can", code)
					}
				} else if f := findingOf(a, code); f == nil || f.Level != assess.Caution || f.AcceptedBy != "E. Sample, PE" {
					t.Errorf("accepted: %v", said(a))
				}
			}
		})
	}
}

// inUnits checks that findings spell energies and lengths in the units of the site:
// cal/cm² and inches, J/cm² and mm, or both. 1.2 cal/cm² and the cutoff are in
// cal/cm² on every label, and gaps and enclosures in mm.
func inUnits(t *testing.T, u assess.Units, top, tables string, rows ...cells) {
	t.Helper()
	folder := gateFolder(top, tables, rows...)
	policy := folder["site.toml"]
	policy.Data = []byte(strings.Replace(string(policy.Data), `units = "us"`, `units = "`+string(u)+`"`, 1))
	s, err := Read(folder, Options{Languages: []string{"en", "es", "fr"}})
	if err != nil {
		t.Fatal(err)
	}
	day, _ := assess.ParseDate("2026-05-01")
	for _, a := range s.Assess(day) {
		for _, f := range a.Findings {
			if f.Code == assess.Unreadable || f.Code == assess.MethodLimits || f.Code == assess.TypicalValues || f.Field == "gap_mm" {
				continue
			}
			text := eitherWay.ReplaceAllString(f.Message, "")
			cal, joule := strings.Count(text, "cal/cm²"), strings.Count(text, "J/cm²")
			inches, mm := len(inInches.FindAllString(text, -1)), len(inMM.FindAllString(text, -1))
			switch {
			case u == assess.US && joule+mm > 0, u == assess.SI && inches > 0, u != assess.US && cal != joule, u == assess.Both && inches != mm:
				t.Errorf("units %s: %s", u, f.Message)
			}
		}
	}
}

var (
	eitherWay = regexp.MustCompile(`(?:above|below|about) 1\.2 cal/cm²|cutoff of [\d.]+ cal/cm²`)
	inInches  = regexp.MustCompile(`\d in\b`)
	inMM      = regexp.MustCompile(`\d mm\b`)
)

func findingOf(a *assess.Assessment, code assess.Code) *assess.Finding {
	if i := slices.IndexFunc(a.Findings, func(f assess.Finding) bool { return f.Code == code }); i >= 0 {
		return &a.Findings[i]
	}
	return nil
}

// said are the findings in short.
func said(a *assess.Assessment) []string {
	var all []string
	for _, f := range a.Findings {
		all = append(all, fmt.Sprintf("%s %s: %s", f.Level, f.Code, f.Message))
	}
	return all
}

// What needs several rows: operating conditions, the maintenance switch, ties.
// An empty want is honest data that was refused once.
func TestGateRows(t *testing.T) {
	of := func(id string, all ...cells) cells {
		return over(append([]cells{gatePanel, bare, {"id": id}}, all...)...)
	}
	normal := of("PNL-1", cells{"case": "normal"})
	board := func(id, from, other, mode string, fault string) cells {
		return over(gateBoard, cells{"id": id, "case": mode, "fed_from": from, "tied_to": other, "fault_ka": fault})
	}
	source := func(id string) cells { return over(gateBoard, cells{"id": id, "fault_ka": "20"}) }
	const sources = "sources = [\"SWB-1\", \"T-1\", \"T-2\"]\n"
	for _, c := range []struct {
		name, want string
		rows       []cells
	}{
		{"electrodes differ by case", "", []cells{over(gatePanel, cells{"case": "as built"}),
			over(gatePanel, cells{"case": "door open", "electrodes": "HCB", "energy_cal_cm2": "3.3", "boundary_in": "28.6"}), gateBoard}},
		{"gap and enclosure differ by case", "", []cells{over(gatePanel, cells{"case": "bus"}),
			over(gatePanel, cells{"case": "lugs", "gap_mm": "32", "depth_mm": "254", "energy_cal_cm2": "1.9", "boundary_in": "23"}), gateBoard}},
		{"cases that disagree in voltage", "bad input", []cells{normal, of("PNL-1", cells{"case": "other", "voltage_v": "208"}), gateBoard}},
		{"main-tie-main", "", []cells{source("T-1"), source("T-2"), board("A", "T-1", "", "tie open", "19"), board("A", "T-1", "B", "tie closed", "38"),
			board("B", "T-2", "", "tie open", "19"), board("B", "T-2", "A", "tie closed", "38"), gateBoard}},
		{"more than both sides give", "error fault-beyond-source", []cells{board("A", "T-1", "B", "tie closed", "70"), board("B", "T-2", "A", "tie closed", "70"),
			source("T-1"), source("T-2"), gateBoard}},
		{"the switch alone", "error maintenance-alone", []cells{of("PNL-1", cells{"mode": "maintenance"}), gateBoard}},
		{"worse with the switch on", "error maintenance-worse", []cells{of("PNL-1", cells{"case": "on", "mode": "maintenance", "energy_cal_cm2": "3.1", "boundary_in": "31.4"}), normal, gateBoard}},
		{"the switch in one condition", "caution maintenance-partial", []cells{of("PNL-1", cells{"case": "on", "mode": "maintenance", "fault_ka": "9", "energy_cal_cm2": "0.5", "boundary_in": "10.8"}), normal, gateBoard}},
		{"DANGER except with a switch without a name", "error maintenance-unnamed", []cells{over(normal, cells{"energy_cal_cm2": "60", "boundary_in": "154"}),
			of("PNL-1", cells{"case": "on", "mode": "maintenance", "energy_cal_cm2": "0.5", "boundary_in": "10.8", "device": "", "device_at": ""}), gateBoard}},
		{"the switch on", "", []cells{normal, of("PNL-1", cells{"case": "on", "mode": "maintenance", "energy_cal_cm2": "0.5", "boundary_in": "10.8"}), gateBoard}},
		{"a feed from below", "error feed-loop", []cells{of("PNL-1", cells{"fed_from": "PNL-2", "device_at": ""}), of("PNL-2", cells{"fed_from": "PNL-1", "device_at": ""}), gateBoard}},
		{"the feed turned around in another case", "", []cells{of("PNL-1", cells{"case": "a"}), of("PNL-1", cells{"case": "b", "fed_from": "PNL-2"}),
			of("PNL-2", cells{"case": "a", "fed_from": "PNL-1"}), of("PNL-2", cells{"case": "b"}), gateBoard}},
		{"a device across the tie", "error device-not-upstream", []cells{board("A", "T-1", "B", "", "20"), over(board("B", "T-2", "A", "", "20"), cells{"device": "relay", "device_at": "T-1"}),
			source("T-1"), source("T-2"), gateBoard}},
		{"a place that only feeds others", "", []cells{{"id": "UTL-1", "equipment": "Utility", "supply": "ac3", "voltage_v": "480", "label": "no"}, of("PNL-1", cells{"fed_from": "UTL-1", "device_at": "UTL-1"}), gateBoard}},
		{"less than the transformer lets through", "caution fault-below-transformer", []cells{over(source("T-1"), cells{"fault_ka": "9"}), gateBoard}},
		{"a breaker behind a generator", "caution source-limited", []cells{of("PNL-1", cells{"fed_from": "T-1", "device_at": "T-1", "clear_ms": "50", "note": "standby generator"}), source("T-1"), gateBoard}},
	} {
		t.Run(c.name, func(t *testing.T) {
			const tables = "\n[[transformer]]\nat = \"T-1\"\nkva = 1000\nimpedance_percent = 5.75\nsecondary_v = 480\n"
			folder := gateFolder(sources, tables, append(c.rows, missing(c.rows, source("T-1"), source("T-2"))...)...)
			s, err := Read(folder, Options{})
			if c.want == "bad input" {
				if err == nil || !strings.Contains(err.Error(), "voltage_v") {
					t.Errorf("%v", err)
				}
				return
			}
			if err != nil {
				t.Fatal(err)
			}
			day, _ := assess.ParseDate("2026-05-01")
			level, code, _ := strings.Cut(c.want, " ")
			found := false
			for _, a := range s.Assess(day) {
				if f := findingOf(&a, assess.Code(code)); f != nil && string(f.Level) == level {
					found = true
				}
				if level == "" && !a.Location.Unlabeled && !a.Prints() {
					t.Errorf("%s: %v", a.Location.ID, said(&a))
				}
			}
			if found != (level != "") {
				for _, a := range s.Assess(day) {
					t.Errorf("%s: %v", a.Location.ID, said(&a))
				}
			}
		})
	}
}

// missing are the rows whose ids are not among others.
func missing(rows []cells, more ...cells) []cells {
	return slices.DeleteFunc(more, func(m cells) bool {
		return slices.ContainsFunc(rows, func(r cells) bool { return r["id"] == m["id"] })
	})
}
