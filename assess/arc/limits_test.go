package arc

import (
	"errors"
	"math"
	"math/rand/v2"
	"strings"
	"testing"
)

// TestLimits walks over each limit of IEEE 1584-2018 clause 4.2: at it the case is
// computed, beyond it the error names quantity, value and limit.
func TestLimits(t *testing.T) {
	low := Input{VoltageV: 480, FaultKA: 20, GapMM: 25, DistanceMM: 457.2,
		HeightMM: 600, WidthMM: 600, DepthMM: 300, Electrodes: VCB}
	high := Input{VoltageV: 4160, FaultKA: 20, GapMM: 104, DistanceMM: 914.4,
		HeightMM: 1000, WidthMM: 1100, DepthMM: 900, Electrodes: HCB}
	tests := []struct {
		name string
		in   Input
		set  func(in *Input, x float64)
		at   float64 // passes
		past float64 // does not
		want string
	}{
		{"voltage low", low, func(in *Input, x float64) { in.VoltageV = x },
			208, 207.9, "voltage 207.9 V is below the model's 208 V (IEEE 1584-2018 clause 4.2)"},
		{"voltage high", high, func(in *Input, x float64) { in.VoltageV = x },
			15000, 15001, "voltage 15001 V is above the model's 15000 V (IEEE 1584-2018 clause 4.2)"},
		{"fault low, up to 600 V", low, func(in *Input, x float64) { in.FaultKA = x },
			0.5, 0.499, "bolted fault current 0.499 kA is below the model's 0.5 kA"},
		{"fault high, up to 600 V", low, func(in *Input, x float64) { in.FaultKA = x },
			106, 106.1, "bolted fault current 106.1 kA is above the model's 106 kA"},
		{"fault low, above 600 V", high, func(in *Input, x float64) { in.FaultKA = x },
			0.2, 0.199, "bolted fault current 0.199 kA is below the model's 0.2 kA"},
		{"fault high, above 600 V", high, func(in *Input, x float64) { in.FaultKA = x },
			65, 65.1, "bolted fault current 65.1 kA is above the model's 65 kA"},
		{"gap low, up to 600 V", low, func(in *Input, x float64) { in.GapMM = x },
			6.35, 5, "gap 5 mm is below the model's 6.35 mm (IEEE 1584-2018 clause 4.2)"},
		{"gap high, up to 600 V", low, func(in *Input, x float64) { in.GapMM = x },
			76.2, 76.3, "gap 76.3 mm is above the model's 76.2 mm"},
		{"gap low, above 600 V", high, func(in *Input, x float64) { in.GapMM = x },
			19.05, 19, "gap 19 mm is below the model's 19.05 mm"},
		{"gap high, above 600 V", high, func(in *Input, x float64) { in.GapMM = x },
			254, 254.1, "gap 254.1 mm is above the model's 254 mm"},
		{"distance", low, func(in *Input, x float64) { in.DistanceMM = x },
			304.8, 304, "working distance 304 mm is below the model's 304.8 mm"},
		{"width in gaps", low, func(in *Input, x float64) { in.WidthMM = x },
			100, 99.9, "enclosure width 99.9 mm is below the model's 100 mm: 4 gaps (IEEE 1584-2018 clause 4.2)"},
		{"width missing", low, func(in *Input, x float64) { in.WidthMM = x },
			500, 0, "enclosure width is missing"},
		{"height missing", low, func(in *Input, x float64) { in.HeightMM = x },
			500, 0, "enclosure height is missing"},
		{"depth negative", low, func(in *Input, x float64) { in.DepthMM = x },
			0, -1, "enclosure depth -1 mm is not a number above zero"},
		{"electrodes", low, func(in *Input, x float64) { in.Electrodes = Electrodes(x) },
			5, 0, "electrode configuration is missing: VCB,"},
		{"electrodes", low, func(in *Input, x float64) { in.Electrodes = Electrodes(x) },
			1, 6, "electrode configuration is missing"},
		{"fault missing", low, func(in *Input, x float64) { in.FaultKA = x },
			5, 0, "bolted fault current is missing"},
		{"gap negative", low, func(in *Input, x float64) { in.GapMM = x },
			10, -3, "gap -3 mm is not a number above zero"},
		{"distance infinite", low, func(in *Input, x float64) { in.DistanceMM = x },
			1e6, math.Inf(1), "working distance +Inf mm is not a number"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			in := tt.in
			tt.set(&in, tt.at)
			if _, err := Evaluate(&in, 100, 120, nil); err != nil {
				t.Errorf("at %v: %v", tt.at, err)
			}
			if _, err := Currents(&in); err != nil {
				t.Errorf("Currents at %v: %v", tt.at, err)
			}
			tt.set(&in, tt.past)
			res, err := Evaluate(&in, 100, 120, nil)
			if err == nil || res != (Result{}) || !strings.Contains(err.Error(), tt.want) {
				t.Errorf("at %v: %+v, %v, want %q", tt.past, res, err, tt.want)
			}
			var r *Refusal
			if !errors.As(err, &r) {
				t.Errorf("error is not a Refusal: %v", err)
			}
			if a, err := Currents(&in); err == nil || a != (Arcing{}) {
				t.Errorf("Currents at %v: %+v, %v", tt.past, a, err)
			}
		})
	}
}

