package standing

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"vouchmark/assess"
)

// Screening compares a label with new values after a change. A qualified person must
// accept the answer. It never assigns a kit.
type Screening struct {
	Changes []string `json:"changes"`          // that gave the values
	Others  int      `json:"others,omitempty"` // open changes that gave none
	// Energy and Boundary are recomputed with the new values; 0 if that is not
	// possible. With several cases each is the largest.
	Energy   assess.CalCM2 `json:"energy_cal_cm2,omitzero"`
	Boundary assess.MM     `json:"boundary_mm,omitzero"`
	Over     bool          `json:"over"`    // more than what is printed
	Printed  assess.CalCM2 `json:"printed"` // cal/cm²
	// Room is the margin below the printed energy, in whole percent, rounded down;
	// nil if the energy is above it or unknown.
	Room   *int   `json:"room_percent"`
	Detail string `json:"detail"`

	// Told holds the values given for each case of the label, in its order; those with
	// the maintenance switch on come last.
	Told []Told `json:"-"`

	// Unjudged is true if the label has a line about the maintenance switch that the
	// values do not cover.
	Unjudged bool `json:"-"`

	units      assess.Units  // of the label
	energyOn   assess.CalCM2 // the largest with the maintenance switch on; 0 where it is not known
	boundaryOn assess.MM

	fault assess.KA // if more than the printed one; else 0
	stuck bool      // the device may not clear the arc at all
	known bool      // something could be computed for every case with values
}

// Told holds the new values of a case.
type Told struct {
	Case   string
	On     bool // with the maintenance switch on
	Values assess.NewValues
}

// ShownBy reports whether a label of another outcome would print at least what was
// found, within a tolerance, with the maintenance switch on or off. It is false if
// nothing was found that it could print.
func (s *Screening) ShownBy(o *assess.Outcome, on bool, part float64) bool {
	found := s.Energy > 0 && !s.stuck
	if on {
		found = s.energyOn > 0
	}
	return found && s.Less(o, on, part) == ""
}

// Less names the number of another outcome that is below what was found, beyond a
// tolerance, with the one that was found; "" for none.
func (s *Screening) Less(o *assess.Outcome, on bool, part float64) string {
	least := 1 - part
	energy, boundary, is, around, of := s.Energy, s.Boundary, o.Energy, o.Boundary.Value, ""
	if on {
		if o.Maintenance == nil || !o.Maintenance.Permits() {
			return "" // no label mentions it
		}
		energy, boundary, of = s.energyOn, s.boundaryOn, " with the maintenance switch on"
		is, around = o.Maintenance.Energy, o.Maintenance.Boundary.Value
	}
	switch {
	case is.Bound == assess.Under && assess.PrintedCal(energy) >= is.Value:
		return fmt.Sprintf("below %s%s instead of %s", s.units.Energy(is.Value, 4), of, s.units.Energy(energy, 4))
	case is.Bound == "" && is.Value < energy*assess.CalCM2(least):
		return fmt.Sprintf("%s%s instead of %s", s.units.Energy(is.Value, 4), of, s.units.Energy(energy, 4))
	case around < boundary*assess.MM(least):
		return fmt.Sprintf("a boundary of %s%s instead of %s", s.units.Length(around, 6), of, s.units.Length(boundary, 6))
	}
	return ""
}

// Words is the screening in a sentence.
func (s *Screening) Words() string {
	text := "screening with the new values: " + s.Detail
	switch {
	case s.Others == 1:
		text += "; 1 more open change gives no new values"
	case s.Others > 1:
		text += fmt.Sprintf("; %d more open changes give no new values", s.Others)
	}
	return text
}

// Found is what was found, without the instruction.
func (s *Screening) Found() string { return strings.TrimSuffix(s.Detail, cover) }

// covers reports whether accepting this screening covers another one of the same label:
// the other is no worse.
func (s *Screening) covers(o *Screening) bool {
	const exact = 1 + 1e-9
	return !o.Over || s.Over && o.Energy <= s.Energy*exact && o.Boundary <= s.Boundary*exact &&
		o.fault <= s.fault*exact && (s.stuck || !o.stuck)
}

// accept ends every answer that a person might rely on.
const accept = "; a qualified person must accept it"

