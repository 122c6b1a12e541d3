package arc

import (
	"math"
	"strconv"
	"strings"
	"testing"
)

// TestAppendixE is the worked lookup of 29 CFR 1910.269 Appendix E: 12 470 V, 8 kA, 10
// cycles is 4 cal/cm2 or less. Its Table 6 holds single-phase arcs to ground in open air,
// at 15 in and with an arc gap of 2 in (both from memory). Vertical conductors in open air
// come nearest in IEEE Std 1584-2018, whose clause 4.11 lets its three-phase equations
// stand in for one phase. The table prints steps: the one below is not reached at half
// the energy, so the result must lie in the upper half of the step.
func TestAppendixE(t *testing.T) {
	const cycles = 1000.0 / 60
	in := &Input{VoltageV: 12470, FaultKA: 8, GapMM: 2 * 25.4, DistanceMM: 15 * 25.4, Electrodes: VOA}
	r, err := Evaluate(in, 10*cycles, 10*cycles, nil)
	if err != nil || r.Energy > 4 || r.Energy < 2 {
		t.Errorf("%v cal/cm2, %v; want 4 or less, and more than 2", r.Energy, err)
	}
}

const footMM = 304.8 // mm, exactly

// TestLeeBoundary is the example of NFPA 70E Annex D, from memory: Dc = sqrt(2.65 MVAbf t)
// in ft with 4.16 kV, 25 kA, 0.1 s gives 6.9 ft. Lee itself is refused at 4.16 kV, so that
// the equations beneath it are checked.
func TestLeeBoundary(t *testing.T) {
	d := leeBoundary(4.16, 25, 0.1, 1.2*4.184)
	if got := strconv.FormatFloat(d/footMM, 'f', 1, 64); got != "6.9" {
		t.Errorf("boundary = %s ft, want 6.9", got)
	}
	mva := math.Sqrt(3) * 4.16 * 25
	if got := math.Sqrt(2.65*mva*0.1) * footMM; relative(got, d) > 0.005 {
		t.Errorf("boundary = %v mm, MVA form %v mm", d, got)
	}
}

// TestLeeInchForm compares with the inch form of NFPA 70E Annex D, 793 F V t / D^2 in
// cal/cm2, F in kA, V in kV, D in in.
func TestLeeInchForm(t *testing.T) {
	p, err := Lee(34500, 12, 1828.8, 250, nil)
	if err != nil {
		t.Fatal(err)
	}
	want := 793 * 12 * 34.5 * 0.25 / (72 * 72.0)
	if relative(p.Energy, want) > 0.001 {
		t.Errorf("Lee = %v cal/cm2, inch form %v", p.Energy, want)
	}
	if at, err := Lee(34500, 12, p.Boundary, 250, nil); err != nil || relative(at.Energy, 1.2) > 1e-12 {
		t.Errorf("energy at the boundary = %v, %v", at.Energy, err)
	}
	if p.Cautions != CautionLee || !strings.Contains(p.Cautions.List()[0], "2 cal/cm²") {
		t.Errorf("cautions = %q", p.Cautions.List())
	}
}

