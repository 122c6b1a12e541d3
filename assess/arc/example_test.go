package arc_test

import (
	"fmt"

	"vouchmark/assess/arc"
)

// IEEE 1584-2018 Annex D.2: 480 V, 45 kA, VCB in a box of 610 x 610 x 254 mm. The annex
// prints 28.793 and 25.244 kA, 11.585 and 53.156 J/cm2, 1029 and 2669 mm.
func ExampleEvaluate() {
	in := arc.Input{VoltageV: 480, FaultKA: 45, GapMM: 32, DistanceMM: 609.6,
		HeightMM: 610, WidthMM: 610, DepthMM: 254, Electrodes: arc.VCB}
	res, err := arc.Evaluate(&in, 61.3, 319, nil)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("full    %.3f kA %6.3f J/cm2 %4.0f mm\n", res.ArcingKA, res.EnergyFull*arc.Calorie, res.BoundaryFull)
	fmt.Printf("reduced %.3f kA %6.3f J/cm2 %4.0f mm\n", res.ArcingReducedKA, res.EnergyReduced*arc.Calorie, res.BoundaryReduced)
	fmt.Printf("%.1f cal/cm2, %v current governs\n", res.Energy, res.Governs)
	// Output:
	// full    28.793 kA 11.585 J/cm2 1029 mm
	// reduced 25.244 kA 53.156 J/cm2 2669 mm
	// 12.7 cal/cm2, reduced current governs
}

// The lines of an evaluation, for a person with a calculator.
func ExampleRecorder() {
	in := arc.Input{VoltageV: 480, FaultKA: 45, GapMM: 32, DistanceMM: 609.6,
		HeightMM: 610, WidthMM: 610, DepthMM: 254, Electrodes: arc.VCB}
	var rec arc.Recorder
	if _, err := arc.Evaluate(&in, 61.3, 319, &rec); err != nil {
		fmt.Println(err)
		return
	}
	for _, s := range rec.Steps {
		fmt.Printf("%s = %.5g %s [%s]\n", s.Symbol, s.Value, s.Unit, s.Source)
	}
	// Output:
	// Voc = 0.48 kV [given]
	// Ibf = 45 kA [given]
	// G = 32 mm [given]
	// x_600 = 1.5433  [IEEE 1584-2018 eq. 1, Table 1]
	// p_600 = 0.92879  [IEEE 1584-2018 eq. 1, Table 1]
	// I_arc,600 = 32.449 kA [IEEE 1584-2018 eq. 1, Table 1]
	// I_arc = 28.793 kA [IEEE 1584-2018 eq. 25]
	// VarCf = 0.24651  [IEEE 1584-2018 eq. 2, Table 2]
	// I_arc,min = 25.244 kA [IEEE 1584-2018 eq. 2]
	// H = 610 mm [given]
	// W = 610 mm [given]
	// depth = 254 mm [given]
	// H1 = 24.016 in [IEEE 1584-2018 eq. 12, Table 6]
	// W1 = 24.016 in [IEEE 1584-2018 eq. 11, Table 6]
	// EES = 24.016 in [IEEE 1584-2018 eq. 13]
	// CF = 1.0847  [IEEE 1584-2018 eq. 14, Table 7]
	// y_600 = 4.3272  [IEEE 1584-2018 eq. 6, Table 3]
	// y_600,min = 4.2725  [IEEE 1584-2018 eq. 6, Table 3]
	// T = 61.3 ms [given]
	// T_min = 319 ms [given]
	// D = 609.6 mm [given]
	// E = 11.585 J/cm2 [IEEE 1584-2018 eq. 6, Table 3]
	// E_min = 53.156 J/cm2 [IEEE 1584-2018 eq. 6, Table 3]
	// AFB = 1028.7 mm [IEEE 1584-2018 eq. 10, Table 3]
	// AFB_min = 2668.9 mm [IEEE 1584-2018 eq. 10, Table 3]
	// E = 12.705 cal/cm2 [1 cal = 4.184 J]
	// AFB = 2668.9 mm [IEEE 1584-2018 eq. 7 to 10, 22 to 24]
}

func ExampleInput_refused() {
	in := arc.Input{VoltageV: 480, FaultKA: 45, GapMM: 5, DistanceMM: 100, Electrodes: arc.VOA}
	_, err := arc.Currents(&in)
	fmt.Println(err)
	// Output:
	// gap 5 mm is below the model's 6.35 mm (IEEE 1584-2018 clause 4.2); working distance 100 mm is below the model's 304.8 mm (IEEE 1584-2018 clause 4.2)
}
