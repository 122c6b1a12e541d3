package arc

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"sort"
)

// Point is a point of a protective device's clearing curve.
type Point struct {
	CurrentA float64 `json:"current_a"`
	TimeS    float64 `json:"time_s"`
}

// A Curve gives the arc duration that a protective device allows at a current, read from
// points of its time-current curve: total clearing time, the slow edge of the band. It comes
// from [NewCurve]; the zero value refuses every current.
type Curve struct {
	points    []Point
	lnI, lnT  []float64
	tolerance float64
}

// Errors of [NewCurve] for a curve that may understate the duration.
var (
	ErrNotTotalClearing = errors.New("curve does not declare total clearing time")
	ErrNotMaximumBand   = errors.New("curve does not declare the maximum of its band")
)

// sameCurrent is the relative difference below which two currents are one: below the 9
// significant digits of results, and too small to matter on a curve read by eye.
const sameCurrent = 1e-9

// NewCurve returns a curve through the points, in order of rising current. Several
// points at one current are a vertical step. totalClearing and maximumBand are what the
// source of the points declares: both must be true, since a trip time or the middle of
// a band would understate the duration. pickupTolerance is the device's pickup
// tolerance as a fraction from 0 (none) to below 1, such as 0.1 for 10 %. The error
// joins every fault found: [ErrNotTotalClearing], [ErrNotMaximumBand] and those of
// [ValidatePoints].
func NewCurve(points []Point, totalClearing, maximumBand bool, pickupTolerance float64) (*Curve, error) {
	var errs []error
	if !totalClearing {
		errs = append(errs, ErrNotTotalClearing)
	}
	if !maximumBand {
		errs = append(errs, ErrNotMaximumBand)
	}
	if !(pickupTolerance >= 0 && pickupTolerance < 1) {
		errs = append(errs, fmt.Errorf("pickup tolerance %s is not from 0 to below 1", quantity(pickupTolerance, "")))
	}
	if err := ValidatePoints(points); err != nil {
		errs = append(errs, err)
	}
	if len(errs) > 0 {
		return nil, errors.Join(errs...)
	}
	c := &Curve{points: slices.Clone(points), tolerance: pickupTolerance}
	for _, p := range points {
		c.lnI = append(c.lnI, math.Log(p.CurrentA))
		c.lnT = append(c.lnT, math.Log(p.TimeS))
	}
	return c, nil
}

// ValidatePoints returns the faults of a curve's points, joined: fewer than two points
// or only one current, a current or time that is not a finite number above 0, a current
// below that of the point before. Points are counted from 1.
func ValidatePoints(points []Point) error {
	var errs []error
	for i, p := range points {
		if !positive(p.CurrentA) {
			errs = append(errs, fmt.Errorf("point %d: current %s is not a number above 0", i+1, quantity(p.CurrentA, "A")))
		}
		if !positive(p.TimeS) {
			errs = append(errs, fmt.Errorf("point %d: time %s is not a number above 0", i+1, quantity(p.TimeS, "s")))
		}
		if i > 0 && p.CurrentA < points[i-1].CurrentA {
			errs = append(errs, fmt.Errorf("point %d: current %s is below %s of the point before",
				i+1, quantity(p.CurrentA, "A"), quantity(points[i-1].CurrentA, "A")))
		}
	}
	if len(points) < 2 || points[0].CurrentA == points[len(points)-1].CurrentA {
		errs = append(errs, errors.New("curve needs points at two currents at least"))
	}
	return errors.Join(errs...)
}

// RangeA returns the lowest and the highest current of the points, in A; 0 for the zero
// value.
func (c *Curve) RangeA() (low, high float64) {
	if len(c.points) == 0 {
		return 0, 0
	}
	return c.points[0].CurrentA, c.points[len(c.points)-1].CurrentA
}

