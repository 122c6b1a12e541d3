package standing

import (
	"cmp"
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
// first. energy is the governing one; the policy is that of the label. Cases
// with the maintenance switch on govern nothing.
func HeadroomOf(in *assess.Inputs, energy assess.Governing[assess.CalCM2]) Headroom {
	l, limits := in.Location, limitsOf(energy.Value, in.Policy)
	if energy.Bound != "" {
		return Headroom{Case: energy.Case, WhyNot: fmt.Sprintf("the energy is only known to be %s %s cal/cm²: "+
			"how far it is from a limit is not known", energy.Bound, assess.Number(energy.Value))}
	}
	// How far the one that decides is from its limit may not be known.
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

// limitsOf are the energies that a label bears: those of the printed energy, of
// the kit and of the signal word, in rising order.
func limitsOf(energy assess.CalCM2, p *assess.Policy) []float64 {
	limits := []float64{float64(assess.PrintedCal(energy))}
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
	return append(limits, assess.Round9(kit), cutoff)
}

// printable is the largest energy that prints as no more than a limit.
func printable(e assess.CalCM2) float64 { return math.Floor(float64(e)*10*(1+1e-9)) / 10 }

// headroom is the room of one case, and its recomputed energy.
func headroom(in *assess.Inputs, c *assess.Case, limits []float64) (Headroom, assess.CalCM2) {
	h := Headroom{Case: c.Name}
	r, why, _ := assess.Compute(in, c)
	if r == nil {
		h.WhyNot = why
		return h, 0
	}
	// Where the study states more than what is recomputed, that is what the label
	// says, and it is taken to change in the same proportion.
	energy := r.Energy
	if c.Bound == "" && in.Policy.Govern != assess.GovernComputed {
		energy = max(energy, c.Energy)
	}
	own := make([]float64, len(limits)) // the limits, of the recomputed energy
	for i, limit := range limits {
		if float64(energy) > limit*(1+1e-9) {
			h.WhyNot = fmt.Sprintf("the recomputed %.6g cal/cm² is above the %.6g of the label already", r.Energy, limit)
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
			// Above what the device interrupts it may not clear the fault at all (NEC 110.9).
			if most := float64(c.DeviceRating); most > 0 && f.High > most {
				f.High, room.HighEnd = max(most, f.Low), "what the device interrupts"
			}
			room.FaultKA = &[2]float64{*up(f.Low), *down(f.High)}
		}
		*into[i] = room
	}
	return h, energy
}

// faultRooms are the intervals of the fault current, or why there are none.
func faultRooms(in *assess.Inputs, c *assess.Case, r *assess.Computed, energies []float64) ([]arc.Interval, string) {
	l, curve := in.Location, in.Curves[c.Curve]
	if curve == nil {
		return nil, "fault current: without the device's curve it is not known how long an arc of another current lasts; " +
			"a lower current may clear later and release more energy"
	}
	// Durations that the row states count as well, where they are the longer.
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
		return all, "fault current: by the curve, not by the row's own durations, the energy is above the label's already"
	}
	return all, ""
}

// longer is how long an arc may last where its energy grows to a limit.
func longer(t assess.MS, limit float64, energy assess.CalCM2) *float64 {
	return down(float64(t) * limit / float64(energy))
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
