package basis

import (
	"fmt"
	"math"

	"vouchmark/assess"
)

// Where a number is printed unchanged, nothing is said about rounding. Where a
// site prints two units, rounding in one of them is enough to say so.

// roundedEnergy says how an energy was rounded; "" where it was not.
func roundedEnergy(g assess.Governing[assess.CalCM2], u assess.Units) string {
	cal, joule := assess.PrintedBound(g.Value, g.Bound)
	switch {
	case (u == assess.SI || same(float64(cal), float64(g.Value))) &&
		(u == assess.US || same(joule, float64(g.Value)*assess.JoulePerCal)):
		return ""
	case g.Bound == assess.Above:
		return "; rounded down, so that “above” stays true"
	}
	return "; rounded up"
}

// roundedLength says it of a length, which is never rounded down.
func roundedLength(l assess.MM, u assess.Units) string {
	if (u == assess.SI || same(float64(assess.PrintedInches(l))*assess.MMPerInch, float64(l))) &&
		(u == assess.US || same(float64(assess.PrintedMM(l)), float64(l))) {
		return ""
	}
	return "; rounded up"
}

// same compares two numbers, apart from the noise of unit conversions.
func same(a, b float64) bool { return math.Abs(a-b) <= 1e-9*max(math.Abs(a), math.Abs(b)) }

// asStated spells a length of a row: in inches where they come out even, as in
// most studies here, else in mm.
func asStated(l assess.MM) string {
	in := float64(l) / assess.MMPerInch
	if plain := math.Round(in*100) / 100; same(plain, in) {
		return fmt.Sprintf("%s in", assess.Number(plain))
	}
	return assess.Number(l) + " mm"
}
