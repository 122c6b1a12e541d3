package assess

import (
	"slices"

	"vouchmark/assess/shock"
)

// What was probably not meant: mostly a number in the unit of another column. The
// limits are house choices around what low- and medium-voltage plants have; each
// finding may be accepted by name.

const (
	tooManyKA     KA    = 300
	tooFewKA      KA    = 0.1
	aliveKA       KA    = 0.5 // a circuit under 50 V seldom has more; for a battery the class says so
	shortestMS    MS    = 8   // half a cycle of 60 Hz: what current-limiting fuses need
	shortMediumMS MS    = 33  // above 1 kV: two cycles, the fastest breaker and relay
	mediumVolts   Volts = 1000
)

// checkVoltage finds kilovolts in the volts column, and phase to neutral.
func (a *Assessment) checkVoltage() {
	l := a.Location
	line := l.Cases[0].Line
	switch v := l.Voltage; {
	case v <= 0:
	case v < 50:
		why := ""
		for i := range l.Cases {
			if c := &l.Cases[i]; c.Fault > aliveKA {
				why = "has " + Number(c.Fault) + " kA of fault current"
			} else if c.Energy >= Threshold {
				why = "has " + a.energy(c.Energy, 9) + " of incident energy"
			}
		}
		if why == "" && l.Supply == shock.AC3 {
			why = "is not a three-phase system voltage"
		}
		if why == "" && !slices.Contains([]string{"", "battery", "other"}, l.Class) {
			why = "is the voltage of a " + l.Class
		}
		if why != "" {
			a.errorf(line, VoltageTooLow, "voltage_v", "%s V %s: were kilovolts meant? Correct the voltage or its unit; "+
				"if this is accepted, the label shows no shock boundary and no gloves",
				Number(v), why)
		}
	case l.Supply == shock.AC3 && (v < 200 || v == 277 || v == 347):
		a.errorf(line, VoltageUnusual, "voltage_v", "%s V is not a usual voltage between phases: were kilovolts meant, "+
			"or is it phase to neutral? Enter the voltage between phases", Number(v))
	}
}

// checkComputedVoltage does the same with the recomputed energy.
func (a *Assessment) checkComputedVoltage() {
	l := a.Location
	if l.Voltage >= 50 || a.Energy.Value < Threshold || a.Energy.From != FromComputed ||
		a.found(VoltageTooLow) {
		return
	}
	a.errorf(l.Cases[0].Line, VoltageTooLow, "voltage_v", "%s V has %s of recomputed incident energy: "+
		"were kilovolts meant? Correct the voltage or its unit", Number(l.Voltage), a.energy(a.Energy.Value, 9))
}

// checkCurrents finds amperes and kiloamperes mixed up.
func (a *Assessment) checkCurrents() {
	l := a.Location
	high := func(line int, column string, i KA) {
		if i > tooManyKA {
			a.errorf(line, CurrentTooHigh, column, "%s kA is more than any plant has: were amperes meant? "+
				"Correct the current or its unit", Number(i))
		}
	}
	high(l.Cases[0].Line, "rating_ka", l.Rating)
	for i := range l.Cases {
		c := &l.Cases[i]
		high(c.Line, "fault_ka", c.Fault)
		high(c.Line, "device_rating_ka", c.DeviceRating)
		if l.Supply == shock.AC3 && c.Fault > 0 && c.Fault < tooFewKA {
			a.errorf(c.Line, CurrentTooLow, "fault_ka", "%s kA is less than a three-phase system has: were kiloamperes meant? "+
				"Correct the current or its unit", Number(c.Fault))
		}
	}
}

