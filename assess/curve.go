package assess

import "vouchmark/assess/arc"

// Curve is a clearing curve that the owner digitised. Its points are the total
// clearing time at the maximum of the band; a reader refuses a curve that does
// not declare both.
type Curve struct {
	File             string      // in curves/
	Points           []arc.Point // in order of rising current
	TolerancePercent float64     // of the pickup; 0 where none is given
	*arc.Curve
}

// below reports whether a current in kA, less the pickup tolerance, lies below
// the lowest point of the curve.
func (c *Curve) below(kA float64) bool {
	low, _ := c.RangeA()
	return kA*1000*(1-c.TolerancePercent/100) < low
}
