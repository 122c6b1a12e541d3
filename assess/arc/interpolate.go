package arc

import (
	"strconv"
	"strings"
)

// place is where a voltage above 0.6 kV stands between the three of the tables.
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

// between holds the lines of an interpolation over the voltage; x1 and x3 are needed up to
// 2.7 kV only.
type between struct{ x1, x2, x3 float64 }

// interpolate returns the lines of the interpolation between the results x of 600, 2700
// and 14 300 V (eq. 16 to 18 for currents, 19 to 21 for energies, 22 to 24 for boundaries).
func (p *place) interpolate(x *[3]float64) (b between) {
	b.x2 = float64((x[2]-x[1])*p.f2) + x[2] // eq. 17, 20, 23
	if p.upTo2700 {
		b.x1 = float64((x[1]-x[0])*p.f1) + x[1]        // eq. 16, 19, 22
		b.x3 = float64(b.x2*p.f3) - float64(b.x1*p.f1) // eq. 18, 21, 24
	}
	return b
}

// result chooses the line that counts.
func (p *place) result(b between) float64 {
	if p.upTo2700 {
		return b.x3
	}
	return b.x2
}

// interpolated is what the steps of an interpolation say.
type interpolated struct {
	name, line, result string // in formulas, and how the symbols of the lines and of the result begin
	unit, what         string
	equation           int // the first of its three
}

var (
	currentSteps  = interpolated{"I", "I_arc,", "I_arc", "kA", "final arcing current", 16} // eq. 16 to 18
	energySteps   = interpolated{"E", "E_", "E", "J/cm2", "incident energy", 19}           // eq. 19 to 21
	boundarySteps = interpolated{"AFB", "AFB_", "AFB", "mm", "arc-flash boundary", 22}     // eq. 22 to 24
)

// record adds the steps of an interpolation of one case.
func (p *place) record(r *Recorder, b between, of *interpolated, which int) {
	line := func(n int, x float64, words string) {
		r.add(of.line+strconv.Itoa(n)+lineEnd[which], x, of.unit, "IEEE 1584-2018 eq. "+strconv.Itoa(of.equation+n-1),
			strings.ReplaceAll(words, "X", of.name))
	}
	if p.upTo2700 {
		line(1, b.x1, "between 600 and 2700 V: (X_2700 - X_600) / 2.1 (Voc - 2.7) + X_2700")
	}
	line(2, b.x2, "between 2700 and 14300 V: (X_14300 - X_2700) / 11.6 (Voc - 14.3) + X_14300")
	if p.upTo2700 {
		line(3, b.x3, "X_1 (2.7 - Voc) / 2.1 + X_2 (Voc - 0.6) / 2.1")
	}
	r.add(of.result+resultEnd[which], p.result(b), of.unit,
		"IEEE 1584-2018 eq. "+strconv.Itoa(of.equation)+" to "+strconv.Itoa(of.equation+2),
		of.what+": "+of.name+"_3 up to 2.7 kV, "+of.name+"_2 above")
}
