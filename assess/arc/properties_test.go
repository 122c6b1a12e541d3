package arc

import (
	"math"
	"math/rand/v2"
	"testing"
)

// randomInput returns a case within the model's limits.
func randomInput(r *rand.Rand, voltageV float64) Input {
	in := Input{VoltageV: voltageV, Electrodes: Electrodes(1 + r.IntN(5))}
	between := func(low, high float64) float64 { return low * math.Pow(high/low, r.Float64()) }
	in.FaultKA = between(FaultRange(voltageV))
	in.GapMM = between(GapRange(voltageV))
	in.DistanceMM = between(304.8, 3000)
	in.HeightMM = between(200, 1500)
	in.WidthMM = max(between(200, 1500), 4*in.GapMM)
	in.DepthMM = between(100, 1000)
	return in
}

func randomVoltage(r *rand.Rand) float64 {
	if r.IntN(2) == 0 {
		return 208 + (600-208)*r.Float64()
	}
	return 600 + (15000-600)*r.Float64()*r.Float64()
}

func mustEvaluate(t *testing.T, in *Input, ms, minMS float64) Result {
	t.Helper()
	res, err := Evaluate(in, ms, minMS, nil)
	if err != nil {
		t.Fatalf("%+v: %v", *in, err)
	}
	return res
}

// TestMonotone checks that the energy rises in proportion to the duration, and falls with
// distance; that the boundary rises with the duration.
func TestMonotone(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	for range 40000 {
		in := randomInput(r, randomVoltage(r))
		a := mustEvaluate(t, &in, 100, 120)
		b := mustEvaluate(t, &in, 110, 132)
		if relative(b.Energy, 1.1*a.Energy) > 1e-12 || b.Boundary <= a.Boundary {
			t.Fatalf("%+v: longer duration: %+v, %+v", in, a, b)
		}
		in.DistanceMM *= 1.01
		c := mustEvaluate(t, &in, 100, 120)
		if c.EnergyFull >= a.EnergyFull || c.EnergyReduced >= a.EnergyReduced {
			t.Fatalf("%+v: farther: %+v, %+v", in, a, c)
		}
		if c.Boundary != a.Boundary {
			t.Fatalf("%+v: the boundary depends on the working distance", in)
		}
	}
}

// TestEnergyAtBoundary checks that the energy at the boundary is 1.2 cal/cm2: exactly up to
// 600 V and at the three voltages. Elsewhere the standard interpolates the boundaries
// themselves; over random cases and the corners of the model, durations to 2 s, the energy
// there was found from 0.977 to 1.136 times 1.2 (the high end at 800 V, 65 kA, HOA; more
// with longer durations).
func TestEnergyAtBoundary(t *testing.T) {
	r := rand.New(rand.NewPCG(2, 2))
	low, high := 1.0, 1.0
	check := func(in Input, ms, minMS float64) {
		m, err := Prepare(&in, nil)
		if err != nil {
			t.Fatal(err)
		}
		res := mustEvaluate(t, &in, ms, minMS)
		v := in.VoltageV
		for which, d := range []float64{res.BoundaryFull, res.BoundaryReduced} {
			e := m.energy(which, lg(d), []float64{ms, minMS}[which], nil) / Calorie / 1.2
			if v <= 600 || v == 2700 || v == 14300 {
				if math.Abs(e-1) > 1e-11 {
					t.Fatalf("%+v: energy at the boundary is %v times 1.2", in, e)
				}
				continue
			}
			low, high = min(low, e), max(high, e)
		}
	}
	for n := range 60000 {
		v := randomVoltage(r)
		if n%4 == 0 {
			v = []float64{600, 2700, 14300}[r.IntN(3)]
		}
		check(randomInput(r, v), 20+1980*r.Float64(), 20+1980*r.Float64())
	}
	for e := VCB; e <= HOA; e++ {
		for _, v := range []float64{700, 800, 1000, 1500, 2000, 4160, 8000, 15000} {
			for _, ka := range []float64{0.2, 1, 5, 20, 65} {
				for _, gap := range []float64{19.05, 76, 254} {
					for _, ms := range []float64{5, 200, 2000} {
						check(Input{v, ka, gap, 609.6, 600, 1100, 500, e}, ms, ms)
					}
				}
			}
		}
	}
	t.Logf("elsewhere the energy at the boundary is %.4f to %.4f times 1.2 cal/cm2", low, high)
	if math.Abs(low-0.977) > 0.002 || math.Abs(high-1.136) > 0.002 {
		t.Errorf("energy at the interpolated boundary is %.4f to %.4f times 1.2", low, high)
	}
}