// checkDurations finds seconds or cycles in a column of milliseconds, and a reduced
// current that would clear sooner than the full one.
func (a *Assessment) checkDurations() {
	for i := range a.Location.Cases {
		c := &a.Location.Cases[i]
		r := a.result(i)
		for _, d := range []struct {
			ms     MS
			at     KA
			column string
		}{{c.Clear, arcing(c, r, false), "clear_ms"}, {c.ClearReduced, arcing(c, r, true), "clear_reduced_ms"}} {
			switch {
			case d.ms == 0 || a.givenByCurve(c, d.ms, d.at):
			case d.ms < shortestMS:
				a.errorf(c.Line, DurationTooShort, d.column, "%s ms is shorter than devices clear, unless a curve shows it: "+
					"were seconds or cycles meant? Correct the duration, or give the device's curve", Number(d.ms))
			case d.ms < shortMediumMS && a.Location.Voltage > mediumVolts:
				a.cautionf(c.Line, DurationTooShort, d.column, "%s ms is shorter than a relay and breaker need at this voltage; "+
					"compare it with the study report", Number(d.ms))
			}
		}
		if c.ClearReduced > 0 && c.ClearReduced < c.Clear*(1-1e-9) {
			a.cautionf(c.Line, ReducedClearsSooner, "clear_reduced_ms", "the reduced arcing current clears in %s ms, the full one only in %s ms: "+
				"an overcurrent device does not clear sooner at a lower current (common practice); check whether the two are mixed up",
				Number(c.ClearReduced), Number(c.Clear))
		}
	}
}

// arcing is the current to which a duration of a case belongs, if known.
func arcing(c *Case, r *Computed, reduced bool) KA {
	switch {
	case r == nil:
		return c.Fault // nothing better is known for a stated row
	case reduced:
		return r.ArcingReduced
	case r.Arcing == 0: // Lee's method reads a curve at the fault current
		return c.Fault
	}
	return r.Arcing
}

// givenByCurve reports whether the row's curve clears as fast as the row says.
func (a *Assessment) givenByCurve(c *Case, ms MS, at KA) bool {
	curve := a.Curves[c.Curve]
	if curve == nil || at == 0 {
		return false
	}
	t, err := curve.ClearMS(float64(at))
	return err == nil && t <= float64(ms)*(1+a.Policy.TolerancePercent/100)
}

// checkDistance finds an unlikely working distance. The usual ones are 18 to 24 in
// up to 1 kV and 36 in up to 15 kV (IEEE 1584-2018, Table 10).
func (a *Assessment) checkDistance() {
	l := a.Location
	most := MM(1830)
	switch {
	case l.Voltage <= 1000:
		most = 610
	case l.Voltage <= 15000:
		most = 915
	}
	if d := l.Distance; d > 0 && (d < MMPerFoot*(1-1e-9) || d > most) {
		a.errorf(l.Cases[0].Line, DistanceUnusual, "distance_in", "a working distance of %s is unusual at this voltage, "+
			"%s to %s are common: was another unit meant? The energy is valid only at this distance",
			a.length(d, 4), a.length(MMPerFoot, 2), a.length(most, 2))
	}
}

// checkEnclosure finds open air although the row says that there is an enclosure: in
// a box the same arc gives more energy.
func (a *Assessment) checkEnclosure() {
	l := a.Location
	for i := range l.Cases {
		c := &l.Cases[i]
		what := l.enclosed(c)
		if what == "" {
			continue
		}
		if c.Electrodes == "VOA" || c.Electrodes == "HOA" {
			a.errorf(c.Line, OpenAirInEnclosure, "electrodes", "%s means open air, but %s says that there is an enclosure, "+
				"where the energy is higher; correct one of the two", c.Electrodes, what)
		}
		if c.Method == DCMaxPower && c.Multiplier == 1 {
			a.finalf(c.Line, OpenAirInEnclosure, "multiplier", "a multiplier of 1 is for open air, but %s says that there is an enclosure, "+
				"for which it is 3 (NFPA 70E D.5)", what)
		}
	}
}

// enclosed is what in a case says that the location is in an enclosure; "" for nothing.
func (l *Location) enclosed(c *Case) string {
	switch {
	case slices.Contains([]string{"switchgear", "switchboard", "mcc", "panelboard"}, l.Class):
		return "the class " + l.Class
	case c.Height > 0 || c.Width > 0 || c.Depth > 0:
		return "the row's dimensions"
	}
	return ""
}
