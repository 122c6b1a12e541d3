package plant

import (
	"slices"

	"vouchmark/assess"
	"vouchmark/assess/shock"
	"vouchmark/label/record"
)

// Low is a part of a label that says too little, as JSON writes it.
type Low string

// The parts. Whoever works by such a label is less protected than the row
// requires, so it must be covered at once. The fault current is not among them: its
// effect is in the energy.
const (
	LowSignal   Low = "signal word"        // WARNING, but the row makes it DANGER
	LowKit      Low = "kit"                // rated less than the energy
	LowEnergy   Low = "energy"             // printed lower
	LowTold     Low = "change"             // changes gave more than it prints
	LowDistance Low = "working distance"   // printed shorter: nearer to the arc is more energy
	LowBoundary Low = "boundary"           // arc-flash boundary, printed nearer
	LowApproach Low = "approach boundary"  // limited or restricted, printed nearer
	LowGloves   Low = "gloves"             // of a lower class
	LowVoltage  Low = "voltage"            // printed lower
	LowSwitch   Low = "maintenance switch" // what it says about the switch being ON no longer holds
)

// Lows are all of them, worst first.
var Lows = []Low{LowSignal, LowKit, LowEnergy, LowTold, LowDistance, LowBoundary, LowApproach, LowGloves, LowVoltage,
	LowSwitch}

// tooLow lists where the mounted label says too little, compared with the row and
// with what changes gave; nil for nothing.
func (r *RestudyRow) tooLow(row *record.Record, label *Printed) []Low {
	var all []Low
	if r.Before != nil && row != nil {
		all = lows(r.Before, row)
	}
	if label.Standing.TooLow {
		all = append(all, LowTold)
		slices.SortFunc(all, func(a, b Low) int { return slices.Index(Lows, a) - slices.Index(Lows, b) })
	}
	return all
}

// lows lists where a label says too little now, by the numbers as they are printed
// in the label's own units.
func lows(label, now *record.Record) []Low {
	var all []Low
	o, n, u := label.Outcome, now.Outcome, label.Policy.Units
	for _, x := range []struct {
		what Low
		is   bool
	}{
		{LowSignal, o.Status != "" && o.Status != assess.NoneAllowed && n.Status == assess.NoneAllowed},
		{LowKit, kitTooWeak(label, now, o.Status, o.Kit, n.Status, n.Energy.Value)},
		{LowEnergy, moreEnergy(o.Energy, n.Energy, u)},
		{LowDistance, farther(alike(label.Location.Distance), alike(now.Location.Distance), u)},
		{LowBoundary, farther(alike(o.BoundaryToPrint), alike(n.BoundaryToPrint), u)},
		{LowApproach, nearerApproach(&o.Shock, &n.Shock, u)},
		{LowGloves, gloveClass(n.Glove) > gloveClass(o.Glove)},
		{LowVoltage, assess.More(label.Location.Voltage, now.Location.Voltage)},
		{LowSwitch, switchTooLow(label, now)},
	} {
		if x.is {
			all = append(all, x.what)
		}
	}
	return all
}

// moreEnergy reports whether an energy is more than what a label prints for
// another.
func moreEnergy(label, now assess.Governing[assess.CalCM2], u assess.Units) bool {
	printed, is := assess.PrintedCal(label.Value), assess.PrintedCal(now.Value)
	switch {
	case label.Value == 0 || now.Value == 0 || label.Bound == assess.Above:
		return false
	case now.Bound == assess.Above: // nobody knows how much more
		return true
	case label.Bound == assess.Under && now.Bound != assess.Under && is == printed: // a printed 1.2 is not below 1.2
		return true
	}
	return is > printed || u != assess.US && assess.PrintedJoule(now.Value) > assess.PrintedJoule(label.Value)
}

// length is a length as a label words it: in inches and in metric units, which for
// a row of a table are not conversions of each other.
type length struct{ inches, metric assess.MM }

