package suppose

import (
	"math"

	"vouchmark/assess"
)

// How a fault current follows from a changed impedance: three-phase, per phase, in
// magnitudes only, since a study's fault current, a nameplate or a feeder gives no more.
// Let c be the whole impedance that a location sees, a the part that changes, k the ratio
// of its new to its old magnitude (its X/R ratio stays), b the rest, all of them vectors
// with R >= 0 and X >= 0 and c = a + b:
//
//	c² = a² + b² + 2 a·b     a·b lies between 0 (right angle) and |a||b| (one X/R)
//	c - a <= b <= √(c² - a²)
//	new² = k²a² + b² + 2k a·b = k²a² + k (c² - a²) + (1 - k) b²
//
// which is monotone in b², so the ends of b give the ends of the new impedance. At the end
// b = c - a it is the sum of magnitudes k a + c - a. That end is the farther one from the
// present, for a rise as well as for a fall.

// series is the range of the ratio of the new to the present impedance. most is an upper
// bound of b, infinite if there is none; c >= a > 0, k > 0.
func series(c, a, k, most float64) (least, largest float64) {
	far := float64(k*a) + (c - a)
	across := float64((c - a) * (c + a)) // c² - a²
	b := min(math.Sqrt(across), max(most, c-a))
	near := math.Sqrt(float64(k*a*k*a) + float64(k*across) + float64((1-k)*b*b))
	return min(far, near) / c, max(far, near) / c
}

// coarse is the range of the ratio of the new to the present fault current if there is
// more than one path upstream: a network of impedances with one X/R ratio gives no less
// than before and no more than if all of it changed by the ratio (Rayleigh's monotonicity
// law). That is also true for the ratio of the fault current at the changed place: any
// other impedance to the sources is A + B times the one seen there, with A >= 0, B >= 0.
func coarse(ratio float64) (least, largest float64) { return min(1, ratio), max(1, ratio) }

// milliohm is the impedance that corresponds to a fault current.
func milliohm(v assess.Volts, i assess.KA) float64 {
	return float64(v) / (math.Sqrt(3) * float64(i))
}

// refer is an impedance at one voltage as seen from another.
func refer(milliohm float64, from, to assess.Volts) float64 {
	n := float64(to / from)
	return milliohm * n * n
}
