package assess

import (
	"math"
	"strings"

	"vouchmark/assess/arc"
	"vouchmark/assess/shock"
)

// compute evaluates every case and adds what a person must know about it.
func (a *Assessment) compute() {
	l := a.Location
	a.Computed = make([]*Computed, len(l.Cases))
	a.NotComputed = make([]string, len(l.Cases))
	for i := range l.Cases {
		c := &l.Cases[i]
		r, reason, below := compute(&a.Inputs, c, a.detail.recorder())
		a.Computed[i], a.NotComputed[i] = r, reason
		a.provenOf(i)
		switch {
		case c.Method != Stated && !a.frequencyKnown(c):
			a.errorf(c.Line, Frequency, "frequency_hz", "%s; to print the study's own number, set method = stated", reason)
		case below:
			a.errorf(c.Line, MayNotClear, "curve", "%s: at this current %s may not clear the arc at all; ask the engineer of the study",
				reason, c.deviceName())
		case !a.fits(c):
			a.errorf(c.Line, MethodUnfit, "method", "%s is not for %s at %s V: leave the method empty, or enter the one that the study used",
				c.Method, l.Supply, Number(l.Voltage))
		case r == nil && c.Method != Stated:
			a.cautionf(c.Line, NotRecomputable, "method", "cannot be recomputed by %s: %s", c.Method, reason)
		case r != nil:
			a.sayComputed(c, r)
		}
		if longest := max(c.Clear, c.ClearReduced); r == nil && longest > TwoSeconds {
			a.longArc(c, longest)
		}
	}
	if len(l.Assumed()) > 0 {
		a.cautionf(l.Cases[0].Line, TypicalValues, "class", "%s taken from the typical values of IEEE 1584-2018 for %s; "+
			"enter the measured ones in the row", assumed(l), l.Class)
	}
}

// fits reports whether a case's method is for its supply and voltage. Lee's method
// is theoretical, and only for above 15 kV (at 480 V it gives less than the model
// of IEEE 1584-2018).
func (a *Assessment) fits(c *Case) bool {
	l := a.Location
	switch c.Method {
	case IEEE1584:
		return l.Supply != shock.DC
	case Lee:
		return l.Supply == shock.AC3 && l.Voltage > 15000
	case DCMaxPower:
		return l.Supply == shock.DC
	}
	return true
}

// provenOf keeps what the inputs of a row prove beyond what it states, or beyond
// what its own durations give.
func (a *Assessment) provenOf(i int) {
	c := &a.Location.Cases[i]
	r, below := a.prove(c, a.Computed[i], a.detail)
	if below {
		a.errorf(c.Line, MayNotClear, "curve", "%s gives no clearing time at this arcing current: %s may not clear the arc at all; "+
			"ask the engineer of the study", c.Curve, c.deviceName())
	}
	if r == nil {
		return
	}
	stated := *c // what would govern without the proof
	if own := a.Computed[i]; a.byOwn(c, own) {
		stated.Energy, stated.Boundary, stated.Bound = own.Energy, own.Boundary, ""
	} else if c.Energy == 0 {
		return
	}
	if a.understates(&stated, r) {
		if a.Proven == nil {
			a.Proven = make([]*Computed, len(a.Location.Cases))
		}
		a.Proven[i] = r
	}
}

