package arc

// place is where a voltage above 0.6 kV stands between the three of the tables.
type place struct {
	upTo2700   bool
	f1, f2, f3 float64
}

func (p *place) set(kv float64) {
	p.upTo2700 = kv <= kv2700
	p.f1 = (kv - kv2700) / 2.1   // eq. 16, 18, 19, 21, 22, 24
	p.f2 = (kv - kv14300) / 11.6 // eq. 17, 20, 23
	p.f3 = (kv - kv600) / 2.1    // eq. 18, 21, 24
}

// between holds the lines of an interpolation over the voltage; x1 and x3 are needed up to
// 2.7 kV only.
type between struct{ x1, x2, x3 float64 }

// interpolate returns the lines of the interpolation between the results x of 600, 2700
// and 14 300 V (eq. 16 to 18 for currents, 19 to 21 for energies, 22 to 24 for boundaries).
func (p *place) interpolate(x *[3]float64) (b between) {
	b.x2 = float64((x[2]-x[1])*p.f2) + x[2] // eq. 17, 20, 23
	if p.upTo2700 {
		b.x1 = float64((x[1]-x[0])*p.f1) + x[1]        // eq. 16, 19, 22
		b.x3 = float64(b.x2*p.f3) - float64(b.x1*p.f1) // eq. 18, 21, 24
	}
	return b
}

// result chooses the line that counts.
func (p *place) result(b between) float64 {
	if p.upTo2700 {
		return b.x3
	}
	return b.x2
}
