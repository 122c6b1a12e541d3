package assess

import (
	"math"
	"reflect"
	"slices"
	"strings"
	"testing"

	"vouchmark/assess/arc"
	"vouchmark/assess/shock"
)

// medium is the equipment of IEEE Std 1584-2018 Annex D.1.
func medium() Location {
	return Location{ID: "M", Supply: shock.AC3, Voltage: 4160, Distance: 914.4,
		Cases: []Case{{Electrodes: "VCB", Gap: 104, Height: 1143, Width: 762, Depth: 508, Method: IEEE1584, Fault: 15, Clear: 197, ClearReduced: 223}}}
}

func lee() Location {
	return Location{ID: "L", Supply: shock.AC3, Voltage: 34500, Distance: 914.4, Cases: []Case{{Method: Lee, Fault: 12, Clear: 250}}}
}

func battery() Location {
	return Location{ID: "B", Supply: shock.DC, Voltage: 250, Distance: 457.2, Cases: []Case{{Method: DCMaxPower, Fault: 7, Clear: 2000, Multiplier: 3}}}
}

// kinds is a location of each method, and one whose durations come from a
// curve.
func kinds(t *testing.T) (map[string]Location, *Site) {
	t.Helper()
	curve := &Curve{File: "a.csv", Points: []arc.Point{{CurrentA: 5000, TimeS: 2}, {CurrentA: 60000, TimeS: 0.05}}}
	var err error
	if curve.Curve, err = arc.NewCurve(curve.Points, true, true, 0); err != nil {
		t.Fatal(err)
	}
	s := &Site{Curves: map[string]*Curve{"a.csv": curve}}
	read := board()
	read.Cases[0].Clear, read.Cases[0].ClearReduced, read.Cases[0].Curve = 0, 0, "a.csv"
	open := board()
	open.Cases[0].Electrodes, open.Voltage = "HOA", 208
	between := medium()
	between.Cases[0].Electrodes, between.Voltage = "HCB", 2000
	return map[string]Location{"D.2": board(), "D.1": medium(), "between 600 and 2700 V": between, "open air": open, "curve": read, "Lee": lee(), "DC": battery()}, s
}

func spread(from, to MM, n int) []MM {
	var all []MM
	for i := range n {
		all = append(all, from*MM(math.Pow(float64(to/from), float64(i)/float64(n-1))))
	}
	return all
}

// A point is what Compute gives for a location with that working distance.
func TestEnergyOverIsCompute(t *testing.T) {
	all, s := kinds(t)
	for name, l := range all {
		before := l
		before.Cases = slices.Clone(l.Cases)
		distances := spread(304.8, 12000, 40)
		points, why := EnergyOver(inputs(s, &l), &l.Cases[0], distances)
		if why != "" || len(points) != len(distances) {
			t.Fatalf("%s: %d points, %s", name, len(points), why)
		}
		if !reflect.DeepEqual(before, l) {
			t.Errorf("%s: the location was changed", name)
		}
		for i, p := range points {
			at := l
			at.Distance = distances[i]
			r, why, _ := Compute(inputs(s, &at), &at.Cases[0])
			if r == nil || p.Distance != distances[i] || math.Abs(float64(p.Energy-r.Energy)) > 1e-9*float64(r.Energy) {
				t.Errorf("%s at %v mm: %v, Compute %+v %s", name, distances[i], p.Energy, r, why)
			}
		}
	}
}