// TestDCTable checks that the maximum-power method, with 2 s and 1.2 cal/cm2, gives the
// boundaries on which the DC category table of NFPA 70E is based: rounded to whole feet 3, 4,
// 6 at 250 V and 3, 4, 6, 8 at 600 V. The two-decimal values were computed by hand from the
// equation of Annex D.5; 7.34 ft is printed as 8.
func TestDCTable(t *testing.T) {
	tests := []struct {
		v, ka float64
		feet  string
	}{
		{250, 4, "2.99"}, {250, 7, "3.96"}, {250, 15, "5.80"},
		{600, 1.5, "2.84"}, {600, 3, "4.02"}, {600, 7, "6.14"}, {600, 10, "7.34"},
	}
	for _, tt := range tests {
		p, err := DCMaxPower(tt.v, tt.ka, 457.2, 2000, 1, nil)
		if err != nil {
			t.Fatal(err)
		}
		if got := strconv.FormatFloat(p.Boundary/footMM, 'f', 2, 64); got != tt.feet {
			t.Errorf("%v V, %v kA: boundary = %s ft, want %s", tt.v, tt.ka, got, tt.feet)
		}
		if p.ArcingKA != tt.ka/2 {
			t.Errorf("arcing current = %v", p.ArcingKA)
		}
		if at, err := DCMaxPower(tt.v, tt.ka, p.Boundary, 2000, 1, nil); err != nil || relative(at.Energy, 1.2) > 1e-12 {
			t.Errorf("energy at the boundary = %v, %v", at.Energy, err)
		}
		if d := p.Boundary * math.Sqrt(1.2/p.Energy); relative(d, 457.2) > 1e-12 {
			t.Errorf("distance for the energy = %v", d)
		}
		box, err := DCMaxPower(tt.v, tt.ka, 457.2, 2000, 3, nil)
		if err != nil || relative(box.Energy, 3*p.Energy) > 1e-12 || relative(box.Boundary, math.Sqrt(3)*p.Boundary) > 1e-12 {
			t.Errorf("in a box: %+v, %v", box, err)
		}
	}
}

// TestOtherRefusals checks where the other methods give no number.
func TestOtherRefusals(t *testing.T) {
	inf, nan := math.Inf(1), math.NaN()
	tests := []struct {
		name string
		err  error
		want string
	}{
		{"Lee at 15 kV", second(Lee(15000, 12, 900, 100, nil)), "voltage 15000 V is below 15000 V: the Lee method is taken only above it"},
		{"Lee at 480 V", second(Lee(480, 12, 900, 100, nil)), "voltage 480 V is below"},
		{"Lee without a duration", second(Lee(34500, 12, 900, 0, nil)), "arc duration is missing"},
		{"Lee, NaN", second(Lee(nan, nan, nan, nan, nil)), "voltage NaN V is not a number above zero"},
		{"Lee, huge", second(Lee(1e300, 1e300, 1, 1, nil)), "no value"},
		{"Lee, infinite", second(Lee(34500, inf, 900, 100, nil)), "bolted fault current +Inf kA is not a number"},
		{"DC above 1000 V", second(DCMaxPower(1000.1, 5, 457, 100, 1, nil)), "DC voltage 1000.1 V is above 1000 V"},
		{"DC without a choice", second(DCMaxPower(250, 5, 457, 100, 0, nil)), "enclosure multiplier is missing: 1 or 3"},
		{"DC times 2", second(DCMaxPower(250, 5, 457, 100, 2, nil)), "enclosure multiplier 2 is not allowed: 1 or 3"},
		{"DC, NaN", second(DCMaxPower(250, 5, 457, 100, nan, nil)), "enclosure multiplier NaN is not allowed"},
		{"DC, negative", second(DCMaxPower(-250, 5, 457, 100, 1, nil)), "DC voltage -250 V is not a number above zero"},
	}
	for _, tt := range tests {
		if tt.err == nil || !strings.Contains(tt.err.Error(), tt.want) {
			t.Errorf("%s: %v, want %q", tt.name, tt.err, tt.want)
		}
	}
	if _, err := DCMaxPower(1000, 5, 457, 100, 3, nil); err != nil {
		t.Errorf("DC at 1000 V: %v", err)
	}
}

func second[T any](_ T, err error) error { return err }

// TestOtherSteps checks that the other methods record their steps.
func TestOtherSteps(t *testing.T) {
	var rec Recorder
	if _, err := Lee(34500, 12, 900, 100, &rec); err != nil {
		t.Fatal(err)
	}
	if _, err := DCMaxPower(250, 5, 457, 100, 3, &rec); err != nil {
		t.Fatal(err)
	}
	if len(rec.Steps) != 9 {
		t.Errorf("%d steps", len(rec.Steps))
	}
	for _, s := range rec.Steps {
		if s.Symbol == "" || s.Source == "" || s.Words == "" {
			t.Errorf("bare step %+v", s)
		}
	}
}
