package arc

// FaultSteps returns the fault currents, kA, from low to high, both above 0, at which to
// evaluate a case in search of its largest energy: both ends, steps of half a percent
// between, and on a *[Curve] both sides of each of its points, since the energy is not
// monotone in the fault current. arcing gives the arcing currents at a fault current. As with
// [FaultIntervals], what lies inside one step and touches neither its ends nor a point of
// the curve is not seen.
func FaultSteps(low, high float64, d Durations, arcing func(faultKA float64) (Arcing, error)) []float64 {
	s := faultScan{marks: marksOf(d), arcing: arcing}
	all := []float64{low}
	for at := low; at < high; {
		next := min(at*scanStep, high)
		all = append(append(all, s.near(at, next)...), next)
		at = next
	}
	return all
}
