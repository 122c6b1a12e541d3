package arc

import (
	"errors"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"vouchmark/testdata/suite"
)

// TestDistanceFor checks that the energy at the distance found is the energy asked for, and
// that up to 600 V the distance for 1.2 cal/cm2 is the boundary.
func TestDistanceFor(t *testing.T) {
	r := rand.New(rand.NewPCG(6, 6))
	near := 0
	for range 5000 {
		in := randomInput(r, randomVoltage(r))
		m, err := Prepare(&in, nil)
		if err != nil {
			t.Fatal(err)
		}
		ms, minMS, limit := 20+500*r.Float64(), 20+500*r.Float64(), 1.2+10*r.Float64()
		d, atModel, err := m.DistanceFor(limit, ms, minMS)
		if err != nil {
			t.Fatalf("%+v: %v", in, err)
		}
		e, err := m.EnergyAt(d, ms, minMS)
		if err != nil {
			t.Fatal(err)
		}
		if atModel {
			near++
			if d != MinDistanceMM || e > limit {
				t.Fatalf("%+v: distance %v, energy %v, limit %v", in, d, e, limit)
			}
		} else if relative(e, limit) > 1e-10 {
			t.Fatalf("%+v: energy %v at %v mm, want %v", in, e, d, limit)
		}
		if d, atModel, err = m.DistanceFor(1.2, ms, minMS); err == nil && !atModel && in.VoltageV <= 600 {
			if res, _ := m.Energy(ms, minMS, nil); relative(res.Boundary, d) > 1e-10 {
				t.Fatalf("%+v: distance %v for 1.2, boundary %v", in, d, res.Boundary)
			}
		}
	}
	if near == 0 || near == 5000 {
		t.Errorf("%d of 5000 at the shortest distance", near)
	}
	m, _ := Prepare(&examples[1].in, nil)
	if _, _, err := m.DistanceFor(1e-300, 60, 300); err == nil || !strings.Contains(err.Error(), "distance") {
		t.Errorf("tiny energy: %v", err)
	}
	if _, _, err := m.DistanceFor(0, 60, 0); err == nil || !strings.Contains(err.Error(), "energy is missing") || !strings.Contains(err.Error(), "not computed") {
		t.Errorf("nothing given: %v", err)
	}
}

// TestDurationLimits checks that the energy at the longest durations is the limit.
func TestDurationLimits(t *testing.T) {
	for _, in := range sampleInputs() {
		m, err := Prepare(&in, nil)
		if err != nil {
			t.Fatal(err)
		}
		full, reduced, err := m.DurationLimits(8)
		if err != nil {
			t.Fatal(err)
		}
		res, err := m.Energy(full.High, reduced.High, nil)
		if err != nil || relative(res.EnergyFull, 8) > 1e-12 || relative(res.EnergyReduced, 8) > 1e-12 {
			t.Errorf("%+v: %+v, %v", in, res, err)
		}
		if full.Low != 0 || full.LowEnd != EndZero || full.HighEnd != EndEnergy {
			t.Errorf("%+v", full)
		}
	}
}

// TestFaultIntervalFixed checks the interval with durations that do not depend on the
// current: below, to the model's limit; above, to the energy asked for.
func TestFaultIntervalFixed(t *testing.T) {
	in := examples[1].in
	in.FaultKA = 20
	i, err := FaultInterval(&in, 6, Fixed{100, 100})
	if err != nil {
		t.Fatal(err)
	}
	if i.Low != 0.5 || i.LowEnd != EndModel || i.HighEnd != EndEnergy || i.HighEnd.String() != "energy limit reached" {
		t.Errorf("%+v", i)
	}
	in.FaultKA = i.High
	if res := mustEvaluate(t, &in, 100, 100); relative(res.Energy, 6) > 1e-9 || res.Energy > 6 {
		t.Errorf("energy %v at the high end", res.Energy)
	}
	if i, err = FaultInterval(&in, 1000, Fixed{100, 100}); err != nil || i != (Interval{0.5, 106, EndModel, EndModel}) {
		t.Errorf("far from the limit: %+v, %v", i, err)
	}
	_, err = FaultInterval(&in, 4, Fixed{100, 100})
	var r *Refusal
	if !errors.As(err, &r) || r.Limit != 4 || !strings.Contains(err.Error(), "at the present fault current") {
		t.Errorf("exceeded already: %v", err)
	}
	if _, err = FaultInterval(&in, 8, Fixed{100, 0}); err == nil || !strings.Contains(err.Error(), "not computed") {
		t.Errorf("without the reduced duration: %v", err)
	}
}

