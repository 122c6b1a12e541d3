package arc

import (
	"math"
	"slices"
)

// scanStep is the step of the scan over the fault current, as a ratio.
const scanStep = 1.005

// faultScan is a method as a function of the fault current, kA.
type faultScan struct {
	energy func(faultKA float64) (float64, End, error) // cal/cm2; with an error, the End is why there is none
	arcing func(faultKA float64) (Arcing, error)
	marks  []float64 // arcing currents, kA
	limit  float64
}

// FaultSteps returns the fault currents, kA, from low to high, both above 0, at which to
// evaluate a case in search of its largest energy: both ends, steps of half a percent
// between, and both sides of each point of the curve, nil where there is none, since the
// energy is not monotone in the fault current. arcing gives the arcing currents at a fault
// current. As with [FaultIntervals], what lies inside one step and touches neither its ends
// nor a point of the curve is not seen.
func FaultSteps(low, high float64, c *Curve, arcing func(faultKA float64) (Arcing, error)) []float64 {
	s := faultScan{marks: c.marksKA(), arcing: arcing}
	all := []float64{low}
	for at := low; at < high; {
		next := min(at*scanStep, high)
		all = append(append(all, s.near(at, next)...), next)
		at = next
	}
	return all
}

// intervals scans outward from a fault current, for each limit from where the one before
// ended.
func (s *faultScan) intervals(at, low, high float64, limits []float64) ([]Interval, error) {
	var r Refusals
	for i, l := range limits {
		if r.positive("energy", "cal/cm2", l, "") && i > 0 && l < limits[i-1] {
			r = append(r, &Refusal{Quantity: "energy", Unit: "cal/cm2", Bound: Below,
				Found: l, Limit: limits[i-1], Note: "limits come in rising order"})
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

// fails returns why a fault current is outside the interval, "" if it is inside.
func (s *faultScan) fails(faultKA float64) End {
	e, end, err := s.energy(faultKA)
	switch {
	case err != nil:
		return end
	case e > s.limit:
		return EndEnergy
	}
	return ""
}

// outward scans from a fault current that holds to the end of the range, and returns the
// farthest that still does.
func (s *faultScan) outward(from, to float64) (float64, End) {
	ratio := scanStep
	if to < from {
		ratio = 1 / scanStep
	}
	for from != to {
		next := from * ratio
		if next > to == (to > from) || next == to {
			next = to
		}
		for _, x := range append(s.near(from, next), next) {
			if s.fails(x) != "" {
				inside, outside := bisect(from, x, func(x float64) bool { return s.fails(x) == "" })
				return inside, s.fails(outside)
			}
			from = x
		}
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
	for _, current := range []func(Arcing) float64{
		func(a Arcing) float64 { return a.FullKA },
		func(a Arcing) float64 { return a.ReducedKA },
	} {
		u, v := current(x), current(y)
		first, _ := slices.BinarySearch(s.marks, min(u, v))
		for _, mark := range s.marks[first:] {
			if mark > max(u, v) {
				break
			}
			p, q := bisect(from, to, func(faultKA float64) bool {
				a, err := s.arcing(faultKA)
				return err == nil && (current(a) < mark) == (u < mark)
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
// neighbors to 12 digits, and returns both.
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
