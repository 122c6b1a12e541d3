package assess

import (
	"cmp"
	"math"
	"strings"

	"vouchmark/assess/arc"
	"vouchmark/assess/shock"
)

// compute evaluates every case and says what a person must know of it.
func (a *Assessment) compute() {
	l := a.Location
	a.Computed = make([]*Computed, len(l.Cases))
	a.NotComputed = make([]string, len(l.Cases))
	for i := range l.Cases {
		c := &l.Cases[i]
		r, reason, below := Compute(&a.Inputs, c)
		a.Computed[i], a.NotComputed[i] = r, reason
		switch {
		case below:
			a.errorf(c.Line, MayNotClear, "curve", "%s: at this current %s may not clear the arc at all; ask the engineer of the study",
				reason, c.deviceName())
		case r == nil && c.Method != Stated:
			a.cautionf(c.Line, NotRecomputable, "method", "not recomputable by %s: %s", c.Method, reason)
		case r != nil:
			a.sayComputed(c, r)
		}
		if longest := max(c.Clear, c.ClearReduced); r == nil && longest > TwoSeconds {
			a.longArc(c, longest)
		}
	}
	if len(l.Assumed()) > 0 {
		a.cautionf(l.Cases[0].Line, TypicalValues, "class", "%s taken from the typical values of IEEE 1584-2018 for %s; "+
			"put the measured ones into the row", assumed(l), l.Class)
	}
}

func assumed(l *Location) string {
	var parts []string
	for i := range Columns {
		if c := &Columns[i]; l.assumed(c.Key()) {
			parts = append(parts, c.Key()+" "+c.Text(l.Row(0)))
		}
	}
	return strings.Join(parts, ", ")
}

// sayComputed gives the cautions of one evaluation.
func (a *Assessment) sayComputed(c *Case, r *Computed) {
	// The basis says that the DC method is not an arc test: here it would be said
	// of every battery.
	for _, text := range (r.Cautions &^ arc.CautionDC).List() {
		a.cautionf(c.Line, MethodLimits, "method", "%s", text)
	}
	if r.capped() {
		a.cautionf(c.Line, TwoSecondsCounted, "clear_ms", "the arc lasts longer than two seconds and counts as two: %s "+
			"(the owner's reason in site.toml)", a.Policy.TwoSecondReason)
	} else if longest := max(r.Clear, r.ClearReduced); longest > TwoSeconds {
		a.longArc(c, longest)
	}
	if r.Governs == "reduced" {
		a.cautionf(c.Line, ReducedGoverns, "clear_reduced_ms", "the reduced arcing current governs: "+
			"%.4g kA clears in %.4g ms and gives %.4g cal/cm2, the full %.4g kA in %.4g ms and %.4g",
			r.ArcingReduced, r.ClearReduced, r.EnergyReduced, r.Arcing, r.Clear, r.EnergyFull)
	}
	a.curveAgainstRow(c, r)
}

func (a *Assessment) longArc(c *Case, ms MS) {
	a.cautionf(c.Line, LongArc, "clear_ms", "the arc lasts %.3g s; where a person can surely get away two seconds are usually "+
		"reasonable (IEEE 1584-2018, engineering judgement), which the owner may set with a reason", ms/1000)
}

// curveAgainstRow holds the duration that a row states against the device's
// curve: a longer time on the curve is a caution, and a current below what
// clears the device is the same error as without a stated duration.
func (a *Assessment) curveAgainstRow(c *Case, r *Computed) {
	curve := a.Curves[c.Curve]
	if curve == nil {
		return
	}
	for _, d := range []struct {
		stated MS
		at     KA
		column string
	}{{c.Clear, r.Arcing, "clear_ms"}, {c.ClearReduced, r.ArcingReduced, "clear_reduced_ms"}} {
		if d.stated == 0 || d.at == 0 {
			continue
		}
		ms, err := curve.ClearMS(float64(d.at))
		switch {
		case err != nil && curve.below(float64(d.at)):
			a.errorf(c.Line, MayNotClear, "curve", "the row says %.4g ms, but by %s %v: at this current %s may not clear the arc at all; "+
				"ask the engineer of the study",
				d.stated, c.Curve, err, c.deviceName())
		case err == nil && ms > float64(d.stated)*(1+a.Policy.TolerancePercent/100):
			a.cautionf(c.Line, CurveSlower, d.column, "the row says %.4g ms, the curve %s says %.4g ms at %.4g kA; "+
				"ask the engineer of the study which holds", d.stated, c.Curve, ms, d.at)
		}
	}
}

// compare holds the study's results against the recomputed ones.
func (a *Assessment) compare() {
	l := a.Location
	for i := range l.Cases {
		c, r := &l.Cases[i], a.Computed[i]
		if c.Energy == 0 || c.Boundary == 0 {
			a.notStated(c, r)
		}
		if r != nil && c.Energy > 0 {
			a.compareOne(c, "energy_cal_cm2", "energy", "cal/cm2", float64(c.Energy), float64(r.Energy), 1, r)
		}
		if r != nil && c.Boundary > 0 {
			a.compareOne(c, "boundary_in", "boundary", "in", float64(c.Boundary), float64(r.Boundary), MMPerInch, r)
		}
	}
	a.compareLabel()
}

