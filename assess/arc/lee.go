package arc

import "math"

const sourceLee = "Lee method, NFPA 70E Annex D"

// leeEnergy returns the energy of the Lee method, J/cm2, at a voltage in kV, bolted fault
// current in kA, time in s and distance in mm. The form with these units was written down
// from memory; the inch form 793 F V t / D^2 of NFPA 70E Annex D agrees.
func leeEnergy(kv, ibf, t, d float64) float64 {
	return 2.142e6 * kv * ibf * t / (d * d) // Lee, NFPA 70E Annex D
}

// leeBoundary returns the distance, mm, at which the Lee method gives an energy in J/cm2.
func leeBoundary(kv, ibf, t, joules float64) float64 {
	return math.Sqrt(2.142e6 * kv * ibf * t / joules) // Lee, NFPA 70E Annex D
}

// Lee computes energy and boundary by the Lee method: theoretical, three-phase, open air,
// and here only above 15 kV, where IEEE 1584-2018 ends, since below it gives too little.
// voltageV is the voltage line to line in V, above 15 000; faultKA the bolted fault current
// in kA, distanceMM the working distance in mm, clearMS the arc duration in ms, all above
// 0. The result carries [CautionLee]. The error is a [Refusals]. rec may be nil.
func Lee(voltageV, faultKA, distanceMM, clearMS float64, rec *Recorder) (PointSource, error) {
	var r Refusals
	if r.positive("voltage", "V", voltageV, sourceLee) && voltageV <= MaxVoltageV {
		r = append(r, &Refusal{Quantity: "voltage", Unit: "V", Bound: Below, Found: voltageV, Limit: MaxVoltageV,
			Note: "the Lee method is taken only above it", Source: sourceLee})
	}
	r.positive("bolted fault current", "kA", faultKA, sourceLee)
	r.positive("working distance", "mm", distanceMM, sourceLee)
	r.positive("arc duration", "ms", clearMS, sourceLee)
	if len(r) > 0 {
		return PointSource{}, r
	}
	kv, t := voltageV/1000, clearMS/1000
	j := leeEnergy(kv, faultKA, t, distanceMM)
	d := leeBoundary(kv, faultKA, t, BoundaryEnergy*Calorie)
	if !positive(j) || !positive(d) {
		return PointSource{}, noValue("incident energy or boundary", sourceLee)
	}
	p := PointSource{Energy: j / Calorie, Boundary: d, Cautions: CautionLee}
	if rec != nil {
		rec.add("T", clearMS, "ms", "given", "arc duration")
		rec.add("E", j, "J/cm2", sourceLee, "incident energy: 2.142e6 V Ibf t / D^2, V in kV, t in s, D in mm")
		rec.add("E", p.Energy, "cal/cm2", "1 cal = 4.184 J", "result")
		rec.add("D_B", d, "mm", sourceLee, "boundary: sqrt(2.142e6 V Ibf t / E_B), E_B = 5.0208 J/cm2")
	}
	return p, nil
}
