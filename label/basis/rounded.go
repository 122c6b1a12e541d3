package basis

import (
	"fmt"
	"math"

	"vouchmark/assess"
)

// A number that is printed as it stands was not rounded, and nothing says that
// it was. Where a site has two units, one of the two is enough.

// roundedEnergy is what is said of the rounding of an energy; "" for none.
func roundedEnergy(g assess.Governing[assess.CalCM2], u assess.Units) string {
	cal, joule := assess.PrintedBound(g.Value, g.Bound)
	switch {
	case (u == assess.SI || same(float64(cal), float64(g.Value))) &&
		(u == assess.US || same(joule, float64(g.Value)*assess.JoulePerCal)):
		return ""
	case g.Bound == assess.Above:
		return "; rounded down, so that what is said stays true"
	}
	return "; rounded up"
}

// roundedLength is that of a length, which is never rounded down.
func roundedLength(l assess.MM, u assess.Units) string {
	if (u == assess.SI || same(float64(assess.PrintedInches(l))*assess.MMPerInch, float64(l))) &&
		(u == assess.US || same(float64(assess.PrintedMM(l)), float64(l))) {
		return ""
	}
	return "; rounded up"
}

// same compares two numbers but for the noise of their units.
func same(a, b float64) bool { return math.Abs(a-b) <= 1e-9*max(math.Abs(a), math.Abs(b)) }

// asStated spells a length of a row: in inches where they are plain, as most
// studies here state it, else in mm.
func asStated(l assess.MM) string {
	in := float64(l) / assess.MMPerInch
	if plain := math.Round(in*100) / 100; same(plain, in) {
		return fmt.Sprintf("%s in", assess.Number(plain))
	}
	return assess.Number(l) + " mm"
}