// notStated lets what a row does not state print from the recomputed result
// only where somebody accepted that by name.
func (a *Assessment) notStated(c *Case, r *Computed) {
	missing, field := "incident energy and boundary", "energy_cal_cm2"
	switch {
	case c.Energy > 0:
		missing, field = "boundary", "boundary_in"
	case c.Boundary > 0:
		missing = "incident energy"
	}
	switch {
	case r == nil:
		a.errorf(c.Line, NoResults, field, "no %s stated, and none could be recomputed; put both energy and boundary into the row",
			missing)
	case c.AcceptedBy == "":
		a.errorf(c.Line, NotAccepted, "accepted_by", "no %s stated: recomputed %.4g cal/cm2 and %.4g in print only when "+
			"somebody accepts them by name", missing, r.Energy, r.Boundary/MMPerInch)
	}
}

func (a *Assessment) compareOne(c *Case, column, what, unit string, study, computed, per float64, r *Computed) {
	tolerance := 1 + a.Policy.TolerancePercent/100
	switch {
	case computed > study*tolerance:
		a.errorf(c.Line, Understated, column, "the study understates the %s: %.6g %s, recomputed %.6g by %s (%.3g %% more); "+
			"ask the engineer of the study, and compare clear_ms (now %.4g) with the report",
			what, study/per, unit, computed/per, r.Method.Standard(), (computed/study-1)*100, r.Clear)
	case study > computed*tolerance:
		a.cautionf(c.Line, Overstated, column, "the study overstates the %s: %.4g %s, recomputed %.4g by %s; "+
			"compare the inputs with the report",
			what, study/per, unit, computed/per, r.Method.Standard())
	}
}

// compareLabel finds an understatement, however small, that changes what the
// label says: kit, signal word, or the side of 1.2 cal/cm². Within the
// tolerance it would pass unseen otherwise.
func (a *Assessment) compareLabel() {
	p := a.Policy
	// What the label would say by the study alone, where a row without stated
	// energy speaks through its recomputed one; and by all that is known.
	var study, all Governing[CalCM2]
	l := a.Location
	understated := false
	for i := range l.Cases {
		c, r := &l.Cases[i], a.Computed[i]
		study.raise(c.Energy, c, FromStudy)
		all.raise(c.Energy, c, FromStudy)
		if r == nil {
			continue
		}
		if c.Energy == 0 {
			study.raise(r.Energy, c, FromComputed)
		}
		understated = understated || c.Energy > 0 && r.Energy > c.Energy
		all.raise(r.Energy, c, FromComputed)
	}
	if !understated || study.Value == 0 || float64(all.Value) > float64(study.Value)*(1+p.TolerancePercent/100) {
		return // not understated, or an error already
	}
	was, is := p.label(study.Value), p.label(all.Value)
	if was == is && (study.Value < Threshold) == (all.Value < Threshold) {
		return
	}
	a.errorf(l.CaseNamed(all.Case).Line, Understated, "energy_cal_cm2", "the study says %.7g cal/cm2 (%s), recomputed %.7g (%s): "+
		"small, but the label would read differently; ask the engineer of the study",
		study.Value, was, all.Value, is)
}

// label words what an energy makes of the label.
func (p *Policy) label(e CalCM2) string {
	signal, status, kit := p.Choose(e)
	if status == NotRequired {
		return "below 1.2, no kit"
	}
	return cmp.Or(kit, string(signal))
}

// Standard is a method's name as a person writes it.
func (m Method) Standard() string {
	switch m {
	case IEEE1584:
		return "IEEE 1584-2018"
	case Lee:
		return "Lee's method (NFPA 70E Annex D)"
	case DCMaxPower:
		return "the DC maximum-power method (NFPA 70E D.5)"
	}
	return "the study's word alone"
}

// checkGeometry compares gap and working distance with what is typical of the
// class, and says what IEEE 1584-2018 says of small low-voltage sources.
func (a *Assessment) checkGeometry() {
	l := a.Location
	line := l.Cases[0].Line
	if t, ok := typicalOf(l); ok {
		for i := range l.Cases {
			if c := &l.Cases[i]; !l.assumed("gap_mm") && unlike(float64(c.Gap), t.GapMM) {
				a.cautionf(c.Line, GapUntypical, "gap_mm", "a gap of %.4g mm is unlike %s, typically %g mm (IEEE 1584-2018); "+
					"compare it with the equipment", c.Gap, t.Name, t.GapMM)
				break
			}
		}
		if !l.assumed("distance_mm") && unlike(float64(l.Distance), t.DistanceMM) {
			a.cautionf(line, DistanceUntypical, "distance_in", "a working distance of %.4g in is unlike %s, typically %g in (IEEE 1584-2018); "+
				"compare it with the task", l.Distance/MMPerInch, t.Name, math.Round(t.DistanceMM/MMPerInch))
		}
	}
	if l.Voltage < 50 {
		a.cautionf(line, BelowFiftyVolts, "voltage_v", "%.6g V is below 50 V, where the tables specify no approach boundary; "+
			"make sure that it was not meant in kV", l.Voltage)
	}
	for _, c := range l.Cases {
		if l.Supply != shock.DC && l.Voltage >= 50 && l.Voltage <= 240 && c.Fault > 0 && c.Fault < 2 {
			a.cautionf(c.Line, SmallSource, "fault_ka", "at %g V and %.4g kA a sustained arc is possible but less likely "+
				"(IEEE 1584-2018: 240 V or less, below 2000 A); it is a likelihood and no exemption", l.Voltage, c.Fault)
		}
	}
}

// unlike allows a tenth for rounding and for sizes between; a house choice.
func unlike(x, typical float64) bool { return x > 0 && math.Abs(x/typical-1) > 0.1 }