func alike(l assess.MM) length { return length{l, l} }

// farther reports whether a length is more than what a label prints for another.
func farther(label, now length, u assess.Units) bool {
	return u != assess.SI && assess.PrintedInches(now.inches) > assess.PrintedInches(label.inches) ||
		u != assess.US && assess.PrintedMM(now.metric) > assess.PrintedMM(label.metric)
}

// kitTooWeak reports whether the kit named on a label is rated below an energy that
// requires one. If the ladder now has a kit of that name, the lower rating counts.
func kitTooWeak(label, now *record.Record, status assess.KitStatus, kit string, asks assess.KitStatus, e assess.CalCM2) bool {
	if status == "" || status == assess.NoneAllowed || asks != assess.KitChosen {
		return false
	}
	rated := assess.CalCM2(0) // none is required
	if rung := label.Policy.Rung(kit); rung != nil {
		rated = rung.Rating
	}
	if rung := now.Policy.Rung(kit); rung != nil {
		rated = min(rated, rung.Rating)
	}
	return rated < assess.PrintedCal(e)
}

// nearerApproach reports whether a label prints the limited or restricted approach
// boundary nearer than it is, or requires less.
func nearerApproach(label, now *shock.Boundaries, u assess.Units) bool {
	strict := []shock.Rule{shock.NotSpecified, shock.AvoidContact, shock.AtDistance}
	limited := func(b *shock.Boundaries) length { return length{assess.MM(b.Limited), assess.MM(b.LimitedPrint)} }
	restricted := func(b *shock.Boundaries) length { return length{assess.MM(b.Restricted), assess.MM(b.RestrictedPrint)} }
	return slices.Index(strict, now.Rule) > slices.Index(strict, label.Rule) ||
		farther(limited(label), limited(now), u) || farther(restricted(label), restricted(now), u)
}

// gloveClass is the rank of a class of gloves, lowest first.
func gloveClass(g assess.Glove) int {
	return slices.IndexFunc(shock.Gloves, func(x shock.Glove) bool { return x.Class == g.Class })
}

// switchTooLow reports whether what a label says about the maintenance switch is
// too low now, or no longer applies.
func switchTooLow(label, now *record.Record) bool {
	o, n, u := label.Maintenance, now.Maintenance, label.Policy.Units
	switch {
	case o == nil || !o.Permits() || label.Policy.MaintenanceOnPage:
		return false // the label does not mention it
	case n == nil || !n.Permits():
		return true
	case label.Signal == assess.Danger && (o.Device != n.Device || o.DeviceAt != n.DeviceAt): // which it names
		return true
	}
	return moreEnergy(o.Energy, n.Energy, u) || farther(alike(o.BoundaryToPrint), alike(n.BoundaryToPrint), u) ||
		kitTooWeak(label, now, o.Status, o.Kit, n.Status, n.Energy.Value)
}

// Hazard is which way the hazard on a label goes, as JSON writes it.
type Hazard string

// The ways. A label that says more in one respect and less in another goes up.
const (
	HazardUp   Hazard = "up"
	HazardDown Hazard = "down"
	HazardSame Hazard = "same"
)

// hazards are the ways in the order in which they are listed.
var hazards = []Hazard{HazardUp, HazardDown, HazardSame, ""}

// hazard compares the unrounded numbers; "" if an energy is not known. A lower
// fault current alone is not a lower hazard: it may clear later.
func hazard(label, now *record.Record) Hazard {
	more := func(a, b *record.Record) bool {
		return lows(a, b) != nil || assess.More(a.Energy.Value, b.Energy.Value) || assess.More(a.Boundary.Value, b.Boundary.Value)
	}
	switch {
	case label.Energy.Value == 0 || now.Energy.Value == 0:
		return ""
	case more(label, now) || assess.More(label.Fault.Value, now.Fault.Value):
		return HazardUp
	case more(now, label):
		return HazardDown
	}
	return HazardSame
}
