package assess

// Feeder is what the owner knows about the conductors that feed a location.
type Feeder struct {
	At       string  // the location that is fed
	From     string  // what feeds it
	Milliohm float64 // one phase from end to end, all its conductors in parallel; the magnitude of the impedance
}

// Feeder finds the conductors between two locations.
func (p *Policy) Feeder(at, from string) (Feeder, bool) {
	if f := find(p.Feeders, func(f *Feeder) bool { return f.At == at && f.From == from }); f != nil {
		return *f, true
	}
	return Feeder{}, false
}

// Transformer finds the nameplate at a location, or nil.
func (p *Policy) Transformer(at string) *Transformer {
	return find(p.Transformers, func(t *Transformer) bool { return t.At == at })
}
