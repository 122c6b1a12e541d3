package assess

import "math"

// How numbers are rounded for print, in this one place: a hazard is never rounded down.
// Before rounding up, 1e-9 of the value is subtracted, so that binary noise does not
// raise a whole value: 4 x 304.8 mm is 48 in, not 49.

func up(x, step float64) float64 {
	return math.Ceil(x*(1-1e-9)/step) * step
}

// PrintedCal is the energy as printed in cal/cm²: up to the next 0.1. The kit
// and the signal word are chosen from this number.
func PrintedCal(e CalCM2) CalCM2 {
	return CalCM2(math.Ceil(float64(e)*10*(1-1e-9)) / 10)
}

// PrintedJoule is the energy as printed in J/cm²: up to the next 0.1.
func PrintedJoule(e CalCM2) float64 { return math.Ceil(float64(e)*JoulePerCal*10*(1-1e-9)) / 10 }

// PrintedBound is an energy that may be only a bound, as printed in cal/cm² and in J/cm²:
// "above" is rounded down, so that it stays true; anything else as by [PrintedCal] and
// [PrintedJoule].
func PrintedBound(e CalCM2, b Bound) (cal CalCM2, joule float64) {
	if b == Above {
		return CalCM2(math.Floor(float64(e)*10*(1+1e-9)) / 10), math.Floor(float64(e)*JoulePerCal*10*(1+1e-9)) / 10
	}
	return PrintedCal(e), PrintedJoule(e)
}

// PrintedInches is a length as printed in inches: up to the next whole one. Boundaries
// and working distances are rounded alike: a larger boundary is the safe side, and a
// shorter working distance would be wrong, since the energy is higher closer to the arc.
func PrintedInches(l MM) int { return int(up(float64(l)/MMPerInch, 1)) }

// PrintedMM is a length as printed in mm: up to the next 10.
func PrintedMM(l MM) int { return int(up(float64(l), 10)) }

// PrintedKA is a fault current as printed in kA: up to the next 0.1.
func PrintedKA(i KA) KA { return KA(math.Ceil(float64(i)*10*(1-1e-9)) / 10) }

// PrintedMS is a clearing time as printed in ms: up to the next 0.1.
func PrintedMS(t MS) MS { return MS(math.Ceil(float64(t)*10*(1-1e-9)) / 10) }
