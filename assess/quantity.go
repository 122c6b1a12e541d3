package assess

import (
	"strconv"

	"vouchmark/assess/arc"
)

// The quantities of a study, each in one unit throughout the program. Zero means "not
// given": a reader refuses a stated zero.
type (
	// Volts is a nominal system voltage in volts: phase to phase on a three-phase
	// supply, between the two conductors on any other.
	Volts float64
	// KA is a current in kiloamperes.
	KA float64
	// CalCM2 is an incident energy or an arc rating in cal/cm².
	CalCM2 float64
	// MM is a length in millimeters.
	MM float64
	// MS is a duration in milliseconds.
	MS float64
	// Hertz is the frequency of a supply.
	Hertz float64
	// Inches is a length in inches, as used in an equation.
	Inches float64
	// Ratio is a pure number.
	Ratio float64
)

// MarshalJSON writes the number, or null if it is not given.
func (x KA) MarshalJSON() ([]byte, error)     { return given(x) }
func (x CalCM2) MarshalJSON() ([]byte, error) { return given(x) }
func (x MM) MarshalJSON() ([]byte, error)     { return given(x) }
func (x MS) MarshalJSON() ([]byte, error)     { return given(x) }
func (x Inches) MarshalJSON() ([]byte, error) { return given(x) }
func (x Ratio) MarshalJSON() ([]byte, error)  { return given(x) }

func given[T ~float64](x T) ([]byte, error) {
	if x == 0 {
		return []byte("null"), nil
	}
	return arc.AppendJSON(make([]byte, 0, 16), float64(x))
}

const (
	// JoulePerCal is the thermochemical calorie that IEEE Std 1584-2018 and
	// NFPA 70E use: 1.2 cal/cm² is 5.02 J/cm².
	JoulePerCal = 4.184
	// MMPerInch and MMPerFoot are exact by definition (NIST SP 811, B.8).
	MMPerInch = 25.4
	MMPerFoot = 304.8
)

// Threshold is the incident energy at the arc-flash boundary, below which arc-rated
// clothing is not required: 1.2 cal/cm² (NFPA 70E Article 100, definition of arc-flash
// boundary).
const Threshold CalCM2 = 1.2

// Round9 rounds x to 9 significant digits, the precision of everything stored.
func Round9(x float64) float64 { return arc.Round9(x) }

// More reports whether a result is more than another, ignoring the last of nine digits,
// which may differ between processors.
func More[T ~float64](was, is T) bool { return is > was*(1+1e-8) }

// Same reports whether two results agree, ignoring that digit.
func Same[T ~float64](a, b T) bool { return !More(a, b) && !More(b, a) }

// Number writes x as it is stored: its shortest decimal at 9 significant digits, without
// an exponent.
func Number[T ~float64](x T) string { return strconv.FormatFloat(Round9(float64(x)), 'f', -1, 64) }