// jump returns the largest relative change of each result from a voltage to another, and
// whether all else is the same.
func jump(t *testing.T, from, to float64, shallow bool) (full, reduced, current float64) {
	r := rand.New(rand.NewPCG(3, 3))
	for range 40000 {
		in := randomInput(r, from)
		// within the limits on both sides of 600 V
		in.FaultKA = 0.5 * math.Pow(65/0.5, r.Float64())
		in.GapMM = 19.05 * math.Pow(76.2/19.05, r.Float64())
		in.WidthMM = max(in.WidthMM, 4*in.GapMM)
		in.DepthMM = 500
		if shallow {
			in.HeightMM, in.WidthMM, in.DepthMM = 200+300*r.Float64(), 305+200*r.Float64(), 200
			in.Electrodes = Electrodes(1 + r.IntN(3))
		}
		a := mustEvaluate(t, &in, 100, 100)
		in.VoltageV = to
		b := mustEvaluate(t, &in, 100, 100)
		full = max(full, relative(a.EnergyFull, b.EnergyFull), relative(a.BoundaryFull, b.BoundaryFull))
		reduced = max(reduced, relative(a.EnergyReduced, b.EnergyReduced), relative(a.BoundaryReduced, b.BoundaryReduced))
		current = max(current, relative(a.ArcingKA, b.ArcingKA), relative(a.ArcingReducedKA, b.ArcingReducedKA))
	}
	return full, reduced, current
}

// TestContinuity measures the model's own jumps. At 2.7 kV there is none. At 600 V both
// arcing currents and the full case are continuous, and the reduced case jumps, since the
// standard reduces Ia in k3 Ia / (...) above 600 V and not up to 600 V. Below 600 V a
// shallow box may count as such, at 600 V it does not: there energy jumps by the factor.
func TestContinuity(t *testing.T) {
	const step = 1e-9 // of the voltage
	full, reduced, current := jump(t, 2700, 2700*(1+step), false)
	t.Logf("2.7 kV: full %.1e, reduced %.1e, currents %.1e", full, reduced, current)
	if max(full, reduced, current) > 1e-7 {
		t.Errorf("2.7 kV: jumps of %v, %v, %v", full, reduced, current)
	}
	full, reduced, current = jump(t, 600, 600*(1+step), false)
	t.Logf("600 V: full %.1e, reduced %.4f, currents %.1e", full, reduced, current)
	if max(full, current) > 1e-7 {
		t.Errorf("600 V: jumps of %v in the full case, %v in the currents", full, current)
	}
	if math.Abs(reduced-jumpReduced600) > 0.001 {
		t.Errorf("600 V: the reduced case jumps by up to %.4f, stated %v", reduced, jumpReduced600)
	}
	full, _, _ = jump(t, 600*(1-step), 600, true)
	t.Logf("600 V, shallow box below: full %.4f", full)
	if math.Abs(full-jumpShallow600) > 0.005 {
		t.Errorf("600 V: the shallow box jumps by up to %.4f, stated %v", full, jumpShallow600)
	}
}

// The model's own jumps at 600 V, as parts of the larger value, over 40 000 random cases.
const (
	jumpReduced600 = 0.321 // VCB: less above; VOA 0.21 less, HCB 0.10, HOA 0.05 and VCBB 0.02 more
	jumpShallow600 = 0.411 // the boxes of this test, from 200 x 305 to 500 x 505 mm
)

// TestCalorie checks that calories and joules agree: 1.2 cal/cm2 is 5.0208 J/cm2, and the
// 20 of lg(20/T) is 5.0208 * 50 / 12.552 (IEEE 1584-2018 eq. 3, 7).
func TestCalorie(t *testing.T) {
	if got := BoundaryEnergy * Calorie; math.Abs(got-5.0208) > 1e-15 {
		t.Errorf("1.2 cal = %v J", got)
	}
	if math.Abs(boundaryTime-20) > 1e-13 {
		t.Errorf("boundaryTime = %v", boundaryTime)
	}
	res, steps, err := evaluateSteps(&examples[0].in, 197, 223)
	if err != nil {
		t.Fatal(err)
	}
	for _, s := range steps {
		if s.Symbol == "E" && s.Unit == "J/cm2" && float64(s.Value) != res.EnergyFull*Calorie &&
			relative(float64(s.Value), res.EnergyFull*Calorie) > 1e-15 {
			t.Errorf("E = %v J/cm2 and %v cal/cm2", s.Value, res.EnergyFull)
		}
	}
}

// TestModelHolds checks that over the whole range no case is refused but by the limits,
// that all results are finite and above zero, and that the currents are in order: reduced,
// full, bolted.
func TestModelHolds(t *testing.T) {
	r := rand.New(rand.NewPCG(4, 4))
	check := func(in Input, ms, minMS float64) {
		res := mustEvaluate(t, &in, ms, minMS)
		for _, x := range resultList(&res) {
			if !positive(x) {
				t.Fatalf("%+v: %+v", in, res)
			}
		}
		if res.ArcingReducedKA > res.ArcingKA || res.ArcingKA > in.FaultKA {
			t.Fatalf("%+v: %+v", in, res)
		}
	}
	grid(check)
	for range 100000 {
		check(randomInput(r, randomVoltage(r)), 100, 120)
	}
}
