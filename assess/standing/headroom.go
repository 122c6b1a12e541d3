package standing

import (
	"fmt"
	"math"

	"vouchmark/assess"
	"vouchmark/assess/arc"
)

// Headroom is how far the inputs of one case may drift before its label stops
// being true. Each is nil where there is nothing to exceed.
type Headroom struct {
	Case   string `json:"case,omitempty"`
	Energy *Room  `json:"energy"` // before the printed energy is understated
	Kit    *Room  `json:"kit"`    // before the kit is no longer enough
	Signal *Room  `json:"signal"` // before the signal word changes
	WhyNot string `json:"why_not,omitempty"`

	OtherCases []Headroom `json:"other_cases,omitempty"`
}

// Room is the room up to one limit of the energy: the fault current alone may
// lie within an interval, or each arc duration alone may grow to a value, all
// else as it is.
type Room struct {
	Limit          assess.CalCM2 `json:"limit_cal_cm2"`
	FaultKA        *[2]float64   `json:"fault_ka"`
	LowEnd         string        `json:"fault_low_end,omitempty"` // why the interval ends there
	HighEnd        string        `json:"fault_high_end,omitempty"`
	ClearMS        *float64      `json:"clear_ms"`
	ClearReducedMS *float64      `json:"clear_reduced_ms"` // nil for a method with one arcing current
	// Percent is how much more energy there may be: by that much either
	// duration may surely grow.
	Percent float64 `json:"percent"`
}

// HeadroomOf is the headroom of a location's label, of the case with the least
// first. energy is the governing one, of the case decides; the policy is that
// of the label.
func HeadroomOf(in *assess.Inputs, energy assess.CalCM2, decides string) Headroom {
	l, limits := in.Location, limitsOf(energy, in.Policy)
	for i := range l.Cases {
		c := &l.Cases[i]
		if r, why, _ := assess.Compute(in, c); r == nil && c.Name == decides {
			return Headroom{Case: c.Name, WhyNot: why} // how far the one that decides is from its limit is not known
		}
	}
	var all []Headroom
	least, most := 0, assess.CalCM2(0)
	for i := range l.Cases {
		h, e := headroom(in, &l.Cases[i], limits)
		if e > most {
			least, most = len(all), e
		}
		all = append(all, h)
	}
	first := all[least]
	first.OtherCases = append(append(first.OtherCases, all[:least]...), all[least+1:]...)
	return first
}

// limit is an energy that the label bears, and where it belongs.
type limit struct {
	energy assess.CalCM2
	into   func(*Headroom) **Room
}

// limitsOf are the limits of a label, in rising order.
func limitsOf(energy assess.CalCM2, p *assess.Policy) []limit {
	limits := []limit{{assess.PrintedCal(energy), func(h *Headroom) **Room { return &h.Energy }}}
	signal, status, chosen := p.Choose(energy)
	if signal == assess.Danger {
		return limits // no kit to be too weak, and no word above DANGER
	}
	cutoff := printable(p.Cutoff)
	kit := cutoff
	if status == assess.NotRequired {
		kit = printable(assess.Threshold) - 0.1 // a printed 1.2 takes a kit
	} else if rung := p.Rung(chosen); rung != nil {
		kit = min(kit, printable(rung.Rating))
	}
	return append(limits,
		limit{assess.CalCM2(assess.Round9(float64(kit))), func(h *Headroom) **Room { return &h.Kit }},
		limit{cutoff, func(h *Headroom) **Room { return &h.Signal }})
}

// printable is the largest energy that prints as no more than a limit.
func printable(e assess.CalCM2) assess.CalCM2 {
	return assess.CalCM2(math.Floor(float64(e)*10*(1+1e-9)) / 10)
}

