package assess

import (
	"cmp"
	"fmt"
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
			a.compareOne(c, "energy_cal_cm2", "energy", "cal/cm²", float64(c.Energy), float64(r.Energy), 1, r)
		}
		if r != nil && c.Boundary > 0 {
			a.compareOne(c, "boundary_in", "boundary", "in", float64(c.Boundary), float64(r.Boundary), MMPerInch, r)
		}
	}
	a.compareLabel(false)
	a.compareLabel(true)
	if a.Energy.Bound == Above && a.Energy.Value < a.Policy.Cutoff {
		a.errorf(l.CaseNamed(a.Energy.Case).Line, BoundBelowCutoff, "energy_cal_cm2", "the study says only that the energy is above "+
			"%.7g cal/cm², which is below the cutoff of %.7g cal/cm²: no kit is known to be sufficient; ask the engineer of the study for the number",
			a.Energy.Value, a.Policy.Cutoff)
	}
}

// proven finds a study, or a row's own durations, that give less than the row
// proves.
func (a *Assessment) proven(c *Case, own, r *Computed) {
	says := fmt.Sprintf("the study states %.6g cal/cm² and %.6g in", c.Energy, c.Boundary/MMPerInch)
	if a.byOwn(c, own) {
		says = fmt.Sprintf("the row's durations give %.6g cal/cm² and %.6g in", own.Energy, own.Boundary/MMPerInch)
	}
	by := "the row's own inputs prove"
	if r.ClearFrom == byCurve || r.ClearReducedFrom == byCurve {
		by = "the curve " + c.Curve + " proves"
	}
	a.errorf(c.Line, Understated, "energy_cal_cm2", "%s, but %s at least %.6g cal/cm² and %.6g in by %s; "+
		"ask the engineer of the study, and compare the inputs with the report",
		says, by, r.Energy, r.Boundary/MMPerInch, r.Method.Standard())
}

// compareBound compares a bound with the recomputed result: a study overstates if
// the result is below its lower limit, and understates if it reaches its upper limit.
func (a *Assessment) compareBound(c *Case, r *Computed) {
	switch {
	case r == nil:
	case c.Bound == Under && a.understates(c, r):
		a.errorf(c.Line, Understated, "energy_cal_cm2", "the study says that the energy is below %.6g cal/cm², but recomputed it is %.6g cal/cm² by %s; "+
			"ask the engineer of the study", c.Energy, r.Energy, r.Method.Standard())
	case c.Bound == Above && r.Energy < c.Energy:
		a.cautionf(c.Line, Overstated, "energy_cal_cm2", "the study says that the energy is above %.6g cal/cm², but recomputed it is %.6g cal/cm² by %s; "+
			"compare the inputs with the report", c.Energy, r.Energy, r.Method.Standard())
	case c.Bound == Above && c.Boundary > 0 && a.understates(c, r):
		a.errorf(c.Line, Understated, "boundary_in", "the study understates the boundary: %.6g in, recomputed %.6g in by %s; "+
			"ask the engineer of the study", c.Boundary/MMPerInch, r.Boundary/MMPerInch, r.Method.Standard())
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
			"%.4g cal/cm² and %.4g in were recomputed; enter both energy and boundary in the row",
			missing, r.Energy, r.Boundary/MMPerInch)
	case r == nil:
		a.errorf(c.Line, NoResults, field, "the study states no %s, and it could not be recomputed; enter both energy and boundary in the row",
			missing)
	case c.AcceptedBy == "":
		a.errorf(c.Line, NotAccepted, "accepted_by", "the study states no %s: recomputed %.4g cal/cm² and %.4g in; the label "+
			"prints only after a named person accepts these numbers (accepted_by)", missing, r.Energy, r.Boundary/MMPerInch)
	}
}

// ofOther reports whether the only number that a study states belongs to another arc
// than the recomputed one: it is larger by more than the tolerance.
func (a *Assessment) ofOther(c *Case, r *Computed) bool {
	tolerance := 1 + a.Policy.TolerancePercent/100
	return float64(c.Energy) > float64(r.Energy)*tolerance || float64(c.Boundary) > float64(r.Boundary)*tolerance
}

func (a *Assessment) compareOne(c *Case, column, what, unit string, study, computed, per float64, r *Computed) {
	tolerance := 1 + a.Policy.TolerancePercent/100
	switch {
	case computed > study*tolerance:
		a.errorf(c.Line, Understated, column, "the study understates the %s: %.6g %s, recomputed %.6g %s by %s (%s more); "+
			"ask the engineer of the study, and compare clear_ms (now %.4g ms) with the report",
			what, study/per, unit, computed/per, unit, r.Method.Standard(), Percent((computed/study-1)*100), r.Clear)
	case study > computed*tolerance:
		a.cautionf(c.Line, Overstated, column, "the study overstates the %s: %.4g %s, recomputed %.4g %s by %s; "+
			"compare the inputs with the report",
			what, study/per, unit, computed/per, unit, r.Method.Standard())
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
	a.errorf(l.CaseNamed(all.Case).Line, Understated, "energy_cal_cm2", "the study says %.7g cal/cm² (%s), recomputed %.7g cal/cm² (%s): "+
		"a small difference, but the label would change; ask the engineer of the study",
		study.Value, was, all.Value, is)
}

// label gives the signal word and kit that an energy leads to.
func (p *Policy) label(e CalCM2) string {
	signal, status, kit := p.Choose(e)
	if status == NotRequired {
		return "below 1.2"
	}
	return cmp.Or(kit, string(signal))
}
