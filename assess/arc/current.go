package arc

import "math"

// Arcing is what the current part of the model gives: kA throughout.
type Arcing struct {
	FullKA         float64    // final arcing current
	ReducedKA      float64    // reduced arcing current, FullKA (1 - 0.5 Variation)
	Variation      float64    // variation factor VarCf
	IntermediateKA [3]float64 // at 600, 2700 and 14 300 V; the last two 0 up to 600 V
}

// lg returns the logarithm of x to base 10.
func lg(x float64) float64 { return float64(math.Log(x) * math.Log10E) }

// exp10 returns 10 to the x.
func exp10(x float64) float64 { return math.Exp(x * math.Ln10) }

// horner returns the polynomial of degree 6 with coefficients k, highest power first. Each
// product is rounded before it is added, so that no machine fuses them.
func horner(k *[7]float64, x float64) float64 {
	p := float64(k[0]*x) + k[1]
	p = float64(p*x) + k[2]
	p = float64(p*x) + k[3]
	p = float64(p*x) + k[4]
	p = float64(p*x) + k[5]
	return float64(p*x) + k[6]
}

// variation returns VarCf at a voltage in kV.
func variation(e Electrodes, kv float64) float64 {
	return horner(&variationTable[e.row()], kv) // eq. 2, Table 2
}

// final600 returns 1/I_arc^2 of the final arcing current in kA, at or below 0.6 kV, from
// the intermediate one of 600 V and the bolted fault current: the radicand of eq. 25. Not
// above zero where the equation has no real value.
func final600(kv, i600, ibf float64) float64 {
	v2, u2 := float64(kv*kv), float64(kv600*kv600)
	return u2 / v2 * (1/float64(i600*i600) - (u2-v2)/(u2*ibf*ibf)) // eq. 25
}

// intermediate fills in the intermediate arcing currents, and the terms that the energy
// equations share with them.
func (m *Model) intermediate(rec *Recorder) {
	e := m.in.Electrodes.row()
	for t := range m.tables {
		row := &currentTable[e][t]
		p := horner(&row.poly, m.in.FaultKA)                              // eq. 1, Table 1, k4 to k10
		x := row.k1 + float64(row.k2*m.lgFault) + float64(row.k3*m.lgGap) // eq. 1, Table 1, k1 to k3
		m.poly[t] = p
		m.arcing.IntermediateKA[t] = float64(exp10(x) * p) // eq. 1
		if m.tables == 3 {
			m.lgI[t] = x + lg(p) // lg of eq. 1
		}
		if rec != nil {
			const source = "IEEE 1584-2018 eq. 1, Table 1"
			rec.add("x_"+volts[t], x, "", source,
				rec.coefficients("k1 + k2 log10 Ibf + k3 log10 G", "k", 1, row.k1, row.k2, row.k3))
			rec.add("p_"+volts[t], p, "", source,
				rec.coefficients("k4 Ibf^6 + k5 Ibf^5 + k6 Ibf^4 + k7 Ibf^3 + k8 Ibf^2 + k9 Ibf + k10", "k", 4, row.poly[:]...))
			rec.add("I_arc,"+volts[t], m.arcing.IntermediateKA[t], "kA", source, "intermediate arcing current: 10^x times p")
		}
	}
}

// final fills the final and the reduced arcing current.
func (m *Model) final(rec *Recorder) error {
	a := &m.arcing
	if m.tables == 1 {
		x := final600(m.kv, a.IntermediateKA[0], m.in.FaultKA)
		a.FullKA = 1 / math.Sqrt(x) // eq. 25
		m.lgI[0] = -0.5 * lg(x)     // lg of eq. 25; what eq. 6 takes
		if rec != nil {
			rec.add("I_arc", a.FullKA, "kA", "IEEE 1584-2018 eq. 25",
				"final arcing current: 1 / sqrt((0.6/Voc)^2 (1/I_arc,600^2 - (0.6^2 - Voc^2) / (0.6^2 Ibf^2)))")
		}
	} else {
		a.FullKA = m.place.interpolate(&a.IntermediateKA, rec, &currentSteps, caseFull) // eq. 16 to 18
	}
	a.ReducedKA = float64(a.FullKA * m.reduce) // eq. 2
	if rec != nil {
		rec.add("VarCf", a.Variation, "", "IEEE 1584-2018 eq. 2, Table 2",
			rec.coefficients("variation: k1 V^6 + k2 V^5 + k3 V^4 + k4 V^3 + k5 V^2 + k6 V + k7, V in kV", "k", 1,
				variationTable[m.in.Electrodes.row()][:]...))
		rec.add("I_arc,min", a.ReducedKA, "kA", "IEEE 1584-2018 eq. 2", "reduced arcing current: I_arc (1 - 0.5 VarCf)")
	}
	if !positive(a.FullKA) || !positive(a.ReducedKA) {
		return noValue("arcing current", "IEEE 1584-2018 eq. 1, 2, 25")
	}
	return nil
}
