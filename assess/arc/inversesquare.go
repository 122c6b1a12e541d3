package arc

import "math"

// A PointSource is the result of a method whose energy falls with the square of the
// distance: [Lee] and [DCMaxPower].
type PointSource struct {
	ArcingKA   float64 // arcing current, kA; 0 where the method has none
	DistanceMM float64 // distance of Energy, mm
	Energy     float64 // incident energy, cal/cm2
	Boundary   float64 // distance at which the energy is 1.2 cal/cm2, mm
	Cautions   Cautions
}

// EnergyAt returns the energy, cal/cm2, at another distance in mm above 0. The error is a
// [Refusals].
func (p *PointSource) EnergyAt(distanceMM float64) (float64, error) {
	var r Refusals
	if !r.positive("distance", "mm", distanceMM, "") {
		return 0, r
	}
	q := p.DistanceMM / distanceMM
	return finite("incident energy", p.Energy*(q*q))
}

// DistanceFor returns the distance, mm, at which the energy is that given in cal/cm2, above
// 0. The error is a [Refusals].
func (p *PointSource) DistanceFor(energy float64) (float64, error) {
	var r Refusals
	if !r.positive("energy", "cal/cm2", energy, "") {
		return 0, r
	}
	return finite("distance", p.DistanceMM*math.Sqrt(p.Energy/energy))
}

// finite returns x, or a refusal if it is not a finite number from 0.
func finite(quantity string, x float64) (float64, error) {
	if x >= 0 && x <= math.MaxFloat64 {
		return x, nil
	}
	return 0, noValue(quantity, "")
}
