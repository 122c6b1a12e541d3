package standing

import (
	"fmt"
	"math"

	"vouchmark/assess"
)

// Screening is what new values after a change make of a label: an answer that
// a qualified person must accept. It never assigns a kit.
type Screening struct {
	Changes []string `json:"changes"`          // that gave the values
	Others  int      `json:"others,omitempty"` // open changes that gave none
	// Energy and Boundary are recomputed with the new values; 0 where that
	// cannot be.
	Energy   assess.CalCM2 `json:"energy_cal_cm2,omitzero"`
	Boundary assess.MM     `json:"boundary_mm,omitzero"`
	Over     bool          `json:"over"`    // more than what is printed
	Printed  assess.CalCM2 `json:"printed"` // cal/cm²
	// Room is how much of the printed energy is left, in whole per cent,
	// rounded down; nil where it is over or unknown.
	Room   *int   `json:"room_percent"`
	Detail string `json:"detail"`
}

// Words is the screening in a sentence.
func (s *Screening) Words() string {
	text := "screening: " + s.Detail
	if s.Others > 0 {
		text += fmt.Sprintf("; %d more open changes tell no values", s.Others)
	}
	return text
}

// accept ends every answer that a person might rely on.
const accept = "; a qualified person must accept it"

// takeOut is what follows from a number above what is printed.
const takeOut = ", take the label out of use"

// Screen recomputes the label of a location with new values and holds the
// result against what is printed.
func Screen(in *assess.Inputs, printed Printed, v assess.NewValues) Screening {
	l := in.Location
	out := Screening{Printed: printed.Energy}
	if over := overByCurrent(l, printed, v); over != "" {
		out.Over, out.Detail = true, over+takeOut
		return out
	}
	// Of several cases it is not known which one the values are of: what is
	// over in one of them is over, and nothing else is known.
	var why string
	for i := range l.Cases {
		r, reason, danger := recompute(in, &l.Cases[i], v)
		which := ""
		if len(l.Cases) > 1 && l.Cases[i].Name != "" {
			which = " in the case " + l.Cases[i].Name
		}
		switch {
		case danger:
			out.Over, out.Detail = true, reason+which+takeOut
			return out
		case r == nil:
			why = reason
			if r = atLeast(in, &l.Cases[i], v); r == nil || r.Energy <= printed.Energy*(1+1e-9) {
				continue
			}
			fallthrough
		default:
			out.Energy, out.Boundary = max(out.Energy, r.Energy), max(out.Boundary, r.Boundary)
		}
		switch {
		case r.Energy > printed.Energy*(1+1e-9):
			out.Over, out.Detail = true, fmt.Sprintf("%.4g%s over the printed %.9g%s", r.Energy, which, printed.Energy, takeOut)
			return out
		case r.Boundary > printed.Boundary*(1+1e-9):
			out.Over, out.Detail = true, fmt.Sprintf("boundary %.6g in%s over the printed %.9g in%s",
				r.Boundary/assess.MMPerInch, which, printed.Boundary/assess.MMPerInch, takeOut)
			return out
		}
	}
	switch {
	case why != "":
		out.Energy, out.Boundary = 0, 0
		out.Detail = "not possible: " + why
	case len(l.Cases) > 1:
		out.Energy, out.Boundary = 0, 0
		out.Detail = fmt.Sprintf("not possible: the location has %d cases, and which of them the values are of is not known",
			len(l.Cases))
	default:
		room := int(math.Floor(float64(1-out.Energy/printed.Energy) * 100))
		out.Room = &room
		out.Detail = fmt.Sprintf("still below what is printed, %d %% room%s", max(room, 0), accept)
	}
	return out
}

// overByCurrent says why a new fault current alone condemns the label,
// whatever can be recomputed.
func overByCurrent(l *assess.Location, printed Printed, v assess.NewValues) string {
	if v.Fault == 0 {
		return ""
	}
	for i := range l.Cases {
		if c := &l.Cases[i]; c.DeviceRating > 0 && v.Fault > c.DeviceRating {
			return fmt.Sprintf("%.4g kA is above the %.4g kA that its device interrupts: it may not clear the fault at all",
				v.Fault, c.DeviceRating)
		}
	}
	if printed.Fault > 0 && v.Fault > printed.Fault*(1+1e-9) {
		return fmt.Sprintf("fault current %.4g kA over the printed %.9g kA", v.Fault, printed.Fault)
	}
	return ""
}

// Printed are the numbers of a label as it says them, in one unit each; of two
// roundings the smaller one.
type Printed struct {
	Energy   assess.CalCM2
	Boundary assess.MM
	Fault    assess.KA // 0 for none
}

// recompute evaluates a case with new values, or says why it cannot; danger is
// true where the device may not clear the arc at all.
func recompute(in *assess.Inputs, row *assess.Case, v assess.NewValues) (r *assess.Computed, why string, danger bool) {
	c := *row
	if v.Fault > 0 && v.Fault != c.Fault {
		c.Fault = v.Fault
		switch {
		case v.Clear > 0: // told with the current, also of another device
		case c.Curve != "":
			// A stated duration is that at the old current: it counts where
			// the curve's is not longer.
			c.Clear, c.ClearReduced = 0, 0
			if r, why, danger = assess.Compute(in, &c); r == nil {
				return r, why, danger
			}
			c.Clear = max(row.Clear, r.Clear)
			if c.ClearReduced = row.ClearReduced; c.Method == assess.IEEE1584 {
				c.ClearReduced = max(row.ClearReduced, r.ClearReduced)
			}
		default:
			return nil, fmt.Sprintf("at %.4g kA the device may clear at another time: "+
				"new_clear_ms is not given, and no curve", v.Fault), false
		}
	}
	if v.Clear > 0 || v.ClearReduced > 0 {
		if c.Method == assess.IEEE1584 && (v.Clear == 0 || v.ClearReduced == 0) {
			return nil, "the full and the reduced arcing current each need a duration: " +
				"give both new_clear_ms and new_clear_reduced_ms", false
		}
		c.Clear, c.ClearReduced = v.Clear, v.ClearReduced
	}
	return assess.Compute(in, &c)
}

// atLeast evaluates a case of which one duration alone is told: the energy is
// at least what that one gives. It is nil where nothing is told.
func atLeast(in *assess.Inputs, row *assess.Case, v assess.NewValues) *assess.Computed {
	if v.Clear == 0 && v.ClearReduced == 0 {
		return nil
	}
	const none = 1e-3 // ms, in place of the one that is not told
	c := *row
	c.Clear, c.ClearReduced = max(v.Clear, none), max(v.ClearReduced, none)
	if v.Fault > 0 {
		c.Fault = v.Fault
	}
	r, _, _ := assess.Compute(in, &c)
	return r
}