// headroom is the room of one case, and its recomputed energy.
func headroom(in *assess.Inputs, c *assess.Case, limits []limit) (Headroom, assess.CalCM2) {
	h := Headroom{Case: c.Name}
	r, why, _ := assess.Compute(in, c)
	if r == nil {
		h.WhyNot = why
		return h, 0
	}
	var energies []float64
	for _, lim := range limits {
		if r.Energy > lim.energy*(1+1e-9) {
			h.WhyNot = fmt.Sprintf("the recomputed %.6g cal/cm2 is above the %.6g of the label already", r.Energy, lim.energy)
			return h, r.Energy
		}
		energies = append(energies, float64(lim.energy))
	}
	faults, why := faultRooms(in, c, r, energies)
	h.WhyNot = why
	for i, lim := range limits {
		room := &Room{Limit: lim.energy, Percent: math.Floor(float64(lim.energy/r.Energy-1)*1000) / 10}
		if r.Method == assess.IEEE1584 {
			room.ClearMS = longer(r.Clear, lim.energy, r.EnergyFull) // eq. 3 to 6 are linear in T
			room.ClearReducedMS = longer(r.ClearReduced, lim.energy, r.EnergyReduced)
		} else {
			room.ClearMS = longer(r.Clear, lim.energy, r.Energy) // both methods are linear in t
		}
		if faults != nil && faults[i] != (arc.Interval{}) {
			f := within(faults[i], c)
			room.FaultKA = &[2]float64{*up(f.Low), *down(f.High)}
			room.LowEnd, room.HighEnd = f.LowEnd, f.HighEnd
		}
		*lim.into(&h) = room
	}
	return h, r.Energy
}

// faultRooms are the intervals of the fault current, or why there are none.
func faultRooms(in *assess.Inputs, c *assess.Case, r *assess.Computed, energies []float64) ([]arc.Interval, string) {
	l, curve := in.Location, in.Curves[c.Curve]
	if curve == nil {
		return nil, "fault current: without the device's curve it is not known how long an arc of another current lasts; " +
			"a lower one may clear later and hurt more"
	}
	// Durations that the row states count as well, where they are the longer.
	d := arc.Bounded{Curve: curve.Curve, LeastMS: float64(c.Clear), LeastReducedMS: float64(c.ClearReduced)}
	if in.Policy.TwoSecondReason != "" {
		d.LongestMS = assess.TwoSeconds
	}
	var all []arc.Interval
	var err error
	fault := float64(c.Fault)
	switch r.Method {
	case assess.IEEE1584:
		var x arc.Input
		if x, err = assess.ArcInput(l, c); err == nil {
			all, err = arc.FaultIntervals(&x, energies, d)
		}
	case assess.Lee:
		all, err = arc.PointFaultIntervals(fault, 1, energies, d, func(fault, ms float64) (arc.PointSource, error) {
			return arc.Lee(float64(l.Voltage), fault, float64(l.Distance), ms, nil)
		})
	default:
		all, err = arc.PointFaultIntervals(fault, 0.5, energies, d, func(fault, ms float64) (arc.PointSource, error) {
			return arc.DCMaxPower(float64(l.Voltage), fault, float64(l.Distance), ms, c.Multiplier, nil)
		})
	}
	if err != nil {
		return nil, "fault current: " + err.Error()
	}
	if all[0] == (arc.Interval{}) {
		return all, "fault current: by the curve, not by the row's own durations, the energy is above the label's already"
	}
	return all, ""
}

// span is an interval with the reasons for its ends in words.
type span struct {
	Low, High       float64
	LowEnd, HighEnd string
}

// within ends an interval at what the device interrupts: above it may not
// clear the fault at all (NEC 110.9).
func within(f arc.Interval, c *assess.Case) span {
	out := span{f.Low, f.High, f.LowEnd.String(), f.HighEnd.String()}
	if most := float64(c.DeviceRating); most > 0 && out.High > most {
		out.High, out.HighEnd = max(most, out.Low), "what the device interrupts"
	}
	return out
}

// longer is how long an arc may last where its energy grows to a limit.
func longer(t assess.MS, limit, energy assess.CalCM2) *float64 {
	return down(float64(t) * float64(limit) / float64(energy))
}

// down and up round to 9 digits on the safe side.
func down(x float64) *float64 {
	r := assess.Round9(x)
	if r > x {
		r = assess.Round9(x * (1 - 1e-8))
	}
	return &r
}

func up(x float64) *float64 {
	r := assess.Round9(x)
	if r < x {
		r = assess.Round9(x * (1 + 1e-8))
	}
	return &r
}
