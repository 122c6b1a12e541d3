package assess

// What decides a label: the largest energy of the cases in normal mode and,
// separately, their largest boundary; the largest fault current of all cases. If two
// are equal, the study's decides, then the first case.

// govern finds what decides among the cases of a mode. The owner chooses whether the
// stated or the recomputed numbers count: both, unless a named person accepts another
// choice.
func (a *Assessment) govern(maintenance bool) (e Governing[CalCM2], b Governing[MM]) {
	for i := range a.Location.Cases {
		c := &a.Location.Cases[i]
		if c.Maintenance != maintenance {
			continue
		}
		e = larger(e, a.energyOf(i))
		if of := a.boundaryOf(i); of.Value > b.Value {
			b = of
		}
	}
	return e, b
}

// larger is the larger of two energies. If one is only known to be above a value, the
// other may be less: then the energy is known to be above both.
func larger(g, o Governing[CalCM2]) Governing[CalCM2] {
	switch {
	case o.Value == 0:
		return g
	case g.Value == 0:
		return o
	}
	most := g
	if o.Value > g.Value || o.Value == g.Value && g.Bound == Under {
		most = o
	}
	if g.Bound == Above || o.Bound == Above {
		most.Bound = Above
	}
	return most
}

// energyOf is the energy that counts for a case.
func (a *Assessment) energyOf(i int) Governing[CalCM2] {
	c, r := &a.Location.Cases[i], a.result(i)
	study := Governing[CalCM2]{Value: c.Energy, Case: c.Name, From: FromStudy, Bound: c.Bound}
	if r == nil {
		return study
	}
	computed := Governing[CalCM2]{Value: r.Energy, Case: c.Name, From: FromComputed}
	switch {
	case c.Energy == 0:
		return computed
	case c.Bound == Above: // a lower limit: a recomputed value counts only if it is at least as high
		if r.Energy >= c.Energy {
			return computed
		}
		return study
	case a.Policy.Govern == GovernComputed && !a.proves(i):
		return computed
	case a.Policy.Govern == GovernStudy && !a.understates(c, r):
		return study
	}
	return larger(study, computed)
}

// boundaryOf is the boundary that counts for a case.
func (a *Assessment) boundaryOf(i int) Governing[MM] {
	c, r := &a.Location.Cases[i], a.result(i)
	study := Governing[MM]{Value: c.Boundary, Case: c.Name, From: FromStudy}
	if c.Bound == Under && c.Boundary == 0 {
		study.Value = a.Location.Distance // below 1.2 cal/cm² there, so the boundary is nearer
	}
	switch {
	case r == nil:
		return study
	case study.Value == 0 || a.Policy.Govern == GovernComputed && c.Bound != Above && !a.proves(i),
		r.Boundary > study.Value && (a.Policy.Govern != GovernStudy || a.understates(c, r)):
		return Governing[MM]{Value: r.Boundary, Case: c.Name, From: FromComputed}
	}
	return study
}

// result is what the equations give for a case: what they prove if the row states
// less, else its result; nil for neither.
func (a *Assessment) result(i int) *Computed {
	if a.proves(i) {
		return a.Proven[i]
	}
	return a.Computed[i]
}

// proves reports whether a row proves more than it states or computes.
func (a *Assessment) proves(i int) bool { return a.Proven != nil && a.Proven[i] != nil }

func (a *Assessment) governFault() {
	for i := range a.Location.Cases {
		if c := &a.Location.Cases[i]; c.Fault > a.Fault.Value {
			a.Fault = Governing[KA]{Value: c.Fault, Case: c.Name, From: FromStudy}
		}
	}
}

// boundaryToPrint is the boundary for the label: from 1.2 cal/cm² up it is never
// inside the working distance.
func boundaryToPrint(e Governing[CalCM2], boundary, distance MM) MM {
	if boundary > 0 && e.Bound != Under && (e.Value >= Threshold || PrintedCal(e.Value) > Threshold) {
		return max(boundary, distance)
	}
	return boundary
}

// Choose gives signal word and kit for an energy by its printed number: the lowest
// rung rated at least that much, DANGER and no energized work above the cutoff,
// arc-rated clothing not required below a printed 1.2 cal/cm².
func (p *Policy) Choose(energy CalCM2) (Signal, KitStatus, string) {
	e := PrintedCal(energy)
	switch {
	case e > p.Cutoff:
		return Danger, NoneAllowed, ""
	case e < Threshold:
		return Warning, NotRequired, ""
	}
	if r := find(p.Ladder, func(r *Rung) bool { return r.Rating >= e }); r != nil {
		return Warning, KitChosen, r.Kit
	}
	return Warning, KitChosen, ""
}

// ChooseFor gives signal word and kit for an energy that may be a bound. For one above
// a value no kit is known to be sufficient; for one below 1.2 cal/cm² arc-rated
// clothing is not required.
func (p *Policy) ChooseFor(e Governing[CalCM2]) (Signal, KitStatus, string) {
	switch {
	case e.Bound == Above:
		return Danger, NoneAllowed, ""
	case e.Bound == Under && e.Value <= Threshold:
		return Warning, NotRequired, ""
	}
	return p.Choose(e.Value)
}
