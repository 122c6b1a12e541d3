package arc

// Calorie is the number of joules in a calorie, as the standard counts it.
const Calorie = 4.184 // J/cal; 1.2 cal/cm2 is 5.0208 J/cm2

// BoundaryEnergy is the energy at the arc-flash boundary, cal/cm2 (eq. 7 to 10; NFPA 70E
// 130.5).
const BoundaryEnergy = 1.2

const (
	perMS        = 12.552 / 50                      // J/cm2 per ms, eq. 3 to 6
	boundaryTime = BoundaryEnergy * Calorie / perMS // ms: the 20 of lg(20/T) in eq. 7 to 10
)

// The two cases.
const (
	caseFull = iota
	caseReduced
)

// bases fills, for each table's voltage and for both currents, the lg of the energy's
// factors other than time and distance, which energy and boundary share.
func (m *Model) bases(rec *Recorder) {
	e := m.in.Electrodes.row()
	for t := range m.tables {
		k := &energyTable[e][t]
		// k3 Ia / (k4 Ibf^7 + ... + k10 Ibf), eq. 3 to 6
		ratio := k.k3 * m.arcing.IntermediateKA[t] / (m.in.FaultKA * m.poly[t])
		same := k.k1 + float64(k.k2*m.lgGap) + float64(k.k11*m.lgFault) - m.lgSize // eq. 3 to 6; lg(1/CF) = -lg CF
		reduced := ratio                                                           // eq. 6: up to 600 V never reduced here
		if m.tables == 3 {
			reduced = float64(ratio * m.reduce) // eq. 3 to 5: above, it is
		}
		m.basis[caseFull][t] = same + ratio + float64(k.k13*m.lgI[t])                   // eq. 3 to 6
		m.basis[caseReduced][t] = same + reduced + float64(k.k13*(m.lgI[t]+m.lgReduce)) // eq. 3 to 6 with eq. 2
		if rec != nil {
			source := sourceEnergy[t]
			if m.tables == 1 {
				source = "IEEE 1584-2018 eq. 6, Table 3"
			}
			words := ""
			if !rec.NoWords {
				words = "k1 + k2 log10 G + k3 Ia / (k4 Ibf^7 + k5 Ibf^6 + k6 Ibf^5 + k7 Ibf^4 + k8 Ibf^3 + k9 Ibf^2 + k10 Ibf)" +
					" + k11 log10 Ibf + k13 log10 I + log10(1/CF)" + rec.coefficients("", "k", 1, k.k1, k.k2, k.k3) +
					rec.coefficients("", "k", 11, k.k11, 0, k.k13) + "; k4 to k10 as in p"
			}
			for which := range m.basis {
				w := words
				if w != "" {
					w = m.currentWords(which) + w
				}
				rec.add("y_"+volts[t]+lineEnd[which], m.basis[which][t], "", source, w)
			}
		}
	}
}

// currentWords says which currents stand for Ia and I.
func (m *Model) currentWords(which int) string {
	switch {
	case m.tables == 1 && which == caseFull:
		return "full current (Ia = I_arc,600, I = I_arc): "
	case m.tables == 1:
		return "reduced current (Ia = I_arc,600 not reduced, I = I_arc,min): "
	case which == caseFull:
		return "full current (Ia = I = the intermediate arcing current): "
	}
	return "reduced current (Ia = I = the intermediate arcing current times 1 - 0.5 VarCf): "
}

// energy returns the incident energy, J/cm2, of one case at lg of the distance in mm for a
// duration in ms.
func (m *Model) energy(which int, lgD, clearMS float64, rec *Recorder) float64 {
	k := &energyTable[m.in.Electrodes.row()]
	time := perMS * clearMS
	if m.tables == 1 {
		j := float64(time * exp10(m.basis[which][0]+float64(k[0].k12*lgD))) // eq. 6, Table 3
		if rec != nil {
			rec.add("E"+resultEnd[which], j, "J/cm2", "IEEE 1584-2018 eq. 6, Table 3",
				rec.coefficients("incident energy: 12.552/50 T 10^(y + k12 log10 D)", "k", 12, k[0].k12))
		}
		return j
	}
	var x [3]float64
	for t := range x {
		x[t] = float64(time * exp10(m.basis[which][t]+float64(k[t].k12*lgD))) // eq. 3 to 5, Tables 3 to 5
		if rec != nil {
			rec.add("E_"+volts[t]+lineEnd[which], x[t], "J/cm2", sourceEnergy[t],
				rec.coefficients("intermediate energy: 12.552/50 T 10^(y + k12 log10 D)", "k", 12, k[t].k12))
		}
	}
	return m.place.interpolate(&x, rec, &energySteps, which) // eq. 19 to 21
}

// boundary returns the arc-flash boundary, mm, of one case; lgT is lg(20/T).
func (m *Model) boundary(which int, lgT float64, rec *Recorder) float64 {
	k := &energyTable[m.in.Electrodes.row()]
	if m.tables == 1 {
		d := exp10((m.basis[which][0] - lgT) / -k[0].k12) // eq. 10, Table 3
		if rec != nil {
			rec.add("AFB"+resultEnd[which], d, "mm", "IEEE 1584-2018 eq. 10, Table 3",
				rec.coefficients("arc-flash boundary (AFB): 10^((y - log10(20/T)) / -k12)", "k", 12, k[0].k12))
		}
		return d
	}
	var x [3]float64
	for t := range x {
		x[t] = exp10((m.basis[which][t] - lgT) / -k[t].k12) // eq. 7 to 9, Tables 3 to 5
		if rec != nil {
			rec.add("AFB_"+volts[t]+lineEnd[which], x[t], "mm", sourceBoundary[t],
				rec.coefficients("intermediate arc-flash boundary: 10^((y - log10(20/T)) / -k12)", "k", 12, k[t].k12))
		}
	}
	return m.place.interpolate(&x, rec, &boundarySteps, which) // eq. 22 to 24
}