// cover is the instruction for a number above what is printed.
const cover = ": cover the label"

// Printed holds the numbers of a label as printed, in one unit each; of two roundings
// the smaller one.
type Printed struct {
	// of the line about the maintenance switch, if the label has one; else 0
	EnergyOn   assess.CalCM2
	BoundaryOn assess.MM

	Energy   assess.CalCM2
	Bound    assess.Bound // whether the label says above or below Energy
	Boundary assess.MM
	Fault    assess.KA // 0 for none

	// Says is how the label spells these numbers; where it is empty, they are spelled in
	// the units of the label.
	Says struct{ Energy, Boundary, EnergyOn, BoundaryOn, Fault string }
}

// inUnits fills in what nobody spelled.
func (p *Printed) inUnits(u assess.Units) {
	spell := func(says *string, text string) { *says = cmp.Or(*says, text) }
	spell(&p.Says.Energy, strings.TrimSpace(string(p.Bound)+" "+u.Energy(p.Energy, 4)))
	spell(&p.Says.Boundary, u.Length(p.Boundary, 6))
	spell(&p.Says.EnergyOn, u.Energy(p.EnergyOn, 4))
	spell(&p.Says.BoundaryOn, u.Length(p.BoundaryOn, 6))
	spell(&p.Says.Fault, assess.Digits(p.Fault, 4)+" kA")
}

// exceeded reports whether an energy is more than the label says.
func (p *Printed) exceeded(e assess.CalCM2) bool {
	switch p.Bound {
	case assess.Above:
		return false
	case assess.Under: // as it would be printed: a printed 1.2 is not below 1.2
		return assess.PrintedCal(e) >= p.Energy
	}
	return e > p.Energy*(1+1e-9)
}

// Screen recomputes the label of a location with new values, those of earlier changes
// first, and compares the result with what is printed. Values that name no case of the
// location are tried in all of its cases, and the worst result counts.
func Screen(in *assess.Inputs, printed Printed, told []assess.NewValues) Screening {
	l, u := in.Location, in.Policy.Units
	out := Screening{Printed: printed.Energy, units: u}
	printed.inUnits(u)
	normal := modeOfLabel(l)
	tried, why := 0, ""
	var names, over []string
	var energyOf, boundaryOf, clearOf string // the values for the worst of each
	for _, c := range normal {
		values := alternatives(told, l, c)
		if values == nil {
			continue
		}
		of := ""
		if len(normal) > 1 && c.Name != "" {
			of = " in case " + c.Name
		}
		tried, names = tried+1, append(names, c.Name)
		for k, v := range values {
			out.Told = append(out.Told, Told{Case: c.Name, Values: v})
			if v.Fault > printed.Fault*(1+1e-9) && printed.Fault > 0 {
				out.fault = max(out.fault, v.Fault)
			}
			r, reason, stuck := recompute(in, c, v)
			r = inProportion(in, c, r)
			if c.DeviceRating > 0 && v.Fault > c.DeviceRating {
				stuck, reason = true, fmt.Sprintf("%s kA is above the %s kA that its device can interrupt, "+
					"so it may not clear the fault at all", assess.Digits(v.Fault, 4), assess.Digits(c.DeviceRating, 4))
			}
			switch {
			case stuck && clearOf == "":
				clearOf = reason + of
			case r == nil && why == "" && k == 0: // earlier values may only be worse
				why = of + ": " + reason
			}
			if out.stuck = out.stuck || stuck; r == nil {
				r = inProportion(in, c, atLeast(in, c, v))
			}
			if r == nil {
				continue
			}
			if r.Energy > out.Energy {
				out.Energy, energyOf = r.Energy, of
			}
			if r.Boundary > out.Boundary {
				out.Boundary, boundaryOf = r.Boundary, of
			}
		}
	}
	switch {
	case printed.exceeded(out.Energy) && printed.Bound == assess.Under:
		over = append(over, fmt.Sprintf("%s%s, but the label says %s", u.Energy(out.Energy, 4), energyOf, printed.Says.Energy))
	case printed.exceeded(out.Energy):
		over = append(over, fmt.Sprintf("%s%s, above the printed %s", u.Energy(out.Energy, 4), energyOf, printed.Says.Energy))
	case out.Boundary > printed.Boundary*(1+1e-9):
		over = append(over, fmt.Sprintf("boundary %s%s, above the printed %s", u.Length(out.Boundary, 6), boundaryOf, printed.Says.Boundary))
	}
	if out.fault > 0 {
		over = append(over, fmt.Sprintf("fault current %s kA, above the printed %s", assess.Digits(out.fault, 4), printed.Says.Fault))
	}
	if out.stuck {
		over = append(over, clearOf)
	}
	on, unjudged := out.screenOn(in, &printed, told)
	if on != "" {
		over = append(over, on)
	}
	out.known = over == nil && tried > 0 && why == ""
	switch {
	case over != nil:
		out.Over, out.Detail = true, strings.Join(over, "; ")+cover
	case tried == 0:
		out.Detail = "not possible: the values belong to a case with the maintenance switch on, which does not decide the label"
	case why != "":
		out.Energy, out.Boundary = 0, 0
		out.Detail = "not possible" + why
	default:
		out.room(&printed, where(names, len(normal)), tried > 1)
	}
	if out.Unjudged = unjudged; unjudged {
		out.Detail += "; what the label says about the maintenance switch was not checked"
	}
	return out
}

