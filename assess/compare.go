package assess

import (
	"cmp"
)

// compare compares the study's results with the recomputed ones.
func (a *Assessment) compare() {
	l := a.Location
	for i := range l.Cases {
		c, r := &l.Cases[i], a.Computed[i]
		if c.Energy == 0 || c.Boundary == 0 && c.Bound != Under {
			a.notStated(c, r)
		}
		if a.proves(i) {
			a.proven(c, r, a.Proven[i])
			continue
		}
		if c.Bound != "" {
			a.compareBound(c, r)
			continue
		}
		if r != nil && c.Energy > 0 {
			a.compareOne(c, "energy_cal_cm2", "energy", float64(c.Energy), float64(r.Energy), r,
				func(x float64, digits int) string { return a.energy(CalCM2(x), digits) })
		}
		if r != nil && c.Boundary > 0 {
			a.compareOne(c, "boundary_in", "boundary", float64(c.Boundary), float64(r.Boundary), r,
				func(x float64, digits int) string { return a.length(MM(x), digits) })
		}
	}
	a.compareLabel(false)
	a.compareLabel(true)
	if a.Energy.Bound == Above && a.Energy.Value < a.Policy.Cutoff {
		a.errorf(l.CaseNamed(a.Energy.Case).Line, BoundBelowCutoff, "energy_cal_cm2", "the study says only that the energy is above "+
			"%s, which is below the cutoff of %s cal/cm²: no kit is known to be sufficient; ask the engineer of the study for the number",
			a.energy(a.Energy.Value, 7), Number(a.Policy.Cutoff))
	}
}

// proven finds a study, or a row's own durations, that give less than the row
// proves.
func (a *Assessment) proven(c *Case, own, r *Computed) {
	says := "the study states " + a.both(c.Energy, c.Boundary, 6)
	if a.byOwn(c, own) {
		says = "the row's durations give " + a.both(own.Energy, own.Boundary, 6)
	}
	by := "the row's own inputs prove"
	if r.ClearFrom == byCurve || r.ClearReducedFrom == byCurve {
		by = "the curve " + c.Curve + " proves"
	}
	a.errorf(c.Line, Understated, "energy_cal_cm2", "%s, but %s at least %s by %s; "+
		"ask the engineer of the study, and compare the inputs with the report",
		says, by, a.both(r.Energy, r.Boundary, 6), r.Method.Standard())
}

// compareBound compares a bound with the recomputed result: a study overstates if
// the result is below its lower limit, and understates if it reaches its upper limit.
func (a *Assessment) compareBound(c *Case, r *Computed) {
	switch {
	case r == nil:
	case c.Bound == Under && a.understates(c, r):
		a.errorf(c.Line, Understated, "energy_cal_cm2", "the study says that the energy is below %s, but recomputed it is %s by %s; "+
			"ask the engineer of the study", a.energy(c.Energy, 6), a.energy(r.Energy, 6), r.Method.Standard())
	case c.Bound == Above && r.Energy < c.Energy:
		a.cautionf(c.Line, Overstated, "energy_cal_cm2", "the study says that the energy is above %s, but recomputed it is %s by %s; "+
			"compare the inputs with the report", a.energy(c.Energy, 6), a.energy(r.Energy, 6), r.Method.Standard())
	case c.Bound == Above && c.Boundary > 0 && a.understates(c, r):
		a.errorf(c.Line, Understated, "boundary_in", "the study understates the boundary: %s, recomputed %s by %s; "+
			"ask the engineer of the study", a.length(c.Boundary, 6), a.length(r.Boundary, 6), r.Method.Standard())
	}
}

