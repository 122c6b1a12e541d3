package arc

import (
	"math"
	"slices"
)

// End says why an interval ends where it does.
type End uint8

// The ends of an interval.
const (
	EndEnergy   End = iota + 1 // beyond, the energy exceeds the limit
	EndModel                   // beyond, the model is not valid
	EndDuration                // beyond, there is no arc duration: the device's curve ends
	EndZero                    // zero, which itself is left out
)

var endTexts = [...]string{"none", "energy limit reached", "limit of the model", "no arc duration beyond", "zero"}

// String says it in words.
func (e End) String() string {
	if int(e) >= len(endTexts) {
		e = 0
	}
	return endTexts[e]
}

// Interval is the connected interval around a present value in which an energy limit is not
// exceeded. Both ends were computed and hold, save an end that is [EndZero].
type Interval struct {
	Low, High       float64
	LowEnd, HighEnd End
}

// farMM is where the search for a distance ends, mm: a kilometre, beyond any use.
const farMM = 1e6

// DistanceFor returns the shortest distance, mm, at which the larger energy does not exceed
// a limit in cal/cm2, above 0, for the durations in ms. atModel is true if that is already
// so at the model's shortest distance, 304.8 mm, which is then returned. Above 600 V the
// distance for 1.2 cal/cm2 differs a little from the boundary, which the standard
// interpolates otherwise. The error is a [Refusals].
func (m *Model) DistanceFor(energy, clearMS, clearReducedMS float64) (mm float64, atModel bool, err error) {
	var r Refusals
	r.positive("energy", "cal/cm2", energy, "")
	m.refuseDurations(&r, clearMS, clearReducedMS)
	if len(r) > 0 {
		return 0, false, r
	}
	holds := func(lgD float64) bool { return m.larger(lgD, clearMS, clearReducedMS) <= energy*Calorie }
	near, far := lg(MinDistanceMM), lg(farMM)
	if holds(near) {
		return MinDistanceMM, true, nil
	}
	if !holds(far) {
		return 0, false, Refusals{{Quantity: "distance", Unit: "mm", Bound: Above, Found: math.Inf(1), Limit: farMM, Note: "energy too high"}}
	}
	far, _ = bisect(far, near, holds)
	return exp10(far), false, nil
}

// DurationLimits returns the intervals of the arc durations, ms, at the full and at the
// reduced arcing current within which each case's energy stays at or below a limit in
// cal/cm2 at the working distance. The energy is proportional to the duration, so the low
// end is zero and the high end is reached in one step; the model sets no longest duration.
// The present durations need not lie inside. The error is a [Refusals].
func (m *Model) DurationLimits(energy float64) (full, reduced Interval, err error) {
	var r Refusals
	r.positive("energy", "cal/cm2", energy, "")
	if m.refuseZero(&r); len(r) > 0 {
		return full, reduced, r
	}
	lgD := lg(m.in.DistanceMM)
	for which, i := range []*Interval{&full, &reduced} {
		high := energy * Calorie / m.energy(which, lgD, 1, nil) // eq. 3 to 6 are linear in T
		if !positive(high) {
			return Interval{}, Interval{}, noValue("arc duration", "IEEE 1584-2018 eq. 3 to 6")
		}
		*i = Interval{High: high, LowEnd: EndZero, HighEnd: EndEnergy}
	}
	return full, reduced, nil
}

// Durations gives the arc durations, ms, at both arcing currents of a case. *[Curve] is
// one; [Fixed] and [DurationsFunc] are others.
type Durations interface {
	DurationsMS(a Arcing) (clearMS, clearReducedMS float64, err error)
}

// Fixed is durations, ms, that hold at any current.
type Fixed struct{ ClearMS, ClearReducedMS float64 }

// DurationsMS returns the two durations.
func (f Fixed) DurationsMS(Arcing) (clearMS, clearReducedMS float64, err error) {
	return f.ClearMS, f.ClearReducedMS, nil
}

// DurationsFunc is a function as [Durations].
type DurationsFunc func(a Arcing) (clearMS, clearReducedMS float64, err error)

// DurationsMS calls the function.
func (f DurationsFunc) DurationsMS(a Arcing) (clearMS, clearReducedMS float64, err error) {
	return f(a)
}

// scanStep is the step of the scan over the fault current, as a ratio.
const scanStep = 1.005

