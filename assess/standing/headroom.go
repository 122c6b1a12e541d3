package standing

import (
	"cmp"
	"fmt"
	"math"

	"vouchmark/assess"
	"vouchmark/assess/arc"
)

// Headroom is the margin of one case: how far its inputs may move before its label is
// no longer true. Each limit is nil if there is nothing to exceed.
type Headroom struct {
	Case   string `json:"case,omitempty"`
	Energy *Room  `json:"energy"` // before the printed energy is understated
	Kit    *Room  `json:"kit"`    // before the kit is no longer sufficient
	Signal *Room  `json:"signal"` // before the signal word changes
	WhyNot string `json:"why_not,omitempty"`

	OtherCases []Headroom `json:"other_cases,omitempty"`
}

// Room is the margin up to one limit of the energy: the range of the fault current, and
// the largest arc durations, each with everything else unchanged.
type Room struct {
	Limit          assess.CalCM2 `json:"limit_cal_cm2"`
	FaultKA        *[2]float64   `json:"fault_ka"`
	LowEnd         string        `json:"fault_low_end,omitempty"` // why the interval ends there
	HighEnd        string        `json:"fault_high_end,omitempty"`
	ClearMS        *float64      `json:"clear_ms"`
	ClearReducedMS *float64      `json:"clear_reduced_ms"` // nil for a method with one arcing current
	// Percent is how much more energy there may be: each duration may safely grow by
	// that much.
	Percent float64 `json:"percent"`
}

// HeadroomOf is the margin of a location's label, starting with the case that has the
// least. energy is the governing one; the policy is that of the label. Cases with the
// maintenance switch on govern nothing.
func HeadroomOf(in *assess.Inputs, energy assess.Governing[assess.CalCM2]) Headroom {
	l, limits := in.Location, limitsOf(energy.Value, in.Policy)
	if energy.Bound != "" {
		return Headroom{Case: energy.Case, WhyNot: fmt.Sprintf("the energy is only known to be %s %s: "+
			"its distance from a limit is not known", energy.Bound, in.Policy.Units.Energy(energy.Value, 9))}
	}
	// The margin of the deciding case may not be known.
	if c := l.CaseNamed(energy.Case); c != nil {
		if r, why, _ := assess.Compute(in, c); r == nil {
			return Headroom{Case: c.Name, WhyNot: why}
		}
	}
	var all []Headroom
	least, most := 0, assess.CalCM2(0)
	for i := range l.Cases {
		if l.Cases[i].Maintenance {
			continue
		}
		h, e := headroom(in, &l.Cases[i], limits)
		if e > most {
			least, most = len(all), e
		}
		all = append(all, h)
	}
	if all == nil {
		return Headroom{WhyNot: "there is no result without the maintenance switch on"}
	}
	first := all[least]
	first.OtherCases = append(append(first.OtherCases, all[:least]...), all[least+1:]...)
	return first
}

// limitsOf returns the largest energies for which the printed energy, the kit and the
// signal word stay true, in rising order.
func limitsOf(energy assess.CalCM2, p *assess.Policy) []float64 {
	limits := []float64{float64(assess.PrintedCal(energy))}
	signal, status, chosen := p.Choose(energy)
	if signal == assess.Danger {
		return limits // there is no kit, and no signal word above DANGER
	}
	cutoff := printable(p.Cutoff)
	kit := cutoff
	if status == assess.NotRequired {
		kit = printable(assess.Threshold) - 0.1 // a printed 1.2 takes a kit
	} else if rung := p.Rung(chosen); rung != nil {
		kit = min(kit, printable(rung.Rating))
	}
	return append(limits, assess.Round9(kit), cutoff)
}

// printable is the largest energy that prints as no more than a limit.
func printable(e assess.CalCM2) float64 { return math.Floor(float64(e)*10*(1+1e-9)) / 10 }

// headroom is the margin of one case, and its recomputed energy.
func headroom(in *assess.Inputs, c *assess.Case, limits []float64) (Headroom, assess.CalCM2) {
	h := Headroom{Case: c.Name}
	r, why, _ := assess.Compute(in, c)
	if r == nil {
		h.WhyNot = why
		return h, 0
	}
	// If the study states more than what is recomputed, the label prints that, and it
	// is assumed to change in the same proportion.
	energy := r.Energy
	if c.Bound == "" && in.Policy.Govern != assess.GovernComputed {
		energy = max(energy, c.Energy)
	}
	own := make([]float64, len(limits)) // the limits, of the recomputed energy
	for i, limit := range limits {
		if float64(energy) > limit*(1+1e-9) {
			h.WhyNot = fmt.Sprintf("the recomputed %s is already above the label's %s", in.Policy.Units.Energy(r.Energy, 6),
				in.Policy.Units.Energy(assess.CalCM2(limit), 6))
			return h, energy
		}
		own[i] = limit * float64(r.Energy/energy)
	}
	faults, why := faultRooms(in, c, r, own)
	h.WhyNot = why
	into := [...]**Room{&h.Energy, &h.Kit, &h.Signal}
	for i, limit := range own {
		room := &Room{Limit: assess.CalCM2(limits[i]), Percent: max(0, math.Floor((limits[i]/float64(energy)-1)*1000)/10)}
		if r.Method == assess.IEEE1584 {
			room.ClearMS = longer(r.Clear, limit, r.EnergyFull) // eq. 3 to 6 are linear in T
			room.ClearReducedMS = longer(r.ClearReduced, limit, r.EnergyReduced)
		} else {
			room.ClearMS = longer(r.Clear, limit, r.Energy) // both methods are linear in t
		}
		if faults != nil && faults[i] != (arc.Interval{}) {
			f := faults[i]
			room.LowEnd, room.HighEnd = f.LowEnd.String(), f.HighEnd.String()
			// Above its interrupting rating the device may not clear the fault at all (NEC 110.9).
			if most := float64(c.DeviceRating); most > 0 && f.High > most {
				f.High, room.HighEnd = max(most, f.Low), "the device's interrupting rating"
			}
			room.FaultKA = &[2]float64{*up(f.Low), *down(f.High)}
		}
		*into[i] = room
	}
	return h, energy
}

// faultRooms returns the ranges of the fault current, or why there are none.
func faultRooms(in *assess.Inputs, c *assess.Case, r *assess.Computed, energies []float64) ([]arc.Interval, string) {
	l, curve := in.Location, in.Curves[c.Curve]
	if curve == nil {
		return nil, "fault current: without the device's curve the clearing time at another current is not known; " +
			"a lower current may clear later and release more energy"
	}
	// Durations stated in the row also count, if they are longer.
	d := arc.Bounded{Curve: curve.Curve, LeastMS: float64(c.Clear), LeastReducedMS: float64(c.ClearReduced)}
	if cmp.Or(c.TwoSecondReason, in.Policy.TwoSecondReason) != "" {
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
		return all, "fault current: by the curve (not by the row's own durations) the energy is already above the label's"
	}
	return all, ""
}

// longer is how long an arc may last until its energy reaches a limit.
func longer(t assess.MS, limit float64, energy assess.CalCM2) *float64 {
	return down(float64(t) * limit / float64(energy))
}

// down and up round to 9 digits, to the safe side.
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