// TestAllLimits checks that all limits passed are named at once, in a fixed order, and that
// open air asks for no enclosure.
func TestAllLimits(t *testing.T) {
	in := Input{VoltageV: 100, FaultKA: 200, GapMM: 1, DistanceMM: 1,
		HeightMM: -1, WidthMM: 1, DepthMM: math.NaN(), Electrodes: HCB}
	_, err := Prepare(&in, nil)
	var r Refusals
	if !errors.As(err, &r) || len(r) != 7 {
		t.Fatalf("%d refusals: %v", len(r), err)
	}
	want := []string{"voltage", "bolted fault current", "gap", "working distance",
		"enclosure height", "enclosure width", "enclosure depth"}
	for i := range r {
		if r[i].Quantity != want[i] {
			t.Errorf("refusal %d is of %s, want %s", i, r[i].Quantity, want[i])
		}
	}
	if _, err := Evaluate(&Input{}, 0, 0, nil); err == nil || strings.Count(err.Error(), "missing") != 5 {
		t.Errorf("nothing given: %v", err)
	}
	open := Input{VoltageV: 480, FaultKA: 20, GapMM: 25, DistanceMM: 457.2,
		HeightMM: math.NaN(), WidthMM: -1, DepthMM: math.Inf(1), Electrodes: VOA}
	if res, err := Evaluate(&open, 100, 120, nil); err != nil || res.EnclosureFactor != 1 || res.EnclosureIn != 0 {
		t.Errorf("open air: %+v, %v", res, err)
	}
}

// TestDurations checks which durations are refused.
func TestDurations(t *testing.T) {
	in := examples[0].in
	m, err := Prepare(&in, nil)
	if err != nil {
		t.Fatal(err)
	}
	for _, tt := range []struct {
		ms, minMS float64
		want      string
	}{
		{0, 100, "arc duration at the full arcing current is missing"},
		{100, 0, "arc duration at the reduced arcing current is missing: not computed"},
		{-1, 100, "arc duration at the full arcing current -1 ms is not a number"},
		{100, math.NaN(), "arc duration at the reduced arcing current NaN ms is not a number"},
		{math.Inf(1), 100, "arc duration at the full arcing current +Inf ms"},
	} {
		res, err := Evaluate(&in, tt.ms, tt.minMS, nil)
		if err == nil || res != (Result{}) || !strings.Contains(err.Error(), tt.want) {
			t.Errorf("Evaluate with %v, %v = %+v, %v, want %q", tt.ms, tt.minMS, res, err, tt.want)
		}
		if e, err := m.EnergyAt(900, tt.ms, tt.minMS); err == nil || e != 0 || !strings.Contains(err.Error(), tt.want) {
			t.Errorf("EnergyAt with %v, %v = %v, %v, want %q", tt.ms, tt.minMS, e, err, tt.want)
		}
	}
}