// FaultIntervals returns, for each limit in cal/cm2, in rising order, the interval of
// bolted fault currents, kA, around in.FaultKA in which the larger energy does not exceed
// it, with the durations d at each fault current's own arcing currents, and all else as in.
//
// The energy is not monotone in the fault current: a lower one can clear later and give
// more. The range of the model is scanned from the present value outward in steps of half a
// percent, and on a *[Curve] also on both sides of each of its points; the first step that
// fails is bisected. An excess inside one step that touches neither its ends nor a point of
// the curve is not seen. With another [Durations] that jumps, a jump narrower than a step
// can be missed.
//
// A limit that is exceeded at the present value has the zero Interval. The error is a
// [Refusals] or that of d.
func FaultIntervals(in *Input, limits []float64, d Durations) ([]Interval, error) {
	fault := func(faultKA float64) Input {
		at := *in
		at.FaultKA = faultKA
		return at
	}
	s := faultScan{marks: marksOf(d),
		energy: func(faultKA float64) (float64, End, error) {
			at := fault(faultKA)
			m, err := Prepare(&at, nil)
			if err != nil {
				return 0, EndModel, err
			}
			t, tr, err := d.DurationsMS(m.arcing)
			if err != nil {
				return 0, EndDuration, err
			}
			e, err := m.EnergyAt(at.DistanceMM, t, tr)
			if err != nil {
				return 0, EndDuration, err
			}
			return e, 0, nil
		},
		arcing: func(faultKA float64) (Arcing, error) {
			at := fault(faultKA)
			return Currents(&at)
		},
	}
	low, high := FaultRange(in.VoltageV)
	return s.intervals(in.FaultKA, low, high, limits)
}

// FaultInterval is [FaultIntervals] for one limit. If it is exceeded at the present value,
// the error is a [Refusals] that says by how much.
func FaultInterval(in *Input, energy float64, d Durations) (Interval, error) {
	all, err := FaultIntervals(in, []float64{energy}, d)
	if err != nil {
		return Interval{}, err
	}
	if all[0] == (Interval{}) {
		m, err := Prepare(in, nil)
		if err != nil {
			return Interval{}, err
		}
		t, tr, err := d.DurationsMS(m.arcing)
		if err != nil {
			return Interval{}, err
		}
		now, err := m.EnergyAt(in.DistanceMM, t, tr)
		if err != nil {
			return Interval{}, err
		}
		return Interval{}, Refusals{{Quantity: "incident energy", Unit: "cal/cm2", Bound: Above, Found: now, Limit: energy, Note: "at the present fault current"}}
	}
	return all[0], nil
}

// farFault is how far from the present fault current a method that sets no limits of its
// own is followed, as a ratio: beyond any drift of a system that stays the same.
const farFault = 100

// PointFaultIntervals is [FaultIntervals] for a method with one arcing current, such as
// [Lee] and [DCMaxPower]: at gives its result for a fault current in kA and a duration in
// ms, share the arcing current as a part of the fault current.
func PointFaultIntervals(faultKA, share float64, limits []float64, d Durations, at func(faultKA, clearMS float64) (PointSource, error)) ([]Interval, error) {
	var r Refusals
	if !r.positive("bolted fault current", "kA", faultKA, "") {
		return nil, r
	}
	arcing := func(faultKA float64) (Arcing, error) {
		return Arcing{FullKA: share * faultKA, ReducedKA: share * faultKA}, nil
	}
	s := faultScan{marks: marksOf(d), arcing: arcing,
		energy: func(faultKA float64) (float64, End, error) {
			a, _ := arcing(faultKA)
			t, _, err := d.DurationsMS(a)
			if err != nil {
				return 0, EndDuration, err
			}
			p, err := at(faultKA, t)
			if err != nil {
				return 0, EndModel, err
			}
			return p.Energy, 0, nil
		}}
	return s.intervals(faultKA, faultKA/farFault, faultKA*farFault, limits)
}

// Bounded is a curve whose durations count as at least and as at most so much, ms.
type Bounded struct {
	*Curve
	LeastMS, LeastReducedMS float64 // 0 for none
	LongestMS               float64 // 0 for none
}

// DurationsMS reads the curve and keeps to the bounds; the longest wins.
func (c Bounded) DurationsMS(a Arcing) (clearMS, clearReducedMS float64, err error) {
	clearMS, clearReducedMS, err = c.Curve.DurationsMS(a)
	clearMS, clearReducedMS = max(clearMS, c.LeastMS), max(clearReducedMS, c.LeastReducedMS)
	if c.LongestMS > 0 {
		clearMS, clearReducedMS = min(clearMS, c.LongestMS), min(clearReducedMS, c.LongestMS)
	}
	return clearMS, clearReducedMS, err
}

