package assess

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// How texts for a person spell energies and lengths: in the units of the site, as its
// labels do. Garments are marked in cal/cm², so a metric text has that number too.

// Energy spells an energy with a number of significant digits: "5.5 cal/cm²", or
// "23.01 J/cm² (5.5 cal/cm²)". Stored energies are in cal/cm² with nine digits, so more
// than seven of the joules would show the noise of the conversion.
func (u Units) Energy(e CalCM2, digits int) string {
	cal := Digits(e, digits) + " cal/cm²"
	joule := Digits(float64(e)*JoulePerCal, min(digits, 7)) + " J/cm²"
	switch u {
	case SI:
		return joule + " (" + cal + ")"
	case Both:
		return cal + " (" + joule + ")"
	}
	return cal
}

// Length spells a length with a number of significant digits: "17.99 in", or "457 mm".
func (u Units) Length(l MM, digits int) string {
	inches, mm := Digits(l/MMPerInch, digits)+" in", Digits(l, digits)+" mm"
	switch u {
	case SI:
		return mm
	case Both:
		return inches + " (" + mm + ")"
	}
	return inches
}

// Digits writes x with a number of significant digits, without an exponent and without
// zeros at its end. The digits before the point are never rounded away.
func Digits[T ~float64](x T, digits int) string {
	whole := 1
	if x != 0 {
		whole = int(math.Floor(math.Log10(math.Abs(float64(x))))) + 1 // negative for zeros after the point
	}
	text := strconv.FormatFloat(float64(x), 'f', max(0, digits-whole), 64)
	if strings.Contains(text, ".") {
		text = strings.TrimRight(strings.TrimRight(text, "0"), ".")
	}
	return text
}

// energy and length spell what a message is about.
func (a *Assessment) energy(e CalCM2, digits int) string { return a.Policy.Units.Energy(e, digits) }
func (a *Assessment) length(l MM, digits int) string     { return a.Policy.Units.Length(l, digits) }

// both spells the two results of a study: "5.5 cal/cm² and 17.99 in".
func (a *Assessment) both(e CalCM2, boundary MM, digits int) string {
	return fmt.Sprintf("%s and %s", a.energy(e, digits), a.length(boundary, digits))
}
