package arc

// A PointSource is the result of a method whose energy falls with the square of the
// distance: [Lee] and [DCMaxPower].
type PointSource struct {
	ArcingKA float64 // arcing current, kA; 0 where the method has none
	Energy   float64 // incident energy, cal/cm2
	Boundary float64 // distance at which the energy is 1.2 cal/cm2, mm
	Cautions Cautions
}