// marksOf returns the marks of durations that come from a curve.
func marksOf(d Durations) []float64 {
	switch c := d.(type) {
	case *Curve:
		return c.marksKA()
	case Bounded:
		return c.marksKA()
	}
	return nil
}

// marksKA returns the currents, kA, at which the duration may bend or jump: the points,
// also as seen through the pickup tolerance.
func (c *Curve) marksKA() []float64 {
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

// faultScan is a method as a function of the fault current, kA.
type faultScan struct {
	energy func(faultKA float64) (float64, End, error) // cal/cm2, or why there is none
	arcing func(faultKA float64) (Arcing, error)
	marks  []float64 // arcing currents, kA
	limit  float64
}

// intervals scans outward from a fault current, for each limit from where the one before
// ended.
func (s *faultScan) intervals(at, low, high float64, limits []float64) ([]Interval, error) {
	var r Refusals
	for i, l := range limits {
		if r.positive("energy", "cal/cm2", l, "") && i > 0 && l < limits[i-1] {
			r = append(r, &Refusal{Quantity: "energy", Unit: "cal/cm2", Bound: Below, Found: l, Limit: limits[i-1], Note: "limits come in rising order"})
		}
	}
	if len(r) > 0 {
		return nil, r
	}
	now, _, err := s.energy(at)
	if err != nil {
		return nil, err
	}
	all := make([]Interval, len(limits))
	from := Interval{Low: at, High: at}
	for i, limit := range limits {
		if now > limit {
			continue
		}
		s.limit = limit
		from.Low, from.LowEnd = s.outward(from.Low, low)
		from.High, from.HighEnd = s.outward(from.High, high)
		all[i] = from
	}
	return all, nil
}

// fails returns why a fault current is outside the interval, 0 if it is inside.
func (s *faultScan) fails(faultKA float64) End {
	e, end, err := s.energy(faultKA)
	if err != nil {
		return end
	}
	if e > s.limit {
		return EndEnergy
	}
	return 0
}

// outward scans from a fault current that holds to the end of the range, and returns the
// farthest that still does.
func (s *faultScan) outward(from, to float64) (float64, End) {
	ratio := scanStep
	if to < from {
		ratio = 1 / scanStep
	}
	holds := func(x float64) bool { return s.fails(x) == 0 }
	for from != to {
		next := from * ratio
		if next > to == (to > from) || next == to {
			next = to
		}
		for _, x := range append(s.near(from, next), next) {
			end := s.fails(x)
			if end == 0 {
				from = x
				continue
			}
			inside, outside := bisect(from, x, holds)
			return inside, s.fails(outside)
		}
		from = next
	}
	return to, EndModel
}

// near returns the fault currents just before and just after each mark that an arcing
// current passes between two fault currents, in the order of the scan.
func (s *faultScan) near(from, to float64) []float64 {
	if len(s.marks) == 0 {
		return nil
	}
	x, err := s.arcing(from)
	y, err2 := s.arcing(to)
	if err != nil || err2 != nil {
		return nil
	}
	var found []float64
	for _, reduced := range []bool{false, true} {
		u, v := x.FullKA, y.FullKA
		if reduced {
			u, v = x.ReducedKA, y.ReducedKA
		}
		first, _ := slices.BinarySearch(s.marks, min(u, v))
		for _, mark := range s.marks[first:] {
			if mark > max(u, v) {
				break
			}
			p, q := bisect(from, to, func(faultKA float64) bool {
				c, err := s.arcing(faultKA)
				i := c.FullKA
				if reduced {
					i = c.ReducedKA
				}
				return err == nil && (i < mark) == (u < mark)
			})
			found = append(found, p, q)
		}
	}
	slices.Sort(found)
	if to < from {
		slices.Reverse(found)
	}
	return found
}

// bisect narrows from (where holds is true) and to (where it is false) until they are
// neighbours to 12 digits, and returns both.
func bisect(from, to float64, holds func(float64) bool) (inside, outside float64) {
	for range 200 {
		mid := from + float64((to-from)/2)
		if math.Abs(to-from) <= 1e-12*math.Abs(mid) || mid == from || mid == to {
			break
		}
		if holds(mid) {
			from = mid
		} else {
			to = mid
		}
	}
	return from, to
}
