package assess

// Ratings tells which interrupting ratings may be compared with the fault current of a
// location: a device at another voltage never sees it.
type Ratings struct{ at map[string]*Location }

// sameVoltage reports whether two voltages are names of one: 460 V on a motor and 480 V
// on what feeds it. Within 5 % (ANSI C84.1, nominal system and utilization voltages;
// from memory).
func sameVoltage(a, b Volts) bool { return a <= b*1.05 && b <= a*1.05 }

// Ratings are those of a site.
func (s *Site) Ratings() Ratings {
	r := Ratings{make(map[string]*Location, len(s.Locations))}
	for i := range s.Locations {
		r.at[s.Locations[i].ID] = &s.Locations[i]
	}
	return r
}

// Own is the inputs of a location without the ratings of devices at another voltage, or
// at a place that the site does not have.
func (r Ratings) Own(in *Inputs) *Inputs {
	l := *in.Location
	l.Cases = append([]Case(nil), l.Cases...)
	for i := range l.Cases {
		c := &l.Cases[i]
		if at := r.at[c.DeviceAt]; c.DeviceAt != "" && (at == nil || !sameVoltage(at.Voltage, l.Voltage) || at.Supply != l.Supply) {
			c.DeviceRating = 0
		}
	}
	own := *in
	own.Location = &l
	return &own
}