// TestNeverNaN throws any numbers at every function: what comes back without an error is
// finite.
func TestNeverNaN(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 5))
	odd := []float64{0, -1, math.NaN(), math.Inf(1), math.Inf(-1),
		math.MaxFloat64, math.SmallestNonzeroFloat64, 1e-300, 1e300}
	pick := func(usual float64) float64 {
		if r.IntN(8) == 0 {
			return odd[r.IntN(len(odd))]
		}
		return usual * (0.5 + r.Float64())
	}
	finite := func(what any, xs ...float64) {
		for _, x := range xs {
			if !(x >= 0 && x <= math.MaxFloat64) {
				t.Fatalf("%+v gives %v", what, xs)
			}
		}
	}
	computed := 0
	for range 200000 {
		in := Input{pick(480), pick(20), pick(25), pick(610), pick(500), pick(500), pick(200), Electrodes(r.IntN(7))}
		ms, minMS := pick(100), pick(120)
		a, err := Currents(&in)
		if err == nil {
			finite(in, a.FullKA, a.ReducedKA, a.Variation)
		}
		m, err := Prepare(&in, nil)
		if err == nil {
			if e, err := m.EnergyAt(pick(900), ms, minMS); err == nil {
				finite(in, e)
			}
		}
		if res, err := Evaluate(&in, ms, minMS, nil); err == nil {
			computed++
			finite(in, resultList(&res)...)
			finite(in, res.Energy, res.Boundary, res.EnclosureIn)
		}
		if p, err := Lee(pick(34500), pick(10), pick(900), ms, nil); err == nil {
			finite(p, p.Energy, p.Boundary)
		}
		if p, err := DCMaxPower(pick(500), pick(10), pick(457), ms, 3, nil); err == nil {
			finite(p, p.Energy, p.Boundary)
		}
	}
	if computed < 10000 {
		t.Errorf("only %d cases were computed", computed)
	}
}

// TestZeroValues checks that what was not prepared refuses and does not panic.
func TestZeroValues(t *testing.T) {
	var m Model
	var c Curve
	for i, err := range []error{
		second(m.EnergyAt(900, 100, 100)),
		second(c.ClearMS(10)),
	} {
		if err == nil || !strings.Contains(err.Error(), "is missing") {
			t.Errorf("%d: %v", i, err)
		}
	}
}

// TestElectrodes checks names and their reading.
func TestElectrodes(t *testing.T) {
	for e := VCB; e <= HOA; e++ {
		if got, ok := ParseElectrodes(e.String()); !ok || got != e {
			t.Errorf("ParseElectrodes(%q) = %v, %v", e.String(), got, ok)
		}
		if e.Enclosed() != strings.Contains(e.String(), "CB") {
			t.Errorf("%v.Enclosed() = %v", e, e.Enclosed())
		}
	}
	for _, s := range []string{"", "vcb", "none", "VCB ", "VCBX"} {
		if _, ok := ParseElectrodes(s); ok {
			t.Errorf("ParseElectrodes(%q) took it", s)
		}
	}
	if s := Electrodes(9).String(); s != "none" {
		t.Errorf("Electrodes(9) = %q", s)
	}
}

// TestExponent checks how the energy falls with the distance where it is a power of it: k12
// of Table 3 up to 600 V, of Table 5 at 14 300 V.
func TestExponent(t *testing.T) {
	for _, tt := range []struct {
		in  Input
		k12 float64
	}{
		{Input{VoltageV: 480, FaultKA: 20, GapMM: 32, DistanceMM: 600, HeightMM: 600, WidthMM: 600, Electrodes: VCB}, -1.598},
		{Input{VoltageV: 14300, FaultKA: 20, GapMM: 152, DistanceMM: 600, Electrodes: HOA}, -1.633},
	} {
		m, err := Prepare(&tt.in, nil)
		if err != nil {
			t.Fatal(err)
		}
		near, err := m.EnergyAt(600, 100, 120)
		far, err2 := m.EnergyAt(1200, 100, 120)
		if got := math.Log2(far / near); err != nil || err2 != nil || math.Abs(got-tt.k12) > 1e-12 {
			t.Errorf("%v: the energy falls with the power %v, want %v", tt.in.Electrodes, got, tt.k12)
		}
	}
}
