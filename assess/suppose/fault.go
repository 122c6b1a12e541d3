package suppose

import (
	"math"

	"vouchmark/assess"
)

// How a fault current follows a changed impedance. Three-phase, per phase, in
// magnitudes alone: that is all that a study's fault current, a nameplate or a
// feeder tells. With c the whole impedance that a location sees, a the part
// that changes, k its new over its old magnitude (its X/R stays), b the rest,
// all of them vectors with R >= 0 and X >= 0 and c = a + b:
//
//	c² = a² + b² + 2 a·b     a·b lies between 0 (right angle) and |a||b| (one X/R)
//	c - a <= b <= √(c² - a²)
//	new² = k²a² + b² + 2k a·b = k²a² + k (c² - a²) + (1 - k) b²
//
// which is monotone in b², so the ends of b are the ends of the new impedance.
// At the end b = c - a it is the sum of magnitudes k a + c - a. That end is
// the farther one from the present, both for a rise and for a fall.

// series is the interval of the new impedance over the present one. most is a
// bound of b from above, infinite where there is none; c >= a > 0, k > 0.
func series(c, a, k, most float64) (least, largest float64) {
	far := float64(k*a) + (c - a)
	across := float64((c - a) * (c + a)) // c² - a²
	b := min(math.Sqrt(across), max(most, c-a))
	near := math.Sqrt(float64(k*a*k*a) + float64(k*across) + float64((1-k)*b*b))
	return min(far, near) / c, max(far, near) / c
}

// coarse is the interval of the new fault current over the present one where
// more than one way leads up: a network of impedances of one X/R gives neither
// less than before nor more than it would if all of it changed by the ratio
// (Rayleigh's monotonicity law). That holds too where the ratio is that of the
// fault current at the changed place: any other impedance to the sources is
// A + B times the one seen there, with A >= 0 and B >= 0.
func coarse(ratio float64) (least, largest float64) { return min(1, ratio), max(1, ratio) }

// milliohm is the impedance that a fault current stands for.
func milliohm(v assess.Volts, i assess.KA) float64 {
	return float64(v) / (math.Sqrt(3) * float64(i))
}

// refer is an impedance at one voltage as seen from another.
func refer(milliohm float64, from, to assess.Volts) float64 {
	n := float64(to / from)
	return milliohm * n * n
}