// byOwn reports whether a case's own durations would give the governing result.
func (a *Assessment) byOwn(c *Case, own *Computed) bool {
	return own != nil && (c.Energy == 0 || a.Policy.Govern == GovernComputed)
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

// sayComputed adds the cautions of one evaluation.
func (a *Assessment) sayComputed(c *Case, r *Computed) {
	// The basis says that the DC method is not based on arc tests: here that would
	// be repeated for every battery.
	for _, text := range (r.Cautions &^ arc.CautionDC).List() {
		a.cautionf(c.Line, MethodLimits, "method", "%s", text)
	}
	if r.capped() {
		a.cautionf(c.Line, TwoSecondsCounted, "clear_ms", "the arc lasts longer than two seconds; two seconds are used because: %s",
			a.twoSecondReason(c))
	} else if longest := max(r.Clear, r.ClearReduced); longest > TwoSeconds {
		a.longArc(c, longest)
	}
	if r.Governs == "reduced" {
		a.cautionf(c.Line, ReducedGoverns, "clear_reduced_ms", "the reduced arcing current governs: "+
			"%.4g kA clears in %.4g ms and gives %s, the full %.4g kA clears in %.4g ms and gives %s",
			r.ArcingReduced, r.ClearReduced, a.energy(r.EnergyReduced, 4), r.Arcing, r.Clear, a.energy(r.EnergyFull, 4))
	}
	a.curveAgainstRow(c, r)
}

func (a *Assessment) longArc(c *Case, ms MS) {
	a.cautionf(c.Line, LongArc, "clear_ms", "the arc lasts %.3g s; if a person can readily move clear, two seconds are usually "+
		"reasonable (IEEE 1584-2018, engineering judgment); the owner may set that, with a reason", ms/1000)
}

// curveAgainstRow compares the duration that a row states with the device's curve:
// a longer time on the curve is a caution, and a current below what trips the
// device is the same error as without a stated duration.
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
			a.errorf(c.Line, MayNotClear, "curve", "the row says %.4g ms, but according to %s %v: at this current %s may not clear the arc at all; "+
				"ask the engineer of the study",
				d.stated, c.Curve, err, c.deviceName())
		case err == nil && ms > float64(d.stated)*(1+a.Policy.TolerancePercent/100):
			a.cautionf(c.Line, CurveSlower, d.column, "the row says %.4g ms, but the curve %s says %.4g ms at %.4g kA; "+
				"ask the engineer of the study which is right", d.stated, c.Curve, ms, d.at)
		}
	}
}

// Standard is a method's name for a person.
func (m Method) Standard() string {
	switch m {
	case IEEE1584:
		return "IEEE 1584-2018"
	case Lee:
		return "Lee's method (NFPA 70E Annex D)"
	case DCMaxPower:
		return "the DC maximum-power method (NFPA 70E D.5)"
	}
	return "the study's statement alone"
}

// Provenance says how the equations and numbers of a method came into this program; "" for a
// method without any.
func (m Method) Provenance() string {
	switch m {
	case IEEE1584:
		return "the equations and coefficients of IEEE 1584-2018 were written down from memory and agree with several " +
			"public transcriptions; its two printed examples are reproduced, but they test the VCB coefficients only. " +
			"Compare them with your copy of the standard"
	case Lee, DCMaxPower:
		return "the equations of this method were written down from memory and agree with published examples. " +
			"Compare them with your copy of NFPA 70E Annex D"
	}
	return ""
}

// CautionTexts are the cautions about a result that is shown with its steps.
func (c *Computed) CautionTexts() []string {
	all := c.Cautions.List()
	if from := c.Method.Provenance(); from != "" {
		all = append(all, from)
	}
	return all
}

// checkGeometry compares gap and working distance with what is typical of the class,
// and repeats what IEEE 1584-2018 says about small low-voltage sources.
func (a *Assessment) checkGeometry() {
	l := a.Location
	line := l.Cases[0].Line
	if t, ok := typicalOf(l); ok {
		assumed := l.assumed("gap_mm")
		for i := range l.Cases {
			if c := &l.Cases[i]; !assumed && unlike(float64(c.Gap), t.GapMM) {
				a.cautionf(c.Line, GapUntypical, "gap_mm", "a gap of %.4g mm is unusual for %s, typically %g mm (IEEE 1584-2018); "+
					"compare it with the equipment", c.Gap, t.Name, t.GapMM)
				break
			}
		}
		if !l.assumed("distance_mm") && unlike(float64(l.Distance), t.DistanceMM) {
			a.cautionf(line, DistanceUntypical, "distance_in", "a working distance of %s is unusual for %s, typically %s (IEEE 1584-2018); "+
				"compare it with the task", a.length(l.Distance, 4), t.Name, a.length(MM(t.DistanceMM), 2))
		}
	}
	if l.Voltage < 50 && !a.found(VoltageTooLow) {
		a.cautionf(line, BelowFiftyVolts, "voltage_v", "%.6g V is below 50 V, where the tables specify no approach boundary; "+
			"make sure that kilovolts were not meant", l.Voltage)
	}
	for _, c := range l.Cases {
		if l.Supply != shock.DC && l.Voltage >= 50 && l.Voltage <= 240 && c.Fault > 0 && c.Fault < 2 {
			a.cautionf(c.Line, SmallSource, "fault_ka", "at %g V and %.4g kA a sustained arc is possible but less likely "+
				"(IEEE 1584-2018: 240 V or less, below 2000 A); this is a likelihood, not an exemption", l.Voltage, c.Fault)
		}
	}
}

// unlike allows a tenth for rounding and for sizes in between; a house choice.
func unlike(x, typical float64) bool { return x > 0 && math.Abs(x/typical-1) > 0.1 }
