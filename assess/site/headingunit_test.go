package site

import (
	"fmt"
	"strings"
	"testing"
)

// An owner's heading must not name another unit than the column that it stands for.
func TestHeadingUnits(t *testing.T) {
	for _, c := range []struct {
		name, heading string
		names         string // the unit that is refused; "" for none
	}{
		{"clear_ms", "Trip (cycles)", "cycles"}, {"clear_ms", "Trip [s]", "s"}, {"clear_ms", "Trip time, sec", "sec"},
		{"clear_ms", "trip_seconds", "seconds"}, {"clear_cycles", "Trip (ms)", "ms"}, {"clear_s", "Clearing Cyc.", "Cyc"},
		{"rating_ka", "SCCR (A)", "A"}, {"rating_ka", "SCCR Amps", "Amps"}, {"rating_a", "AIC kA", "kA"}, {"fault_ka", "Bus fault A", "A"},
		{"rating_ka", "Rating (kAIC), or (A)", ""}, {"voltage_v", "Bus kV", "kV"}, {"voltage_kv", "Bus (V)", "V"},
		{"distance_in", "WD (mm)", "mm"}, {"distance_in", "Distance in mm", "mm"}, {"distance_in", "Distance in feet", "feet"},
		{"distance_mm", "Depth, in", "in"}, {"distance_mm", `WD (")`, `"`}, {"boundary_ft", "AFB (in.)", "in"}, {"gap_mm", "Gap (cm)", "cm"},
		{"energy_cal_cm2", "IE (J/cm²)", "J"}, {"energy_j_cm2", "IE [cal/cm^2]", "cal"}, {"energy_j_cm2", "cal_cm2 at WD", "cal"},
		{"energy_cal_cm2", "IE Joules per cm2", "Joules"},

		{"clear_ms", "Trip", ""}, {"clear_ms", "Trip (ms)", ""}, {"clear_ms", "Trip time in ms", ""}, {"clear_ms", "Trip in msec", ""},
		{"clear_cycles", "Trip (cycles at 60 Hz)", ""}, {"clear_s", "Trip, s", ""}, {"rating_ka", "SCCR at 480 V (kA)", ""},
		{"fault_ka", "Phase A fault, kA", ""}, {"fault_ka", "Fault A (kA)", ""}, {"rating_a", "AIC", ""}, {"rating_a", "AIC (A)", ""},
		{"distance_mm", "Distance in front of the box", ""}, {"distance_in", "Distance in front, inches", ""}, {"distance_in", `WD (")`, ""},
		{"distance_in", "Work dist in", ""}, {"voltage_v", "Nominal VAC", ""}, {"energy_cal_cm2", "Incident Energy (cal/cm²)", ""},
		{"energy_j_cm2", "IE J/cm2", ""}, {"gap_mm", "Gap (millimeters)", ""}, {"equipment", "Equipment A (kA)", ""}, {"multiplier", "Factor (A)", ""},
	} {
		rows := rowWith(",", c.name, map[bool]string{true: "3", false: "25"}[c.name == "multiplier"])
		rows = strings.Replace(rows, c.name, `"`+strings.ReplaceAll(c.heading, `"`, `""`)+`"`, 1)
		_, ps := read(goodPolicy+"[columns]\n"+c.name+" = '"+c.heading+"'\n", rows)
		if c.names == "" {
			if ps != nil {
				t.Errorf("%s = %s: %v", c.name, c.heading, ps)
			}
			continue
		}
		want := fmt.Sprintf("locations.csv:1: %s: found a heading that names %s, expected ", c.heading, c.names)
		if len(ps) != 1 || !strings.HasPrefix(ps[0].String(), want) || !strings.Contains(ps[0].String(), "the unit of "+c.name) {
			t.Errorf("%s = %s: %v\nwant %s", c.name, c.heading, ps, want)
		}
	}
	_, ps := read(goodPolicy+"[columns]\nclear_ms = \"Trip (cycles)\"\n", strings.Replace(rowWith(",", "clear_ms", "3"), "clear_ms", "Trip (cycles)", 1))
	if want := `; if its cells are in cycles, write clear_cycles = "Trip (cycles)" under [columns] in site.toml`; !strings.HasSuffix(ps.Error(), want) {
		t.Errorf("%v, want %s", ps, want)
	}
}
