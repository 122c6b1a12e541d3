package arc

import (
	"math"
	"testing"
)

var (
	sinkResult Result
	sinkFloat  float64
)

func benchInput(voltageV float64) Input {
	return Input{VoltageV: voltageV, FaultKA: 22.5, GapMM: 32, DistanceMM: 609.6,
		HeightMM: 700, WidthMM: 600, DepthMM: 300, Electrodes: VCB}
}

func benchEvaluate(b *testing.B, voltageV float64) {
	in := benchInput(voltageV)
	b.ReportAllocs()
	for b.Loop() {
		res, err := Evaluate(&in, 100, 150, nil)
		if err != nil {
			b.Fatal(err)
		}
		sinkFloat = res.Energy + res.Boundary
	}
}

// BenchmarkEvaluateLow is a full evaluation at or below 600 V: both currents, energy and
// boundary. Goal: 2 000 000 a second and core, at most twice BenchmarkCallsLow.
func BenchmarkEvaluateLow(b *testing.B) { benchEvaluate(b, 480) }

// BenchmarkEvaluateHigh is the same above 600 V. Goal: 700 000 a second and core, at most
// twice BenchmarkCallsHigh.
func BenchmarkEvaluateHigh(b *testing.B) { benchEvaluate(b, 4160) }

// benchCalls makes the logarithms, exponentials and roots of one evaluation, and nothing
// else, with arguments in the range of a real one.
func benchCalls(b *testing.B, logs, exps, roots int) {
	x := 1.7
	for b.Loop() {
		sum := 0.0
		for i := range logs {
			sum += math.Log(x + float64(i))
		}
		for i := range exps {
			sum += math.Exp(x + 0.3*float64(i))
		}
		for i := range roots {
			sum += math.Sqrt(x + float64(i))
		}
		sinkFloat = sum
	}
}

// BenchmarkCallsLow: logarithms of Ibf, G, D, CF, the reduction, the final current and both
// durations; exponentials of the intermediate current, two energies, two boundaries; the
// root of eq. 25.
func BenchmarkCallsLow(b *testing.B) { benchCalls(b, 8, 5, 1) }

// BenchmarkCallsHigh: logarithms of Ibf, G, D, CF, the reduction, three polynomials and
// both durations; exponentials of three currents, six energies, six boundaries.
func BenchmarkCallsHigh(b *testing.B) { benchCalls(b, 10, 15, 0) }

// BenchmarkCurrents is the arcing currents alone.
func BenchmarkCurrents(b *testing.B) {
	in := benchInput(4160)
	b.ReportAllocs()
	for b.Loop() {
		a, _ := Currents(&in)
		sinkFloat = a.FullKA
	}
}

// BenchmarkFaultInterval is a scan over the whole range of fault currents on a curve.
func BenchmarkFaultInterval(b *testing.B) {
	in := benchInput(480)
	c := Bounded{Curve: relay(b)}
	for b.Loop() {
		all, err := FaultIntervals(&in, []float64{100}, c)
		if err != nil {
			b.Fatal(err)
		}
		sinkFloat = all[0].High
	}
}

// TestNoAllocations checks that an evaluation without steps allocates nothing.
func TestNoAllocations(t *testing.T) {
	c := relay(t)
	for _, v := range []float64{480, 4160} {
		in := benchInput(v)
		m, err := Prepare(&in, nil)
		if err != nil {
			t.Fatal(err)
		}
		tests := []struct {
			name string
			f    func()
		}{
			{"Evaluate", func() { sinkResult, _ = Evaluate(&in, 100, 150, nil) }},
			{"Currents", func() { a, _ := Currents(&in); sinkFloat = a.FullKA }},
			{"Prepare", func() { m, _ := Prepare(&in, nil); sinkFloat = m.Arcing().FullKA }},
			{"EnergyAt", func() { sinkFloat, _ = m.EnergyAt(900, 100, 150) }},
			{"ClearMS", func() { sinkFloat, _ = c.ClearMS(15) }},
			{"Lee", func() { p, _ := Lee(34500, 12, 900, 100, nil); sinkFloat = p.Energy }},
			{"DCMaxPower", func() { p, _ := DCMaxPower(250, 5, 457, 100, 3, nil); sinkFloat = p.Energy }},
		}
		for _, tt := range tests {
			if n := testing.AllocsPerRun(100, tt.f); n != 0 {
				t.Errorf("%v V, %s: %v allocations", v, tt.name, n)
			}
		}
	}
}
