package assess

import "strconv"

// The quantities of a study, each in one unit throughout the program. Zero
// stands for "not given": a reader refuses a zero where a number is stated.
type (
	// Volts is a nominal system voltage in volts: phase to phase on a
	// three-phase supply, between the two conductors on any other.
	Volts float64
	// KA is a current in kiloamperes.
	KA float64
	// CalCM2 is an incident energy or an arc rating in cal/cm².
	CalCM2 float64
	// MM is a length in millimetres.
	MM float64
	// MS is a duration in milliseconds.
	MS float64
)

const (
	// JoulePerCal is the thermochemical calorie that IEEE Std 1584-2018 and
	// NFPA 70E use: 1.2 cal/cm² is 5.02 J/cm².
	JoulePerCal = 4.184
	// MMPerInch and MMPerFoot are exact by definition (NIST SP 811, B.8).
	MMPerInch = 25.4
	MMPerFoot = 304.8
)

// Threshold is the incident energy that marks the arc-flash boundary and below
// which no arc-rated kit is demanded: 1.2 cal/cm² (NFPA 70E Article 100,
// definition of arc-flash boundary).
const Threshold CalCM2 = 1.2

// Round9 rounds x to 9 significant digits, the precision of everything that is
// stored. It goes through decimal text, which is the same on every processor.
func Round9(x float64) float64 {
	r, err := strconv.ParseFloat(strconv.FormatFloat(x, 'e', 8, 64), 64)
	if err != nil { // only for an infinity, which no reader lets through
		return x
	}
	return r
}