// room says how large the margin to what is printed is, in the worst of several cases.
func (s *Screening) room(printed *Printed, where string, several bool) {
	if printed.Bound == assess.Above {
		s.Detail = fmt.Sprintf("still within the printed boundary%s; the label says %s%s",
			where, printed.Says.Energy, accept)
		return
	}
	percent := float64(1-s.Energy/printed.Energy) * 100
	room := max(0, int(math.Floor(percent)))
	s.Room = &room
	least := ""
	if several {
		least = " at least"
	}
	s.Detail = fmt.Sprintf("still below what is printed%s, margin%s %s%s", where, least, assess.Percent(percent), accept)
}

// where says in which of the cases something is true; "" if there is only one.
func where(names []string, all int) string {
	switch {
	case all == 1:
		return ""
	case len(names) == all:
		return fmt.Sprintf(" in all %d cases", all)
	case len(names) == 1:
		return " in case " + names[0]
	}
	return " in cases " + strings.Join(names, ", ")
}

// modeOfLabel returns the cases that decide what a label says: those with a maintenance
// switch on do not, if there are others.
func modeOfLabel(l *assess.Location) []*assess.Case {
	var normal, all []*assess.Case
	for i := range l.Cases {
		c := &l.Cases[i]
		if all = append(all, c); !c.Maintenance {
			normal = append(normal, c)
		}
	}
	if normal == nil {
		return all
	}
	return normal
}

// ofCase returns the new values that count for a case: those that name it, and those that
// name no case. A change of a device without values concerns the cases that the device
// clears, if that is known.
func ofCase(told []assess.NewValues, l *assess.Location, c *assess.Case) assess.NewValues {
	var v assess.NewValues
	for _, t := range told {
		switch {
		case t.Device != "" && !t.Tells():
			elsewhere := t.At != "" && c.DeviceAt != "" && t.At != c.DeviceAt && t.At != l.ID
			if !elsewhere && (v.Event != t.Event || v.Event == "") {
				v = t.Over(v)
			}
		case mayBeOf(t, l, c):
			v = t.Over(v)
		}
	}
	return v
}

// mayBeOf reports whether new values belong to a case, or name none.
func mayBeOf(v assess.NewValues, l *assess.Location, c *assess.Case) bool {
	return v.Case == "" || v.Case == c.Name || l.CaseNamed(v.Case) == nil
}

// alternatives returns the new values that count for a case, of which the worst decides;
// nil for none. To the last values it adds the durations and the curve last given for the
// device at each place: another kind of change, or one elsewhere, makes no device faster.
func alternatives(told []assess.NewValues, l *assess.Location, c *assess.Case) []assess.NewValues {
	last := ofCase(told, l, c)
	if last == (assess.NewValues{}) {
		return nil
	}
	all := []assess.NewValues{last}
	if !last.TellsTime() { // then nothing is known, and earlier screenings count
		return all
	}
	for i, t := range told {
		device := func(t assess.NewValues) bool { return t.Device != "" && t.TellsTime() && mayBeOf(t, l, c) }
		again := func(o assess.NewValues) bool { return device(o) && place(o) == place(t) }
		if !device(t) || slices.ContainsFunc(told[i+1:], again) {
			continue
		}
		t.Case, t.Fault = "", last.Fault
		if t != last {
			all = append(all, t)
		}
	}
	return all
}

