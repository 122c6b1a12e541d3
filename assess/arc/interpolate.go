package arc

import (
	"strconv"
	"strings"
)

// place is where a voltage above 0.6 kV is between the three voltages of the tables.
type place struct {
	upTo2700   bool
	f1, f2, f3 float64
}

func (p *place) set(kv float64) {
	p.upTo2700 = kv <= kv2700
	p.f1 = (kv - kv2700) / 2.1   // eq. 16, 18, 19, 21, 22, 24
	p.f2 = (kv - kv14300) / 11.6 // eq. 17, 20, 23
	p.f3 = (kv - kv600) / 2.1    // eq. 18, 21, 24
}

// interpolate interpolates between the results x of 600, 2700 and 14 300 V (eq. 16 to 18 for
// currents, 19 to 21 for energies, 22 to 24 for boundaries), and records it as steps of one
// case.
func (p *place) interpolate(x *[3]float64, rec *Recorder, steps *interpolated, which int) float64 {
	var x1, x3 float64
	x2 := float64((x[2]-x[1])*p.f2) + x[2] // eq. 17, 20, 23
	result := x2
	if p.upTo2700 {
		x1 = float64((x[1]-x[0])*p.f1) + x[1]    // eq. 16, 19, 22
		x3 = float64(x2*p.f3) - float64(x1*p.f1) // eq. 18, 21, 24
		result = x3
	}
	if rec != nil {
		steps.record(rec, p.upTo2700, [...]float64{x1, x2, x3, result}, which)
	}
	return result
}

// interpolated is what the steps of an interpolation say.
type interpolated struct {
	name, line, result string // in formulas, and the beginnings of the symbols of the lines and of the result
	unit, what         string
	equation           int // the first of its three
}

var (
	currentSteps  = interpolated{"I", "I_arc,", "I_arc", "kA", "final arcing current", 16} // eq. 16 to 18
	energySteps   = interpolated{"E", "E_", "E", "J/cm2", "incident energy", 19}           // eq. 19 to 21
	boundarySteps = interpolated{"AFB", "AFB_", "AFB", "mm", "arc-flash boundary", 22}     // eq. 22 to 24
)

// record adds the steps of an interpolation of one case: the values of its lines 1 to 3, of
// which 1 and 3 are needed up to 2.7 kV only, and the result.
func (i *interpolated) record(r *Recorder, upTo2700 bool, x [4]float64, which int) {
	line := func(n int, words string) {
		r.add(i.line+strconv.Itoa(n)+lineEnd[which], x[n-1], i.unit, "IEEE 1584-2018 eq. "+strconv.Itoa(i.equation+n-1),
			strings.ReplaceAll(words, "X", i.name))
	}
	if upTo2700 {
		line(1, "between 600 and 2700 V: (X_2700 - X_600) / 2.1 (Voc - 2.7) + X_2700")
	}
	line(2, "between 2700 and 14300 V: (X_14300 - X_2700) / 11.6 (Voc - 14.3) + X_14300")
	if upTo2700 {
		line(3, "X_1 (2.7 - Voc) / 2.1 + X_2 (Voc - 0.6) / 2.1")
	}
	r.add(i.result+resultEnd[which], x[3], i.unit,
		"IEEE 1584-2018 eq. "+strconv.Itoa(i.equation)+" to "+strconv.Itoa(i.equation+2),
		i.what+": "+i.name+"_3 up to 2.7 kV, "+i.name+"_2 above")
}