// TestFaultIntervalCurve checks the interval on a curve with a vertical step: less current
// clears later and hurts more. The ends are compared with a fine scan.
func TestFaultIntervalCurve(t *testing.T) {
	c := relay(t)
	in := Input{VoltageV: 480, FaultKA: 22.5, GapMM: 32, DistanceMM: 609.6, HeightMM: 600, WidthMM: 600, DepthMM: 300, Electrodes: VCB}
	for _, limit := range []float64{1.8, 3, 4, 8, 12, 25, 60} {
		i, err := FaultInterval(&in, limit, c)
		if err != nil {
			t.Fatalf("%v: %v", limit, err)
		}
		low, high := scan(&in, limit, c, 0.5), scan(&in, limit, c, 106)
		if relative(i.Low, low) > 1e-4 || relative(i.High, high) > 1e-4 {
			t.Errorf("limit %v: %+v, by scan %v to %v", limit, i, low, high)
		}
		t.Logf("limit %v: %+v", limit, i)
	}
	i, err := FaultInterval(&in, 4, c)
	if err != nil || i.LowEnd != EndEnergy {
		t.Fatalf("%+v, %v", i, err)
	}
	in.FaultKA = i.Low
	a, err := Currents(&in)
	if err != nil || !(a.ReducedKA >= 8 && a.ReducedKA < 8*(1+1e-8)) {
		t.Errorf("the low end is where the reduced current meets the step at 8 kA, got %+v, %v", a, err)
	}
}

// scan returns the last fault current of a fine scan from in.FaultKA that holds.
func scan(in *Input, limit float64, d Durations, to float64) float64 {
	fails := func(x float64) bool {
		at := *in
		at.FaultKA = x
		m, err := Prepare(&at, nil)
		if err != nil {
			return true
		}
		full, reduced, err := d.DurationsMS(m.arcing)
		if err != nil {
			return true
		}
		e, err := m.EnergyAt(at.DistanceMM, full, reduced)
		return err != nil || e > limit
	}
	n := 50000 // a step is a third of what the ends may differ by
	if suite.Exhaustive {
		n = 200000
	}
	last := in.FaultKA
	for k := 1; k <= n; k++ {
		x := in.FaultKA * math.Pow(to/in.FaultKA, float64(k)/float64(n))
		if fails(min(max(x, 0.5), 106)) {
			break
		}
		last = x
	}
	return last
}

// TestFaultIntervalSpike puts a slow spot narrower than the scan's step on a curve, a step
// up and down again: the marks of the curve find it. It also ends a curve inside the
// model's range.
func TestFaultIntervalSpike(t *testing.T) {
	c, err := NewCurve([]Point{{5000, 0.05}, {12000, 0.05}, {12000, 2}, {12001, 2}, {12001, 0.05}, {40000, 0.05}}, true, true, 0)
	if err != nil {
		t.Fatal(err)
	}
	in := Input{VoltageV: 4160, FaultKA: 20, GapMM: 104, DistanceMM: 914.4, HeightMM: 1143, WidthMM: 762, DepthMM: 762, Electrodes: VCB}
	i, err := FaultInterval(&in, 8, c)
	if err != nil {
		t.Fatal(err)
	}
	if i.LowEnd != EndEnergy || i.HighEnd != EndDuration {
		t.Errorf("%+v", i)
	}
	at := in
	at.FaultKA = i.Low
	if a, err := Currents(&at); err != nil || math.Abs(a.ReducedKA-12.001) > 1e-6 {
		t.Errorf("low end %v kA: reduced arcing current %v, %v, want the spike's edge", i.Low, a.ReducedKA, err)
	}
	at.FaultKA = i.High
	if a, err := Currents(&at); err != nil || math.Abs(a.FullKA-40) > 1e-6 {
		t.Errorf("high end %v kA: arcing current %v, %v, want the curve's end", i.High, a.FullKA, err)
	}
}

