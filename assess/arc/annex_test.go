package arc

import (
	"strconv"
	"strings"
	"testing"
)

// A worked example of IEEE 1584-2018 Annex D: the case, and what the annex prints for each
// step, digits as printed. The values were transcribed from memory.
type example struct {
	name            string
	in              Input
	clear, reduced  float64
	printed         map[string]string // by symbol of the step
	energyJ, minJ   string
	afb, afbReduced string
}

var examples = []example{
	{
		name: "IEEE 1584-2018 Annex D.1",
		in: Input{VoltageV: 4160, FaultKA: 15, GapMM: 104, DistanceMM: 914.4,
			HeightMM: 1143, WidthMM: 762, DepthMM: 508, Electrodes: VCB},
		clear: 197, reduced: 223,
		printed: map[string]string{
			"I_arc,600": "11.117", "I_arc,2700": "12.816", "I_arc,14300": "14.116",
			"I_arc": "12.979", "I_arc,min": "12.675",
			"EES": "36.316", "CF": "1.284",
			"E_600": "8.652", "E_2700": "11.977", "E_14300": "13.367",
		},
		energyJ: "12.152", minJ: "13.343", afb: "1606", afbReduced: "1704",
	},
	{
		name: "IEEE 1584-2018 Annex D.2",
		in: Input{VoltageV: 480, FaultKA: 45, GapMM: 32, DistanceMM: 609.6,
			HeightMM: 610, WidthMM: 610, DepthMM: 254, Electrodes: VCB},
		clear: 61.3, reduced: 319,
		printed: map[string]string{
			"I_arc,600": "32.449", "I_arc": "28.793", "I_arc,min": "25.244",
			"EES": "24.016", "CF": "1.085",
		},
		energyJ: "11.585", minJ: "53.156", afb: "1029", afbReduced: "2669",
	},
}

// digits formats x with as many decimals as the printed value has.
func digits(x float64, printed string) string {
	_, frac, _ := strings.Cut(printed, ".")
	return strconv.FormatFloat(x, 'f', len(frac), 64)
}

// evaluateSteps is Evaluate with the steps.
func evaluateSteps(in *Input, clearMS, clearReducedMS float64) (Result, []Step, error) {
	var rec Recorder
	res, err := Evaluate(in, clearMS, clearReducedMS, &rec)
	return res, rec.Steps, err
}

// TestAnnexD checks every printed value of Annex D.1 and D.2, to every printed digit.
func TestAnnexD(t *testing.T) {
	for _, ex := range examples {
		t.Run(ex.name, func(t *testing.T) {
			res, steps, err := evaluateSteps(&ex.in, ex.clear, ex.reduced)
			if err != nil {
				t.Fatal(err)
			}
			check := func(what string, got float64, printed string) {
				t.Helper()
				if s := digits(got, printed); s != printed {
					t.Errorf("%s = %s, annex prints %s", what, s, printed)
				}
			}
			seen := 0
			for _, s := range steps {
				if printed, ok := ex.printed[s.Symbol]; ok {
					check(s.Symbol, float64(s.Value), printed)
					seen++
				}
			}
			if seen != len(ex.printed) {
				t.Errorf("%d of the %d printed steps were recorded", seen, len(ex.printed))
			}
			check("E, J/cm2", res.EnergyFull*Calorie, ex.energyJ)
			check("E reduced, J/cm2", res.EnergyReduced*Calorie, ex.minJ)
			check("AFB", res.BoundaryFull, ex.afb)
			check("AFB reduced", res.BoundaryReduced, ex.afbReduced)
			check("I_arc", res.ArcingKA, ex.printed["I_arc"])
			check("I_arc,min", res.ArcingReducedKA, ex.printed["I_arc,min"])
			check("CF", res.EnclosureFactor, ex.printed["CF"])
			check("EES", res.EnclosureIn, ex.printed["EES"])
			if res.Governs != Reduced || res.Energy != res.EnergyReduced || res.Boundary != res.BoundaryReduced {
				t.Errorf("the reduced case governs in the annex, got %v", res.Governs)
			}
		})
	}
}

// TestReducedNeedsItsOwnDuration takes Annex D.2 with the full current's duration for both:
// 2.8 in place of 12.7 cal/cm2, the reason why that is never done silently.
func TestReducedNeedsItsOwnDuration(t *testing.T) {
	ex := examples[1]
	res, err := Evaluate(&ex.in, ex.clear, ex.reduced, nil)
	if err != nil || digits(res.Energy, "12.7") != "12.7" {
		t.Errorf("energy = %v, %v, want 12.7", res.Energy, err)
	}
	res, err = Evaluate(&ex.in, ex.clear, ex.clear, nil)
	if err != nil || digits(res.Energy, "2.8") != "2.8" {
		t.Errorf("energy = %v, %v, want 2.8", res.Energy, err)
	}
	_, err = Evaluate(&ex.in, ex.clear, 0, nil)
	if err == nil || !strings.Contains(err.Error(), "not computed") || !strings.Contains(err.Error(), "25.2") {
		t.Errorf("without the reduced duration: %v", err)
	}
	a, err := Currents(&ex.in)
	if err != nil || digits(a.ReducedKA, "25.244") != "25.244" {
		t.Errorf("Currents = %v, %v: the currents need no duration", a, err)
	}
}

// TestSteps checks that a step names its source and its words, that the same digits come
// with and without a recorder, and that the lines are enough to follow.
func TestSteps(t *testing.T) {
	for _, in := range sampleInputs() {
		with, steps, err := evaluateSteps(&in, 100, 150)
		if err != nil {
			t.Fatal(err)
		}
		without, err := Evaluate(&in, 100, 150, nil)
		if err != nil || with != without {
			t.Fatalf("with steps %v, without %v, %v", with, without, err)
		}
		for _, s := range steps {
			if s.Symbol == "" || s.Source == "" || s.Words == "" {
				t.Errorf("bare step %+v", s)
			}
		}
		if last := steps[len(steps)-1]; last.Symbol != "AFB" || float64(last.Value) != with.Boundary {
			t.Errorf("last step %+v", last)
		}
	}
}

// sampleInputs is one case for each configuration below, at and above 600 V, up to 2.7 kV
// and above.
func sampleInputs() []Input {
	var ins []Input
	for e := VCB; e <= HOA; e++ {
		for _, v := range []float64{208, 480, 600, 1500, 2700, 4160, 13800} {
			in := benchInput(v)
			in.Electrodes = e
			ins = append(ins, in)
			if v < 600 {
				in.HeightMM, in.WidthMM, in.DepthMM = 355.6, 304.8, 203.2
				ins = append(ins, in)
			}
		}
	}
	return ins
}
