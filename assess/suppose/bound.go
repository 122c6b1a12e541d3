package suppose

import (
	"fmt"

	"vouchmark/assess"
	"vouchmark/assess/arc"
)

// Why there is no number if the current may fall and the device's clearing time is then
// not known.
const (
	noCurve = "a lower current may clear later and release more energy, " +
		"and without the device's curve it is not known how much later"
	otherCurve = "a lower current may clear later and release more energy, but the device's curve gives shorter times " +
		"than the row even now, so it does not show how much later"
)

// growth is the largest ratio of energy and boundary to the present ones.
type growth struct{ energy, boundary float64 }

// raise applies a growth to what is stated and recomputed for a case.
func (g growth) raise(c *assess.Case, computed **assess.Computed) {
	if g == (growth{}) {
		return
	}
	c.Energy *= assess.CalCM2(g.energy)
	c.Boundary *= assess.MM(g.boundary)
	r := **computed
	r.Energy *= assess.CalCM2(g.energy)
	r.Boundary *= assess.MM(g.boundary)
	*computed = &r
}

// most is the largest energy and boundary of the variant of a location's case k, in
// proportion to what is recomputed now, or why there is no bound; danger is true if the
// device may not clear the arc at all.
func (v *variant) most(a *assess.Assessment, k int) (g growth, whyNot string, danger bool) {
	in, c, now := &a.Inputs, a.Location.Cases[k], a.Computed[k]
	switch {
	case v.whyNot != "":
		return g, v.whyNot, false
	case v.device == nil && c.DeviceRating > 0 && v.high > c.DeviceRating:
		return g, fmt.Sprintf("up to %.4g kA, but its device can interrupt only %.4g kA: "+
			"it may not clear the fault at all (NEC 110.9)", assess.PrintedKA(v.high), c.DeviceRating), true
	case now == nil:
		return g, "it cannot be recomputed now: " + a.NotComputed[k], false
	}
	curve, byRow := in.Curves[c.Curve], false
	base := growth{float64(now.Energy), float64(now.Boundary)}
	switch {
	case v.device != nil:
		if whyNot, in = v.put(&c, in); whyNot != "" {
			return g, whyNot, false
		}
	case explains(curve, &c, now, in.Policy.TolerancePercent):
		c.Clear, c.ClearReduced = 0, 0
		// A curve that reads slightly below the row must not lower the result.
		if r, _, _ := assess.Compute(in, &c); r != nil {
			base = growth{min(base.energy, float64(r.Energy)), min(base.boundary, float64(r.Boundary))}
		}
	case v.low >= c.Fault*(1-1e-9):
		byRow = true
	case curve != nil:
		return g, otherCurve, false
	default:
		return g, noCurve, false
	}
	for _, kA := range v.steps(in.Location, &c, in.Curves[c.Curve]) {
		c.Fault = assess.KA(kA)
		r, why, below := assess.Compute(in, &c)
		switch {
		case below:
			return growth{}, fmt.Sprintf("at %.4g kA %s: the device may not clear the arc at all", kA, why), true
		case r == nil:
			return growth{}, fmt.Sprintf("at %.4g kA: %s", kA, why), false
		case byRow && (r.Arcing < now.Arcing*(1-1e-9) || r.ArcingReduced < now.ArcingReduced*(1-1e-9)):
			return growth{}, noCurve, false
		}
		g.energy = max(g.energy, float64(r.Energy)/base.energy)
		g.boundary = max(g.boundary, float64(r.Boundary)/base.boundary)
	}
	return g, "", false
}

// put gives a case the durations or the curve of a device hypothesis, and the inputs with
// that curve.
func (v *variant) put(c *assess.Case, in *assess.Inputs) (whyNot string, with *assess.Inputs) {
	h := v.device
	c.Clear, c.ClearReduced, c.Curve = h.Clear, h.ClearReduced, ""
	if h.Curve == nil {
		if c.Method == assess.IEEE1584 && h.ClearReduced == 0 {
			whyNot = "the reduced arcing current needs a duration of its own: give --clear-reduced-ms"
		}
		return whyNot, in
	}
	c.Curve = h.Curve.File
	changed := *in
	changed.Curves = map[string]*assess.Curve{c.Curve: h.Curve}
	return "", &changed
}

// explains reports whether a curve gives no shorter durations at the present arcing
// currents than the row states. If it gives shorter ones, the study knows something that
// the curve does not, and the row is the safer source.
func explains(curve *assess.Curve, c *assess.Case, now *assess.Computed, tolerancePercent float64) bool {
	if curve == nil {
		return false
	}
	for _, d := range []struct {
		stated assess.MS
		at     assess.KA
	}{{c.Clear, now.Arcing}, {c.ClearReduced, now.ArcingReduced}} {
		if d.stated == 0 {
			continue
		}
		if d.at == 0 { // Lee's method reads a curve at the fault current
			d.at = c.Fault
		}
		if ms, err := curve.ClearMS(float64(d.at)); err != nil || ms < float64(d.stated)*(1-tolerancePercent/100) {
			return false
		}
	}
	return true
}

// steps returns the fault currents, kA, at which the variant of a case is evaluated.
func (v *variant) steps(l *assess.Location, c *assess.Case, curve *assess.Curve) []float64 {
	if v.low == v.high {
		return []float64{float64(v.low)}
	}
	var d *arc.Curve
	if curve != nil && c.Clear == 0 {
		d = curve.Curve
	}
	return arc.FaultSteps(float64(v.low), float64(v.high), d, func(kA float64) (arc.Arcing, error) {
		if c.Method != assess.IEEE1584 {
			return arc.Arcing{FullKA: kA, ReducedKA: kA}, nil
		}
		at := *c
		at.Fault = assess.KA(kA)
		in, err := assess.ArcInput(l, &at)
		if err != nil {
			return arc.Arcing{}, err
		}
		return arc.Currents(&in)
	})
}