// Up to 600 V the energy is a power of the distance (IEEE 1584-2018 eq. 6,
// Table 3), and by Lee and for DC it falls with the square; above 600 V it is
// an interpolation between powers (eq. 3 to 5, 19 to 21), and still falls.
func TestEnergyOverIsAPower(t *testing.T) {
	all, s := kinds(t)
	for name, k := range map[string]float64{"D.2": -1.598, "open air": -1.99, "curve": -1.598, "Lee": -2, "DC": -2, "D.1": 0, "between 600 and 2700 V": 0} {
		l := all[name]
		points, _ := EnergyOver(inputs(s, &l), &l.Cases[0], spread(304.8, 9000, 33))
		for i, p := range points[1:] {
			want := float64(points[0].Energy) * math.Pow(float64(p.Distance/points[0].Distance), k)
			if k != 0 && math.Abs(float64(p.Energy)-want) > 1e-8*want { // both are rounded to 9 digits, each by 5e-9 at most
				t.Errorf("%s at %v mm: %v, the power gives %v", name, p.Distance, p.Energy, want)
			}
			if p.Energy >= points[i].Energy {
				t.Errorf("%s: %v after %v", name, p, points[i])
			}
		}
	}
}

// IEEE 1584-2018 Annex D.1 and D.2 print 13.343 and 53.156 J/cm² at the working
// distance and boundaries of 1704 and 2669 mm, at which 1.2 cal/cm² are left.
// Above 600 V the boundary is interpolated on its own (eq. 22 to 24) and the
// energy there only near.
func TestEnergyOverMeetsAnnexD(t *testing.T) {
	for _, c := range []struct {
		l                Location
		joules, boundary float64
		near             float64
	}{{medium(), 13.343, 1704, 0.005}, {board(), 53.156, 2669, 0.0005}} {
		points, why := EnergyOver(inputs(&Site{}, &c.l), &c.l.Cases[0], []MM{c.l.Distance, MM(c.boundary)})
		if len(points) != 2 || math.Abs(float64(points[0].Energy)*JoulePerCal-c.joules) > 0.0005 || math.Abs(float64(points[1].Energy/Threshold)-1) > c.near {
			t.Errorf("%v V: %v %s, want %v J/cm² and 1.2 cal/cm²", c.l.Voltage, points, why, c.joules)
		}
	}
}

func TestEnergyOverHasNoNumber(t *testing.T) {
	near := []MM{0, -5, 100, 304.7, 304.8, MM(math.NaN()), MM(math.Inf(1)), 1000}
	for _, c := range []struct {
		name string
		l    Location
		edit func(*Location)
		n    int
		why  string
	}{
		{"IEEE 1584 is not published nearer than 304.8 mm", board(), func(l *Location) {}, 2, ""},
		{"a point source has no such limit", battery(), func(l *Location) {}, 4, ""},
		{"stated", board(), func(l *Location) { l.Cases[0].Method = Stated }, 0, "only the study's own result"},
		{"no duration", board(), func(l *Location) { l.Cases[0].ClearReduced = 0 }, 0, "no arc duration at the reduced arcing current"},
		{"working distance outside", board(), func(l *Location) { l.Distance = 300 }, 0, "working distance 300 mm is below"},
		{"DC on AC", battery(), func(l *Location) { l.Supply = shock.AC3 }, 0, "the supply is ac3"},
		{"IEEE 1584 on DC", board(), func(l *Location) { l.Supply = shock.DC }, 0, "the supply is dc"},
		{"Lee below 15 kV", lee(), func(l *Location) { l.Voltage = 4160 }, 0, "is below 15000 V"},
		{"Lee without duration", lee(), func(l *Location) { l.Cases[0].Clear = 0 }, 0, "no arc duration"},
	} {
		c.edit(&c.l)
		points, why := EnergyOver(inputs(&Site{}, &c.l), &c.l.Cases[0], near)
		if len(points) != c.n || (c.why == "") != (why == "") || !strings.Contains(why, c.why) {
			t.Errorf("%s: %d points, %q; want %d, %q", c.name, len(points), why, c.n, c.why)
		}
		if _, reason, _ := Compute(inputs(&Site{}, &c.l), &c.l.Cases[0]); reason != why {
			t.Errorf("%s: Compute says %q, EnergyOver %q", c.name, reason, why)
		}
	}
}
