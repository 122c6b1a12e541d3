package site

import (
	"errors"
	"strings"
	"testing"
	"testing/fstest"

	"vouchmark/assess"
)

// devices reads a site of the one location P-1 with a devices.csv.
func devices(file string) ([]assess.Device, Problems) {
	s, err := Read(fstest.MapFS{"site.toml": {Data: []byte(goodPolicy)}, "locations.csv": {Data: []byte(goodRows)},
		"devices.csv": {Data: []byte(file)}}, Options{Languages: []string{"en", "es", "fr"}})
	var ps Problems
	errors.As(err, &ps)
	return s.Devices, ps
}

func TestDevices(t *testing.T) {
	for name, file := range map[string]string{
		"comma":     "device,at,maintained,interval_months,result,by,note\n breaker  2 ,P-1,2025-06-10,36,Failed,Example,trips late\nfuse,P-1,,,,,\n",
		"semicolon": "\ufeffAt;Device;Result;interval months;note;by;maintained\r\nP-1;breaker 2;FAILED;36;trips late;Example;2025-06-10\r\n\r\nP-1;fuse;;;;;\r\n",
		"tab":       "at\tdevice\tnote\tby\tinterval_months\tmaintained\tresult\nP-1\tbreaker 2\ttrips late\tExample\t36\t2025-06-10\tfailed\nP-1\tfuse\t\t\t\t\t\n",
	} {
		got, ps := devices(file)
		if ps != nil || len(got) != 2 {
			t.Errorf("%s: %+v %v", name, got, ps)
			continue
		}
		got[0].Line, got[1].Line = 2, 3
		day, err := assess.ParseDate("2025-06-10")
		if err != nil {
			t.Fatal(err)
		}
		want := assess.Device{Name: "breaker 2", At: "P-1", Maintained: day, IntervalMonths: 36, Failed: true,
			By: "Example", Note: "trips late", Line: 2}
		if got[0] != want || got[1] != (assess.Device{Name: "fuse", At: "P-1", Line: 3}) {
			t.Errorf("%s: %+v", name, got)
		}
	}
	if got, ps := devices("device,at\n"); got != nil || ps != nil {
		t.Errorf("no device: %+v %v", got, ps)
	}
}

// Dates are written as in locations.csv, and [defaults] is for that file alone.
func TestDevicesByPolicy(t *testing.T) {
	const rows = "device,at,maintained,result\nfuse,P-1,6/10/2025,passed\n"
	site := func(policy string) ([]assess.Device, error) {
		s, err := Read(fstest.MapFS{"site.toml": {Data: []byte(policy)}, "locations.csv": {Data: []byte(goodRows)},
			"devices.csv": {Data: []byte(rows)}}, Options{Languages: []string{"en", "es", "fr"}})
		return s.Devices, err
	}
	got, err := site("date_form = \"m/d/y\"\n" + goodPolicy + "\n[defaults]\nnote = \"by default\"\n")
	if err != nil || got[0].Maintained.String() != "2025-06-10" || got[0].Note != "" {
		t.Errorf("%+v %v", got, err)
	}
	if _, err := site(goodPolicy); err == nil || !strings.Contains(err.Error(), "date_form") {
		t.Errorf("6/10/2025 without date_form: %v", err)
	}
}

// Every problem has its line and column, and none hides another.
func TestDevicesRefused(t *testing.T) {
	for row, want := range map[string]string{
		"breaker 2,P-9,,,,,":              `devices.csv:2: at: found "P-9", expected the id of a location in locations.csv`,
		"breaker 2,,,,,,":                 "devices.csv:2: at: found an empty cell",
		",P-1,,,,,":                       "devices.csv:2: device: found an empty cell",
		"breaker 2,P-1,2025-02-30,,,,":    `devices.csv:2: maintained: found "2025-02-30"`,
		"breaker 2,P-1,N/A,36,,,":         `devices.csv:2: maintained: found "N/A"`,
		"breaker 2,P-1,,many,,,":          `devices.csv:2: interval_months: found "many"`,
		"breaker 2,P-1,,36.5,,,":          `devices.csv:2: interval_months: found "36.5", expected a whole number of months`,
		"breaker 2,P-1,,0,,,":             `devices.csv:2: interval_months: found "0"`,
		"breaker 2,P-1,,601,,,":           `devices.csv:2: interval_months: found "601"`,
		"breaker 2,P-1,2025-06-10,,ok,,":  `devices.csv:2: result: found "ok", expected one of passed, failed`,
		"breaker 2,P-1,2025-06-10,36,,,":  "devices.csv:2: result: found an empty cell, expected passed or failed",
		"breaker 2,P-1,,36,failed,,":      "devices.csv:2: maintained: found an empty cell, expected the date of the result",
		"breaker 2,P-1,,,,,,":             "devices.csv:2: found 8 cells, expected 7",
		"fuse,P-1,,,,,\nFuse,P-1,,,,,":    `devices.csv:3: device: found "Fuse", expected each device once at a place; line 2 already has it at P-1`,
		"fuse,P-9,,x,,,\nfuse,P-8,,y,,,,": "devices.csv:2: ",
	} {
		_, ps := devices("device,at,maintained,interval_months,result,by,note\n" + row + "\n")
		if !strings.Contains(ps.Error(), want) {
			t.Errorf("%s:\n%v\nwant %s", row, ps, want)
		}
		if ps == nil {
			t.Errorf("%s passes", row)
		}
	}
	for heading, want := range map[string]string{
		"device,maintained":       "devices.csv:1: at: found no such column",
		"device,at,last_tested":   "devices.csv:1: last_tested: found an unknown column, expected one of device, at, maintained, interval_months",
		"device,at,at":            "devices.csv:1: at: found a second column for at",
		"device,at,interval":      "devices.csv:1: interval: found an unknown column",
		"":                        "devices.csv: found no heading line",
		"device,at,\"maintained":  "devices.csv:1: character",
		"device,at,interval_days": "devices.csv:1: interval_days: found an unknown column",
	} {
		if _, ps := devices(heading + "\n"); !strings.Contains(ps.Error(), want) {
			t.Errorf("%q:\n%v\nwant %s", heading, ps, want)
		}
	}
}

// A starter's policy says which lines to read, and an owner's says nothing.
func TestStarterPolicy(t *testing.T) {
	s, ps := read("starter = true\n"+goodPolicy, goodRows)
	want := "read lines 4 (edition), 5 (cutoff_cal_cm2), 6 (review_months) and 8 to 17 (the ladder) of site.toml"
	if why := s.Policy.Stopped(); ps != nil || !strings.Contains(why, want) || !strings.Contains(why, "delete line 1 (starter = true)") {
		t.Errorf("%v\n%s", ps, why)
	}
	for _, p := range []string{goodPolicy, "starter = false\n" + goodPolicy} {
		if s, ps := read(p, goodRows); ps != nil || s.Policy.Stopped() != "" {
			t.Errorf("%v %s", ps, s.Policy.Stopped())
		}
	}
	if _, ps := read("starter = \"yes\"\n"+goodPolicy, goodRows); ps == nil {
		t.Error("starter = \"yes\" passes")
	}
}
