package arc

import (
	"errors"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"vouchmark/testdata/suite"
)

// distanceFor searches EnergyAt for the shortest distance, mm, at which the larger energy
// does not exceed a limit in cal/cm2; atModel is true if that is the model's shortest.
func distanceFor(t *testing.T, m *Model, energy, ms, minMS float64) (mm float64, atModel bool) {
	t.Helper()
	holds := func(mm float64) bool {
		e, err := m.EnergyAt(mm, ms, minMS)
		if err != nil {
			t.Fatal(err)
		}
		return e <= energy
	}
	if holds(MinDistanceMM) {
		return MinDistanceMM, true
	}
	mm, _ = bisect(1e6, MinDistanceMM, holds)
	return mm, false
}

// TestEnergyAt checks that the energy over the distance passes each energy where it is
// expected: at the working distance that of the evaluation, and up to 600 V 1.2 cal/cm2 at
// the boundary.
func TestEnergyAt(t *testing.T) {
	r := rand.New(rand.NewPCG(6, 6))
	near := 0
	for range 5000 {
		in := randomInput(r, randomVoltage(r))
		m, err := Prepare(&in, nil)
		if err != nil {
			t.Fatal(err)
		}
		ms, minMS, limit := 20+500*r.Float64(), 20+500*r.Float64(), 1.2+10*r.Float64()
		res := mustEvaluate(t, &in, ms, minMS)
		if e, err := m.EnergyAt(in.DistanceMM, ms, minMS); err != nil || e != res.Energy {
			t.Fatalf("%+v: energy %v at the working distance, %v, evaluated %v", in, e, err, res.Energy)
		}
		d, atModel := distanceFor(t, &m, limit, ms, minMS)
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
		d, atModel = distanceFor(t, &m, 1.2, ms, minMS)
		if !atModel && in.VoltageV <= 600 && relative(res.Boundary, d) > 1e-10 {
			t.Fatalf("%+v: distance %v for 1.2, boundary %v", in, d, res.Boundary)
		}
	}
	if near == 0 || near == 5000 {
		t.Errorf("%d of 5000 at the shortest distance", near)
	}
	m, _ := Prepare(&examples[1].in, nil)
	if _, err := m.EnergyAt(0, 60, 0); err == nil || !strings.Contains(err.Error(), "distance is missing") ||
		!strings.Contains(err.Error(), "not computed") {
		t.Errorf("nothing given: %v", err)
	}
}

// TestLongestDurations checks that the durations at which each case reaches a limit follow in
// one step from any others: the energy is proportional to the duration.
func TestLongestDurations(t *testing.T) {
	for _, in := range sampleInputs() {
		one := mustEvaluate(t, &in, 1, 1)
		res := mustEvaluate(t, &in, 8/one.EnergyFull, 8/one.EnergyReduced)
		if relative(res.EnergyFull, 8) > 1e-12 || relative(res.EnergyReduced, 8) > 1e-12 {
			t.Errorf("%+v: %+v", in, res)
		}
	}
}

// lasting is durations, ms, that hold at any current.
func lasting(t *testing.T, ms float64) Bounded {
	t.Helper()
	c, err := NewCurve([]Point{{1, 1}, {1e6, 1}}, true, true, 0)
	if err != nil {
		t.Fatal(err)
	}
	return Bounded{Curve: c, LeastMS: ms, LeastReducedMS: ms, LongestMS: ms}
}

// faultInterval is FaultIntervals for one limit.
func faultInterval(in *Input, energy float64, d Bounded) (Interval, error) {
	all, err := FaultIntervals(in, []float64{energy}, d)
	if err != nil {
		return Interval{}, err
	}
	return all[0], nil
}

// TestFaultIntervalFixed checks the interval with durations that do not depend on the
// current: below, to the model's limit; above, to the energy asked for.
func TestFaultIntervalFixed(t *testing.T) {
	in := examples[1].in
	in.FaultKA = 20
	d := lasting(t, 100)
	i, err := faultInterval(&in, 6, d)
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
	if i, err = faultInterval(&in, 1000, d); err != nil || i != (Interval{0.5, 106, EndModel, EndModel}) {
		t.Errorf("far from the limit: %+v, %v", i, err)
	}
	if i, err = faultInterval(&in, 4, d); err != nil || i != (Interval{}) {
		t.Errorf("exceeded already: %+v, %v", i, err)
	}
}