// TestFaultIntervalFunc checks a function as durations, and that its error is returned.
func TestFaultIntervalFunc(t *testing.T) {
	in := examples[1].in
	none := errors.New("no device")
	if _, err := FaultInterval(&in, 8, DurationsFunc(func(Arcing) (float64, float64, error) { return 0, 0, none })); !errors.Is(err, none) {
		t.Errorf("error = %v", err)
	}
	i, err := FaultInterval(&in, 8, DurationsFunc(func(a Arcing) (float64, float64, error) { return 1000 / a.FullKA, 1000 / a.ReducedKA, nil }))
	if err != nil || i.LowEnd == 0 || i.HighEnd == 0 {
		t.Errorf("%+v, %v", i, err)
	}
}

// TestFaultIntervals checks several limits at once against each alone, and what is exceeded
// already.
func TestFaultIntervals(t *testing.T) {
	c := relay(t)
	in := Input{VoltageV: 480, FaultKA: 22.5, GapMM: 32, DistanceMM: 609.6, HeightMM: 600, WidthMM: 600, DepthMM: 300, Electrodes: VCB}
	limits := []float64{0.01, 1.8, 4, 12, 60}
	all, err := FaultIntervals(&in, limits, c)
	if err != nil || all[0] != (Interval{}) {
		t.Fatalf("%+v, %v", all, err)
	}
	for i := 1; i < len(limits); i++ {
		one, err := FaultInterval(&in, limits[i], c)
		if err != nil || relative(one.Low, all[i].Low) > 1e-9 || relative(one.High, all[i].High) > 1e-9 || one.LowEnd != all[i].LowEnd || one.HighEnd != all[i].HighEnd {
			t.Errorf("limit %v: %+v alone, %+v among others, %v", limits[i], one, all[i], err)
		}
	}
	if _, err := FaultIntervals(&in, []float64{4, 3}, c); err == nil {
		t.Error("limits out of order pass")
	}
	capped, err := FaultIntervals(&in, []float64{60}, Bounded{Curve: c, LongestMS: 100})
	if err != nil || capped[0].Low > all[4].Low {
		t.Errorf("a cap on the durations narrows: %+v, %v", capped, err)
	}
	slower, err := FaultIntervals(&in, []float64{60}, Bounded{Curve: c, LeastMS: 900, LeastReducedMS: 900})
	if err != nil || !(slower[0].High < all[4].High) {
		t.Errorf("a least duration does not narrow: %+v, %v", slower, err)
	}
}

// TestPointFaultIntervals checks a method with one arcing current on a curve whose time is
// one above 5 kA and another below: Lee's energy is proportional to both.
func TestPointFaultIntervals(t *testing.T) {
	c, err := NewCurve([]Point{{1000, 2}, {5000, 2}, {5000, 0.1}, {40000, 0.1}}, true, true, 0)
	if err != nil {
		t.Fatal(err)
	}
	at := func(fault, ms float64) (PointSource, error) { return Lee(24900, fault, 914.4, ms, nil) }
	now, err := at(8, 100)
	if err != nil {
		t.Fatal(err)
	}
	all, err := PointFaultIntervals(8, 1, []float64{2 * now.Energy, 1000}, c, at)
	if err != nil || relative(all[0].High, 16) > 1e-9 || relative(all[0].Low, 5) > 1e-8 || all[0].LowEnd != EndEnergy || all[1].LowEnd != EndDuration || relative(all[1].Low, 1) > 1e-8 {
		t.Errorf("%+v, %v", all, err)
	}
}

// TestNotMonotone shows why fault currents are scanned: at 208 V and 6.35 mm the energy of
// VCBB falls by 0.8 % and that of HCB by 0.35 % above 62.5 kA or so, durations the same.
func TestNotMonotone(t *testing.T) {
	for _, tt := range []struct {
		e   Electrodes
		dip float64
	}{{VCBB, 0.008}, {HCB, 0.0035}} {
		in := Input{VoltageV: 208, FaultKA: 0.5, GapMM: 6.35, DistanceMM: 457.2, HeightMM: 508, WidthMM: 508, DepthMM: 508, Electrodes: tt.e}
		highest, dip := 0.0, 0.0
		for in.FaultKA = 0.5; in.FaultKA <= 106; in.FaultKA += 0.05 {
			e := mustEvaluate(t, &in, 100, 100).EnergyFull
			highest = max(highest, e)
			dip = max(dip, 1-e/highest)
		}
		if math.Abs(dip-tt.dip) > 0.001 {
			t.Errorf("%v: dip of %.4f, want %.4f", tt.e, dip, tt.dip)
		}
	}
}