// place is where a device was changed, by its name at that time.
func place(v assess.NewValues) string {
	_, at, _ := strings.Cut(v.Event, "/")
	return at
}

// inProportion is a result with new values if the study states more than what is
// recomputed now: what it states is assumed to change in proportion.
func inProportion(in *assess.Inputs, c *assess.Case, r *assess.Computed) *assess.Computed {
	known := in.Fitting(c)
	now, _, _ := assess.Compute(in, &known)
	if r == nil || now == nil || in.Policy.Govern == assess.GovernComputed || c.Bound != "" {
		return r
	}
	scaled := *r
	if c.Energy > now.Energy {
		scaled.Energy *= c.Energy / now.Energy
	}
	if c.Boundary > now.Boundary {
		scaled.Boundary *= c.Boundary / now.Boundary
	}
	return &scaled
}

// recompute evaluates a case with new values, or says why it cannot; stuck is true if the
// device may not clear the arc at all.
func recompute(in *assess.Inputs, row *assess.Case, v assess.NewValues) (r *assess.Computed, why string, stuck bool) {
	if _, doubt := v.Doubt(in.Location.Supply); doubt != "" {
		return nil, doubt, false
	}
	c := in.Fitting(row)
	if v.Fault > 0 {
		c.Fault = v.Fault
	}
	told := v.Clear > 0 || v.ClearReduced > 0
	whole := v.Clear > 0 && (v.ClearReduced > 0 || c.Method != assess.IEEE1584)
	switch {
	case v.Altered(): // the earlier value may have been more than is printed
		return nil, "not possible: curves/" + v.Curve.File + " has changed since the change was logged (restore the old file)", true
	case v.Curve != nil:
		c.Curve = v.Curve.File
		with := *in
		with.Curves = map[string]*assess.Curve{c.Curve: v.Curve}
		return byCurve(&with, &c, v.Clear, v.ClearReduced)
	case whole: // given with the current, also for another device
		c.Clear, c.ClearReduced = v.Clear, v.ClearReduced
		return assess.Compute(in, &c)
	case told:
		return nil, "the full and the reduced arcing current each need a duration: " +
			"give both new_clear_ms and new_clear_reduced_ms", false
	case v.Device != "":
		return nil, v.Device + ", so the old curve and clearing times no longer apply: " +
			"give new_clear_ms and new_clear_reduced_ms, or new_curve", false
	case c.Fault == row.Fault:
		return assess.Compute(in, &c)
	case c.Curve != "":
		return byCurve(in, &c, c.Clear, c.ClearReduced)
	}
	return nil, fmt.Sprintf("at %s kA the device may clear at a different time: "+
		"neither new_clear_ms nor a curve is given", assess.Digits(v.Fault, 4)), false
}

// byCurve evaluates a case by its curve. A given duration, which may belong to another
// current, counts if the curve's is not longer.
func byCurve(in *assess.Inputs, c *assess.Case, full, reduced assess.MS) (r *assess.Computed, why string, stuck bool) {
	c.Clear, c.ClearReduced = 0, 0
	if r, why, stuck = assess.Compute(in, c); r == nil || full <= r.Clear && reduced <= r.ClearReduced {
		return r, why, stuck
	}
	c.Clear = max(full, r.Clear)
	if c.Method == assess.IEEE1584 {
		c.ClearReduced = max(reduced, r.ClearReduced)
	}
	return assess.Compute(in, c)
}

// atLeast evaluates a case for which only one duration was given: the energy is at least
// what that one gives. It is nil if none was given.
func atLeast(in *assess.Inputs, row *assess.Case, v assess.NewValues) *assess.Computed {
	if v.Clear == 0 && v.ClearReduced == 0 {
		return nil
	}
	c := in.Fitting(row)
	c.Clear, c.ClearReduced, c.Curve = v.Clear, v.ClearReduced, ""
	if v.Fault > 0 {
		c.Fault = v.Fault
	}
	return assess.AtLeast(in, &c)
}
