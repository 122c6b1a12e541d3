package label

import (
	"fmt"
	"strconv"

	"vouchmark/assess"
)

// How printed numbers are worded. Rounding is in assess; here is only the
// spelling: a blank before the unit, no trailing .0 but in energies.

// Energy words an incident energy as printed, with its unit and always one
// decimal: "63.0 cal/cm²". A metric label shows cal/cm² as well, since that is
// what garments are marked with.
func Energy(e assess.CalCM2, u assess.Units) string { return energy(e, "", u) }

// EnergyOf is Energy for a governing energy. If the study states only a bound, it
// says so, in English.
func EnergyOf(g assess.Governing[assess.CalCM2], u assess.Units) string { return english.energy(g, u) }

// energy writes an energy, or its bound: "above 40 cal/cm²".
func (t *wording) energy(g assess.Governing[assess.CalCM2], u assess.Units) string {
	text := "{energy}"
	switch g.Bound {
	case assess.Above:
		text = t.EnergyAbove
	case assess.Under:
		text = t.EnergyBelow
	}
	return fill(text, "energy", t.number(energy(g.Value, g.Bound, u)))
}

func energy(e assess.CalCM2, b assess.Bound, u assess.Units) string {
	c, j := assess.PrintedBound(e, b)
	spelt := func(v float64) string { return strconv.FormatFloat(v, 'f', 1, 64) }
	if b != "" {
		spelt = assess.Number[float64] // as the study states it
	}
	cal, joule := spelt(float64(c))+" cal/cm²", spelt(float64(j))+" J/cm²"
	return in(u, cal, joule, joule+" ("+cal+")")
}

// in writes a number in a site's units. A metric number alone may have more digits
// than next to the US one.
func in(u assess.Units, us, metric, alone string) string {
	switch u {
	case assess.SI:
		return alone
	case assess.Both:
		return us + " (" + metric + ")"
	}
	return us
}

// Length words a boundary as printed: 46 in, 13 ft 5 in, or 1170 mm, 4.1 m, so
// that boundaries up to an arm's reach apart are compared in one unit. metric is
// the length that a metric label shows, which for a table's row is not always a
// conversion of the other.
func Length(l, metric assess.MM, u assess.Units) string {
	return in(u, feet(l), metres(metric), metres(metric))
}

// Boundary words a boundary in the list of boundaries, where they are compared:
// one that is in feet has its inches too, so that 60 ft is not taken for the
// 60 in below it: 161 in (13 ft 5 in).
func Boundary(l, metric assess.MM, u assess.Units) string {
	if in := assess.PrintedInches(l); u == assess.US && in >= leastFeet {
		return fmt.Sprintf("%d in (%s)", in, feet(l))
	}
	return Length(l, metric, u)
}

// leastFeet is from how many inches on a length is in feet.
const leastFeet = 72

// Distance writes a working distance as printed: always in inches, or in mm.
func Distance(l assess.MM, u assess.Units) string {
	mm := fmt.Sprintf("%d mm", assess.PrintedMM(l))
	return in(u, fmt.Sprintf("%d in", assess.PrintedInches(l)), mm, mm)
}

// feet turns to feet from six feet on: nearer in, the working distance and the
// boundaries are all in inches, and are compared at a glance.
func feet(l assess.MM) string {
	in := assess.PrintedInches(l)
	switch {
	case in < leastFeet:
		return fmt.Sprintf("%d in", in)
	case in%12 == 0:
		return fmt.Sprintf("%d ft", in/12)
	}
	return fmt.Sprintf("%d ft %d in", in/12, in%12)
}

// metres uses meters from two on.
func metres(l assess.MM) string {
	mm := assess.PrintedMM(l)
	if mm < 2000 {
		return fmt.Sprintf("%d mm", mm)
	}
	return assess.Number(float64(mm)/1000) + " m"
}

// Voltage writes a voltage exactly: 480 V, 13.8 kV.
func Voltage(v assess.Volts) string {
	if v >= 1000 {
		return assess.Number(float64(v)/1000) + " kV"
	}
	return assess.Number(v) + " V"
}

// Current writes a fault current as printed.
func Current(i assess.KA) string { return assess.Number(assess.PrintedKA(i)) + " kA" }

// Duration writes a clearing time as printed.
func Duration(t assess.MS) string { return assess.Number(assess.PrintedMS(t)) + " ms" }
