package assess

import "vouchmark/assess/shock"

// A row may hold more than its method uses: the inputs of an equation with method =
// stated, or only one of the two durations of IEEE 1584-2018. What follows from them is
// not the label's result, but it proves a lower limit of the energy. A study that states
// less than that is not accepted.

// noDuration replaces an unknown duration, in ms: as good as zero.
const noDuration = 1e-3

// AtLeast evaluates a case with one known arc duration: the energy is at least what that
// one gives. It is nil if neither is known, or nothing can be computed.
func AtLeast(in *Inputs, c *Case) *Computed {
	for _, fullKnown := range []bool{true, false} {
		known := *c
		if fullKnown {
			known.ClearReduced = noDuration
		} else {
			known.Clear = noDuration
		}
		r, _, _ := compute(in, &known, nil)
		if r == nil {
			continue
		}
		if fullKnown {
			r.ClearReduced, r.ClearReducedFrom, r.EnergyReduced, r.BoundaryReduced = 0, "", 0, 0
		} else {
			r.Clear, r.ClearFrom, r.EnergyFull, r.BoundaryFull = 0, "", 0, 0
		}
		return r
	}
	return nil
}

// Fitting is a case with the method that fits its inputs, if it only states its result;
// for DC without a multiplier by the enclosure that the row mentions, else in open air,
// which gives the least.
func (in *Inputs) Fitting(c *Case) Case {
	known := *c
	switch l := in.Location; {
	case c.Method != Stated:
	case l.Supply == shock.AC3 && c.Electrodes != "":
		known.Method = IEEE1584
	case l.Supply == shock.DC:
		known.Method = DCMaxPower
		if known.Multiplier == 0 && l.enclosed(c) != "" {
			known.Multiplier = 3
		}
		known.Multiplier = max(known.Multiplier, 1)
	}
	return known
}

// prove is what the inputs of a case prove about its energy beyond what its method gives:
// the inputs next to a stated result, one of two durations, the device's curve if it is
// slower than the row. It is nil for nothing; below is true if by its curve the device
// may not clear the arc at all. own is what the case's method gives, or nil.
func (in *Inputs) prove(c *Case, own *Computed, d detail) (most *Computed, below bool) {
	known := in.Fitting(c)
	take := func(r *Computed) {
		if r != nil && (most == nil || r.Energy > most.Energy) {
			most = r
		}
	}
	if c.Curve != "" && (known.Clear > 0 || known.ClearReduced > 0) && known.Method != Stated {
		byCurve := known
		byCurve.Clear, byCurve.ClearReduced = 0, 0
		r, _, low := compute(in, &byCurve, d.recorder())
		take(r)
		below = low && c.Method == Stated // else the row's own check reports it
	}
	if own != nil {
		return most, below
	}
	whole, _, low := compute(in, &known, d.recorder())
	take(whole)
	if below = below || low && c.Method == Stated; whole == nil && known.Method == IEEE1584 {
		take(AtLeast(in, &known))
	}
	return most, below
}

// understates reports whether a case states less than a result by more than the
// tolerance, or enough to change its label.
func (a *Assessment) understates(c *Case, r *Computed) bool {
	tolerance := 1 + a.Policy.TolerancePercent/100
	switch {
	case c.Energy > 0 && c.Bound != Above &&
		(float64(r.Energy) > float64(c.Energy)*tolerance || c.Bound == Under && r.Energy >= c.Energy):
		return true
	case c.Boundary > 0 && float64(r.Boundary) > float64(c.Boundary)*tolerance:
		return true
	}
	return c.Energy > 0 && c.Bound == "" && More(c.Energy, r.Energy) && a.Policy.differs(c.Energy, r.Energy)
}

// differs reports whether two energies lead to different labels: another kit, another
// signal word, or the other side of 1.2 cal/cm².
func (p *Policy) differs(x, y CalCM2) bool {
	return p.label(x) != p.label(y) || (x < Threshold) != (y < Threshold)
}