// TestFaultIntervalCurve checks the interval on a curve with a vertical step: a lower
// current clears later and releases more energy. The ends are compared with a fine scan.
func TestFaultIntervalCurve(t *testing.T) {
	c := Bounded{Curve: relay(t)}
	in := Input{VoltageV: 480, FaultKA: 22.5, GapMM: 32, DistanceMM: 609.6,
		HeightMM: 600, WidthMM: 600, DepthMM: 300, Electrodes: VCB}
	for _, limit := range []float64{1.8, 3, 4, 8, 12, 25, 60} {
		i, err := faultInterval(&in, limit, c)
		if err != nil {
			t.Fatalf("%v: %v", limit, err)
		}
		low, high := scan(&in, limit, c, 0.5), scan(&in, limit, c, 106)
		if relative(i.Low, low) > 1e-4 || relative(i.High, high) > 1e-4 {
			t.Errorf("limit %v: %+v, by scan %v to %v", limit, i, low, high)
		}
		t.Logf("limit %v: %+v", limit, i)
	}
	i, err := faultInterval(&in, 4, c)
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
func scan(in *Input, limit float64, d Bounded, to float64) float64 {
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
	in := Input{VoltageV: 4160, FaultKA: 20, GapMM: 104, DistanceMM: 914.4,
		HeightMM: 1143, WidthMM: 762, DepthMM: 762, Electrodes: VCB}
	i, err := faultInterval(&in, 8, Bounded{Curve: c})
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

// TestFaultIntervalInverse checks durations in inverse proportion to the current, and that
// the error of a curve that ends below the present currents is returned.
func TestFaultIntervalInverse(t *testing.T) {
	in := examples[1].in
	c, err := NewCurve([]Point{{100, 10}, {1e6, 0.001}}, true, true, 0) // 1000 kA ms
	if err != nil {
		t.Fatal(err)
	}
	i, err := faultInterval(&in, 8, Bounded{Curve: c})
	if err != nil || i.LowEnd == "" || i.HighEnd == "" {
		t.Errorf("%+v, %v", i, err)
	}
	if c, err = NewCurve([]Point{{100, 10}, {1000, 1}}, true, true, 0); err != nil {
		t.Fatal(err)
	}
	var r *Refusal
	if _, err = faultInterval(&in, 8, Bounded{Curve: c}); !errors.As(err, &r) || r.Bound != Above || r.Limit != 1000 {
		t.Errorf("error = %v", err)
	}
}

// TestFaultIntervals checks several limits at once against each alone, and what is exceeded
// already.
func TestFaultIntervals(t *testing.T) {
	c := Bounded{Curve: relay(t)}
	in := Input{VoltageV: 480, FaultKA: 22.5, GapMM: 32, DistanceMM: 609.6,
		HeightMM: 600, WidthMM: 600, DepthMM: 300, Electrodes: VCB}
	limits := []float64{0.01, 1.8, 4, 12, 60}
	all, err := FaultIntervals(&in, limits, c)
	if err != nil || all[0] != (Interval{}) {
		t.Fatalf("%+v, %v", all, err)
	}
	for i := 1; i < len(limits); i++ {
		one, err := faultInterval(&in, limits[i], c)
		if err != nil || relative(one.Low, all[i].Low) > 1e-9 || relative(one.High, all[i].High) > 1e-9 ||
			one.LowEnd != all[i].LowEnd || one.HighEnd != all[i].HighEnd {
			t.Errorf("limit %v: %+v alone, %+v among others, %v", limits[i], one, all[i], err)
		}
	}
	if _, err := FaultIntervals(&in, []float64{4, 3}, c); err == nil {
		t.Error("limits out of order pass")
	}
	capped, err := FaultIntervals(&in, []float64{60}, Bounded{Curve: c.Curve, LongestMS: 100})
	if err != nil || capped[0].Low > all[4].Low {
		t.Errorf("a cap on the durations narrows: %+v, %v", capped, err)
	}
	slower, err := FaultIntervals(&in, []float64{60}, Bounded{Curve: c.Curve, LeastMS: 900, LeastReducedMS: 900})
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
	all, err := PointFaultIntervals(8, 1, []float64{2 * now.Energy, 1000}, Bounded{Curve: c}, at)
	if err != nil || relative(all[0].High, 16) > 1e-9 || relative(all[0].Low, 5) > 1e-8 ||
		all[0].LowEnd != EndEnergy || all[1].LowEnd != EndDuration || relative(all[1].Low, 1) > 1e-8 {
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
		in := Input{VoltageV: 208, FaultKA: 0.5, GapMM: 6.35, DistanceMM: 457.2,
			HeightMM: 508, WidthMM: 508, DepthMM: 508, Electrodes: tt.e}
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
