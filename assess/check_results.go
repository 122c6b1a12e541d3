package assess

import "math"

const (
	// nearThreshold is how far from 1.2 cal/cm² an energy may be for a
	// contradiction with its boundary to be a matter of rounding.
	nearThreshold = 0.10

	// Between an energy E at the distance D and 1.2 at the boundary B, energy
	// falls as a power of distance: x in E/1.2 = (B/D)^x. It is 2 for a point
	// source (Lee, NFPA 70E Annex D) and 1.515 to 2.03 in IEEE Std 1584-2018
	// (Tables 3 to 5, k12). The lower end leaves room for boundaries that
	// were interpolated or rounded.
	exponentMin, exponentMax = 0.95, 2.05
)

// checkResults holds each case's stated energy against its stated boundary:
// the boundary is where the energy falls to 1.2 cal/cm², so one tells the
// other.
func (a *Assessment) checkResults() {
	d := float64(a.Location.Distance)
	for _, c := range a.Location.Cases {
		e, b := float64(c.Energy), float64(c.Boundary)
		if e == 0 || b == 0 {
			continue
		}
		ratio := e / float64(Threshold)
		far := math.Abs(ratio-1) > nearThreshold
		report := a.cautionf
		if far {
			report = a.errorf
		}
		switch {
		case ratio > 1 && b < d*(1-1e-9):
			report(c.Line, DistanceExponent, "boundary_in",
				"%.4g cal/cm2 at %.4g in is above 1.2, yet the boundary of %.4g in lies inside the working distance; "+
					"one of the two is wrong, ask the engineer of the study",
				e, d/MMPerInch, b/MMPerInch)
		case ratio < 1 && b > d*(1+1e-9):
			report(c.Line, DistanceExponent, "boundary_in",
				"%.4g cal/cm2 at %.4g in is below 1.2, yet the boundary of %.4g in lies beyond the working distance; "+
					"one of the two is wrong, ask the engineer of the study",
				e, d/MMPerInch, b/MMPerInch)
		case !far:
			// So near 1.2 the boundary is near the working distance, whatever
			// the exponent; a twentieth is left to rounding.
			least, most := math.Pow(0.95*ratio, 1/exponentMin), math.Pow(1.05*ratio, 1/exponentMin)
			if b < d*min(least, 0.95) || b > d*max(most, 1.05) {
				a.cautionf(c.Line, DistanceExponent, "boundary_in",
					"%.4g cal/cm2 at %.4g in is about 1.2, so the boundary is about the working distance and not %.4g in; "+
						"one of the two is wrong, ask the engineer of the study",
					e, d/MMPerInch, b/MMPerInch)
			}
		default:
			if x := math.Log(ratio) / math.Log(b/d); x < exponentMin || x > exponentMax {
				a.cautionf(c.Line, DistanceExponent, "boundary_in", "%.4g cal/cm2 at %.4g in and a boundary of %.4g in would let the energy "+
					"fall with distance to the power %.2f; "+
					"%.2f to %.2f is what the published methods give, so compare both with the study report",
					e, d/MMPerInch, b/MMPerInch, x, exponentMin, exponentMax)
			}
		}
	}
}

// checkToday finds studies that are dated after today.
func (a *Assessment) checkToday(today Date) {
	for _, c := range a.Location.Cases {
		if today.Before(c.Prepared) {
			a.errorf(c.Line, DatedAhead, "prepared", "the study is dated %s, after today; correct the date, or print when it has come",
				c.Prepared)
		}
	}
}

// checkDates compares the study's dates with each other.
func (a *Assessment) checkDates() {
	for _, c := range a.Location.Cases {
		if !c.Surveyed.IsZero() && c.Prepared.Before(c.Surveyed) {
			a.errorf(c.Line, SurveyedAfter, "surveyed", "the equipment was surveyed on %s, after the study of %s; "+
				"one of the two dates is wrong", c.Surveyed, c.Prepared)
		}
	}
}