// ClearMS returns the arc duration, ms, at an arcing current in kA: by straight lines
// between the points in log-log scale, the longer time at a vertical step, and the longest
// time from current (1 - tolerance) to current (1 + tolerance), which includes both edges.
// It never extrapolates: if one of the edges lies outside the points, the error is a
// [Refusals] that says on which side.
func (c *Curve) ClearMS(currentKA float64) (float64, error) {
	if len(c.points) == 0 {
		return 0, Refusals{{Quantity: "clearing curve", Bound: Missing}}
	}
	var r Refusals
	if !r.positive("current", "kA", currentKA, "clearing curve") {
		return 0, r
	}
	amps := currentKA * 1000
	low, high := amps*(1-c.tolerance), amps*(1+c.tolerance)
	first, last := c.RangeA()
	what := "current"
	if c.tolerance > 0 {
		what = "current with the pickup tolerance taken off or added,"
	}
	if low < first*(1-sameCurrent) {
		return 0, Refusals{{Quantity: what, Unit: "A", Bound: Below, Found: low, Limit: first,
			Source: "first point of the clearing curve"}}
	}
	if high > last*(1+sameCurrent) {
		return 0, Refusals{{Quantity: what, Unit: "A", Bound: Above, Found: high, Limit: last,
			Source: "last point of the clearing curve"}}
	}
	t := max(c.seconds(low), c.seconds(high))
	for i := c.search(low); i < len(c.points) && c.points[i].CurrentA < high; i++ {
		t = max(t, c.points[i].TimeS)
	}
	return t * 1000, nil
}

// search returns the first point at or above a current in A, within [sameCurrent].
func (c *Curve) search(amps float64) int {
	return sort.Search(len(c.points), func(i int) bool { return c.points[i].CurrentA >= amps*(1-sameCurrent) })
}

// seconds returns the time, s, at a current in A within the points.
func (c *Curve) seconds(amps float64) float64 {
	i := c.search(amps)
	t := 0.0
	for j := i; j < len(c.points) && c.points[j].CurrentA <= amps*(1+sameCurrent); j++ {
		t = max(t, c.points[j].TimeS)
	}
	if t > 0 {
		return t
	}
	f := (math.Log(amps) - c.lnI[i-1]) / (c.lnI[i] - c.lnI[i-1])
	return math.Exp(c.lnT[i-1] + float64(f*(c.lnT[i]-c.lnT[i-1])))
}

// DurationsMS reads the curve at both arcing currents.
func (c *Curve) DurationsMS(a Arcing) (clearMS, clearReducedMS float64, err error) {
	if clearMS, err = c.ClearMS(a.FullKA); err != nil {
		return 0, 0, fmt.Errorf("at the full arcing current: %w", err)
	}
	if clearReducedMS, err = c.ClearMS(a.ReducedKA); err != nil {
		return 0, 0, fmt.Errorf("at the reduced arcing current: %w", err)
	}
	return clearMS, clearReducedMS, nil
}

// marksKA returns the currents, kA, at which the duration may bend or jump: the points,
// also shifted by the pickup tolerance; none for a nil curve.
func (c *Curve) marksKA() []float64 {
	if c == nil {
		return nil
	}
	var marks []float64
	for _, p := range c.points {
		marks = append(marks, p.CurrentA/1000)
		if c.tolerance > 0 {
			marks = append(marks, p.CurrentA/1000/(1-c.tolerance), p.CurrentA/1000/(1+c.tolerance))
		}
	}
	slices.Sort(marks)
	return slices.Compact(marks)
}

// Bounded is a curve whose durations are kept between a least and a longest one, ms.
type Bounded struct {
	*Curve
	LeastMS, LeastReducedMS float64 // 0 for none
	LongestMS               float64 // 0 for none
}

// DurationsMS reads the curve and applies the bounds; where they contradict each other,
// the longest duration counts.
func (c Bounded) DurationsMS(a Arcing) (clearMS, clearReducedMS float64, err error) {
	clearMS, clearReducedMS, err = c.Curve.DurationsMS(a)
	clearMS, clearReducedMS = max(clearMS, c.LeastMS), max(clearReducedMS, c.LeastReducedMS)
	if c.LongestMS > 0 {
		clearMS, clearReducedMS = min(clearMS, c.LongestMS), min(clearReducedMS, c.LongestMS)
	}
	return clearMS, clearReducedMS, err
}