// notStated lets a recomputed result replace what a row does not state only if a
// named person accepted that.
func (a *Assessment) notStated(c *Case, r *Computed) {
	missing, field := "incident energy and boundary", "energy_cal_cm2"
	switch {
	case c.Energy > 0:
		missing, field = "boundary", "boundary_in"
	case c.Boundary > 0:
		missing = "incident energy"
	}
	switch {
	case r != nil && a.ofOther(c, r):
		a.errorf(c.Line, NoResults, field, "the study states no %s, and the recomputed result does not match what it does state: "+
			"%s were recomputed; enter both energy and boundary in the row", missing, a.both(r.Energy, r.Boundary, 4))
	case r == nil:
		a.errorf(c.Line, NoResults, field, "the study states no %s, and it could not be recomputed; enter both energy and boundary in the row",
			missing)
	case c.AcceptedBy == "":
		a.errorf(c.Line, NotAccepted, "accepted_by", "the study states no %s: recomputed %s; the label "+
			"prints only after a named person accepts these numbers (accepted_by)", missing, a.both(r.Energy, r.Boundary, 4))
	}
}

// ofOther reports whether the only number that a study states belongs to another arc
// than the recomputed one: it is larger by more than the tolerance.
func (a *Assessment) ofOther(c *Case, r *Computed) bool {
	tolerance := 1 + a.Policy.TolerancePercent/100
	return float64(c.Energy) > float64(r.Energy)*tolerance || float64(c.Boundary) > float64(r.Boundary)*tolerance
}

func (a *Assessment) compareOne(c *Case, column, what string, study, computed float64, r *Computed,
	spell func(x float64, digits int) string) {
	tolerance := 1 + a.Policy.TolerancePercent/100
	switch {
	case computed > study*tolerance:
		a.errorf(c.Line, Understated, column, "the study understates the %s: %s, recomputed %s by %s (%s more); "+
			"ask the engineer of the study, and compare clear_ms (now %.4g ms) with the report",
			what, spell(study, 6), spell(computed, 6), r.Method.Standard(), Percent((computed/study-1)*100), r.Clear)
	case study > computed*tolerance:
		a.cautionf(c.Line, Overstated, column, "the study overstates the %s: %s, recomputed %s by %s; "+
			"compare the inputs with the report", what, spell(study, 4), spell(computed, 4), r.Method.Standard())
	}
}

// compareLabel finds an understatement, however small, that changes what the label
// says: kit, signal word, or the side of 1.2 cal/cm². Within the tolerance nothing
// else would find it.
func (a *Assessment) compareLabel(maintenance bool) {
	p := a.Policy
	// What the label would say by the study alone (a row without a stated energy
	// counts with its recomputed one), and by all that is known.
	var study, all Governing[CalCM2]
	l := a.Location
	understated := false
	for i := range l.Cases {
		c, r := &l.Cases[i], a.Computed[i]
		if c.Maintenance != maintenance || c.Bound != "" {
			continue
		}
		stated := Governing[CalCM2]{Value: c.Energy, Case: c.Name, From: FromStudy}
		if r == nil {
			study, all = larger(study, stated), larger(all, stated)
			continue
		}
		computed := Governing[CalCM2]{Value: r.Energy, Case: c.Name, From: FromComputed}
		if c.Energy == 0 {
			stated = computed
		}
		understated = understated || c.Energy > 0 && r.Energy > c.Energy
		study, all = larger(study, stated), larger(larger(all, stated), computed)
	}
	if !understated || study.Value == 0 || float64(all.Value) > float64(study.Value)*(1+p.TolerancePercent/100) {
		return // not understated, or already an error
	}
	if !p.differs(study.Value, all.Value) {
		return
	}
	was, is := p.label(study.Value), p.label(all.Value)
	a.errorf(l.CaseNamed(all.Case).Line, Understated, "energy_cal_cm2", "the study says %s, %s; recomputed %s, %s: "+
		"a small difference, but the label would change; ask the engineer of the study",
		a.energy(study.Value, 7), was, a.energy(all.Value, 7), is)
}

// label gives the signal word and kit that an energy leads to.
func (p *Policy) label(e CalCM2) string {
	signal, status, kit := p.Choose(e)
	if status == NotRequired {
		return "below 1.2"
	}
	return cmp.Or(kit, string(signal))
}
