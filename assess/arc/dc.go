package arc

import "math"

const (
	sourceDC     = "NFPA 70E Annex D.5"
	maxDCVoltage = 1000 // V, NFPA 70E Annex D.5
)

// DCMaxPower computes energy and boundary of a DC arc by the maximum-power method: the arc
// takes half the voltage at half the bolted fault current. From memory of NFPA 70E Annex
// D.5; checked against the DC table's boundaries. voltageV is the system voltage in V,
// above 0 up to 1000; faultKA the bolted fault current in kA, distanceMM the working
// distance in mm, clearMS the arc duration in ms, all above 0. multiplier is the owner's
// choice for an enclosure: exactly 1 (open air) or 3, anything else is refused, 0 as well.
// The result carries [CautionDC]. The error is a [Refusals]. rec may be nil.
func DCMaxPower(voltageV, faultKA, distanceMM, clearMS, multiplier float64, rec *Recorder) (PointSource, error) {
	var r Refusals
	if r.positive("DC voltage", "V", voltageV, sourceDC) && voltageV > maxDCVoltage {
		r = append(r, &Refusal{Quantity: "DC voltage", Unit: "V", Bound: Above,
			Found: voltageV, Limit: maxDCVoltage, Source: sourceDC})
	}
	r.positive("bolted fault current", "kA", faultKA, sourceDC)
	r.positive("working distance", "mm", distanceMM, sourceDC)
	r.positive("arc duration", "ms", clearMS, sourceDC)
	if multiplier != 1 && multiplier != 3 {
		f := &Refusal{Quantity: "enclosure multiplier", Bound: NotChoice, Found: multiplier,
			Note: "1 or 3, by explicit choice", Source: sourceDC}
		if multiplier == 0 {
			f.Bound = Missing
		}
		r = append(r, f)
	}
	if len(r) > 0 {
		return PointSource{}, r
	}
	arcing := 0.5 * faultKA                                   // D.5: Iarc = 0.5 Ibf
	power := 0.01 * voltageV * arcing * 1000 * clearMS / 1000 // D.5: 0.01 V Iarc t, Iarc in A, t in s
	cm := distanceMM / 10
	e := multiplier * power / (cm * cm)                  // D.5, times the choice for an enclosure
	d := 10 * math.Sqrt(multiplier*power/BoundaryEnergy) // D.5 solved for D at 1.2 cal/cm2
	if !positive(e) || !positive(d) {
		return PointSource{}, noValue("incident energy or boundary", sourceDC)
	}
	if rec != nil {
		rec.add("T", clearMS, "ms", "given", "arc duration")
		rec.add("Iarc", arcing, "kA", sourceDC, "arcing current: 0.5 Ibf")
		rec.add("m", multiplier, "", "owner's choice", "multiplier: 1 in open air, 3 for an enclosure")
		rec.add("E", e, "cal/cm2", sourceDC, "result: m 0.01 V Iarc t / D^2, Iarc in A, t in s, D in cm")
		rec.add("D_B", d, "mm", sourceDC, "boundary: 10 sqrt(m 0.01 V Iarc t / 1.2)")
	}
	return PointSource{ArcingKA: arcing, Energy: e, Boundary: d, Cautions: CautionDC}, nil
}
