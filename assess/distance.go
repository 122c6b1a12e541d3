package assess

import "vouchmark/assess/arc"

// Point is the recomputed incident energy at one distance from the arc.
type Point struct {
	Distance MM
	Energy   CalCM2
}

// EnergyOver is the recomputed incident energy of a case at other distances than its
// working distance, everything else unchanged: the arcing currents, and so the
// durations, do not depend on the distance. Each point is a full evaluation of the
// case's own method, rounded like stored results, so that the point at the working
// distance is the result of [Compute]. Points are in the order of the distances; a
// distance below the limits of the method has none (IEEE 1584-2018 clause 4.2: at
// least 304.8 mm). Without any result it gives the reason, as [Compute] does.
//
// Up to 600 V the energy is exactly proportional to the distance to the power k12
// (IEEE 1584-2018 eq. 6, Table 3), by Lee's and the DC method to the power -2; above
// 600 V it is interpolated between three such powers (eq. 3 to 5, 19 to 21) and is
// not itself a power of the distance.
func EnergyOver(in *Inputs, c *Case, distances []MM) (points []Point, why string) {
	var at func(MM) (float64, error)
	var err error
	switch c.Method {
	case IEEE1584:
		at, err = ieeeOver(in, c)
	case Lee, DCMaxPower:
		at, err = pointOver(in, c)
	default:
		return nil, statedAlone
	}
	if err != nil {
		return nil, reasonText(err)
	}
	for _, d := range distances {
		if e, err := at(d); err == nil && e > 0 {
			points = append(points, Point{d, round9[CalCM2](e)})
		}
	}
	return points, ""
}

func ieeeOver(in *Inputs, c *Case) (func(MM) (float64, error), error) {
	x, err := ArcInput(in.Location, c)
	if err != nil {
		return nil, err
	}
	m, err := arc.Prepare(&x, nil)
	if err != nil {
		return nil, err
	}
	full, reduced, err := in.durations(m.Arcing(), c)
	if err != nil {
		return nil, err
	}
	return func(d MM) (float64, error) { return m.EnergyAt(float64(d), float64(full.ms), float64(reduced.ms)) }, nil
}

func pointOver(in *Inputs, c *Case) (func(MM) (float64, error), error) {
	at, _, err := pointMethod(in, c)
	if err == nil {
		_, err = at(in.Location.Distance, nil) // no other distance would help
	}
	return func(d MM) (float64, error) {
		p, err := at(d, nil)
		return p.Energy, err
	}, err
}
