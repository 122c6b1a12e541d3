package assess

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"

	"vouchmark/assess/arc"
)

// Curve is a clearing curve that the owner digitized. Its points are the total
// clearing time at the maximum of the band; a reader refuses a curve that does not
// declare both.
type Curve struct {
	File             string      `json:"-"`                                  // in curves/
	TolerancePercent float64     `json:"pickup_tolerance_percent,omitempty"` // 0 if not given
	Points           []arc.Point `json:"points"`                             // in order of rising current
	*arc.Curve       `json:"-"`
}

// Read makes the curve ready for reading. Its error names every impossible point.
func (c *Curve) Read() (err error) {
	c.Curve, err = arc.NewCurve(c.Points, true, true, c.TolerancePercent/100)
	return err
}

// Digest identifies the points of the curve and its tolerance, in 12 hex digits.
func (c *Curve) Digest() string {
	h := sha256.New()
	fmt.Fprintf(h, "%s\n", Number(c.TolerancePercent))
	for _, p := range c.Points {
		fmt.Fprintf(h, "%s %s\n", Number(p.CurrentA), Number(p.TimeS))
	}
	return hex.EncodeToString(h.Sum(nil))[:12]
}

// below reports whether a current in kA, less the pickup tolerance, is below the
// lowest point of the curve.
func (c *Curve) below(kA float64) bool {
	low, _ := c.RangeA()
	return kA*1000*(1-c.TolerancePercent/100) < low
}
