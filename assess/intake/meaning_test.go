package intake

import (
	"fmt"
	"slices"
	"strings"
	"testing"
)

// meanings is what a heading may mean: names, weak ones with a tilde, with the units
// that it names.
func meanings(heading string) string {
	var all []string
	for _, r := range (lexicon{}).readings(heading, "") {
		s := r.name
		if r.weak {
			s = "~" + s
		}
		for _, u := range r.units {
			if r.col == nil {
				break
			}
			s += fmt.Sprintf(" %s", u.Symbol())
		}
		if r.feetInches {
			s += " ft-in"
		}
		all = append(all, s)
	}
	return strings.Join(all, ", ")
}

// What headings of the trade mean, and that those of other things mean nothing.
func TestHeadings(t *testing.T) {
	for heading, want := range map[string]string{
		// voltage
		"Bus kV": "~voltage kV", "kV": "~voltage kV", "V (L-L)": "~voltage V", "kV L-L": "~voltage kV", "Line-to-Line Voltage": "voltage",
		"Nominal Voltage [V]": "voltage V", "V (L-N)": "", "Voltage L-N": "", "Phase-to-Neutral Voltage (V)": "", "Primary Voltage (kV)": "",
		"Rated Voltage (V)": "", "Voltage to Ground": "", "Voltage Rating": "", "Control Voltage": "", "V": "~voltage V",
		// fault
		"Isc (kA)": "fault kA", "Ibf": "fault", "Bolted Fault Current, kA": "fault kA", "Available Short-Circuit Current [A]": "fault A",
		"3-Phase Fault Current": "fault", "Fault (kA)": "~fault kA", "Fault": "", "Arcing Current (kA)": "arcing fault",
		"Fault Current Through Device (kA)": "", "Minimum Fault Current (kA)": "", "Ground Fault Current (kA)": "", "L-G Fault (kA)": "",
		"1-Phase Fault Current": "", "Fault Duty %": "", "Fault X/R": "", "Fault MVA": "", "Bolted Fault MVA": "", "Peak Fault Current (kA)": "",
		// energy
		"Incident Energy (cal/cm2)": "energy cal/cm²", "IE @ WD (cal/cm²)": "energy cal/cm²", "Incident Energy, J/cm^2": "energy J/cm²",
		"Incident Energy": "energy", "cal/cm²": "~energy cal/cm²", "Incident Energy (cal/sq.cm)": "energy cal/cm²", "Incident Energy*": "energy",
		"Incident Energy¹ (cal/cm²)": "energy cal/cm²", "Incident Energy at 18 in (cal/cm2)": "", "Incident Energy at 36 in": "",
		"Reduced Incident Energy": "", "Incident Energy at 85%": "", "Energy (kWh)": "", "Previous Incident Energy": "", "Minimum Incident Energy": "",
		// boundary
		"Arc Flash Boundary (ft-in)": "boundary ft-in", "AFB (ft'-in\")": "boundary ft-in", "Arc Flash Boundary in": "boundary in",
		"Arc Flash Boundary (in/mm)": "boundary in mm", "Arc Flash Boundary, in or mm": "boundary in mm", "Arc Flash Boundary in (mm)": "boundary in mm",
		"Flash Protection Boundary [mm]": "boundary mm", "Limited Approach Boundary (in)": "limited_approach in", "Prohibited Approach Boundary": "",
		"Shock Boundary": "", "Limited Approach Boundary, Movable Conductors": "", "Boundary (in)": "~boundary in", "Approach Boundary": "",
		"Arc Flash Boundary (cal/cm²)": "",
		// distance
		"Working Distance (in)": "distance in", "Working Dist. (cm)": "distance cm", "WD": "distance", "Distance (ft)": "~boundary ft, ~distance ft",
		"Distance to Source (ft)": "", "Cable Length (ft)": "", "Minimum Approach Distance": "",
		// durations
		"Fault Clearing Time in ms": "clear ms", "FCT (cycles)": "clear cycles", "Device's Clearing Time": "clear", "Trip Time (s)": "~clear s",
		"Clearing Time at 85%": "", "Minimum Clearing Time": "", "Breaker Opening Time (ms)": "opening time",
		"Relay Time (s)": "opening time", "Arc Duration at Reduced Current [s]": "clear_reduced s", "Time Delay": "opening time",
		// ratings
		"SCCR (kA)": "rating kA", "Rating": "", "Rating (A)": "", "Rating (kA)": "~rating kA", "Equipment Rating (A)": "", "AIC": "~device_rating, ~rating",
		"kAIC": "~device_rating kA, ~rating kA", "Device AIC (kA)": "device_rating kA", "Bus Rating (A)": "", "Frame (A)": "",
		// texts
		"Bus ID": "id", "Tag No.": "id", "Cable ID": "", "Name": "~equipment, ~id", "Type": "~class", "Source": "~fed_from", "Location": "~area, ~equipment, ~id",
		"Curve": "", "Multiplier": "", "energy_cal_cm2": "energy cal/cm²", "distance_in": "distance in", "rating_a": "rating A", "Accepted By": "",
		"accepted_by": "accepted_by", "Fed From": "fed_from", "Source of Data": "",
	} {
		if got := meanings(heading); got != want {
			t.Errorf("%q means %q, want %q", heading, got, want)
		}
	}
}

// A letter after what is counted is not a unit, nor are a possessive s and a value.
func TestUnitsOfHeadings(t *testing.T) {
	for _, c := range []struct{ column, heading, units string }{
		{"fault", "Bolted Fault Bus A", ""}, {"fault", "Bolted Fault, A", "A"}, {"fault", "Fault A (kA)", "kA"}, {"clear", "Device's Clearing Time", ""},
		{"clear", "Clearing Time, s", "s"}, {"clear", "Clearing Time Phase S", ""}, {"boundary", "Boundary at 18 in", ""}, {"boundary", "Boundary at 18-in", ""},
		{"boundary", "Boundary in Inches", "in"}, {"boundary", "Boundary in mm", "mm"}, {"boundary", "Boundary In", "in"},
		{"boundary", "Boundary millimeters", "mm"}, {"fault", "Fault in amperes", "A"}, {"energy", "Energy calories/cm2", "cal/cm²"},
		{"voltage", "Bus V", "V"}, {"fault", "22 kAIC", ""}, {"rating", "AIC", ""}, {"rating", "kAIC", "kA"},
	} {
		var units []string
		for _, u := range apart(columnNamed(c.column), c.heading).units {
			units = append(units, u.Symbol())
		}
		if got := strings.Join(units, " "); got != c.units {
			t.Errorf("%q as %s names %q, want %q", c.heading, c.column, got, c.units)
		}
	}
}

// A word of the table of columns is canonical only as it is spelled there.
func TestCanonicalHeadings(t *testing.T) {
	for _, heading := range []string{"Distance in", "Rating A", "rating a", "Clear s", "Curve", "Two second reason"} {
		if c, _, ok := canonical(heading); ok {
			t.Errorf("%q is taken for %s", heading, c.Name)
		}
	}
	for _, heading := range []string{"distance_in", "Distance_In", "rating_a", "clear_s", "id", "Area"} {
		if _, _, ok := canonical(heading); !ok {
			t.Errorf("%q is not taken", heading)
		}
	}
	if !slices.Equal(wordsOf("Fault Duty (%)"), []string{"duty", "fault", "percent"}) {
		t.Errorf("%v", wordsOf("Fault Duty (%)"))
	}
}
