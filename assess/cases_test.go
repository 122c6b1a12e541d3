package assess

import (
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"slices"
	"testing"

	"vouchmark/assess/shock"
)

// Random locations of several cases, in normal and maintenance mode, stated,
// recomputed and stated as bounds, against a reference that knows nothing of
// order: it asks what the energy of each case may be, and takes the worst.
func TestCasesAgainstReference(t *testing.T) {
	n := 1_000
	if os.Getenv("VOUCHMARK_EXHAUSTIVE") != "" {
		n = 10_000
	}
	r := rand.New(rand.NewPCG(14, 2))
	p := policy(40, 4, 8, 25, 40)
	kits, dangers, bounds, maintained := 0, 0, 0, 0
	for k := range n {
		l := Location{ID: "P", Supply: shock.AC3, Voltage: 480, Distance: 457.2}
		for i := range 1 + r.IntN(4) {
			c := Case{Name: fmt.Sprint(i), Method: Stated, Prepared: Date{2026, 3, 14}, Maintenance: r.IntN(4) == 0,
				Energy: CalCM2(Round9(math.Exp(r.Float64()*6 - 2))), Fault: KA(1 + r.IntN(30))}
			c.Boundary = MM(Round9(457.2 * math.Sqrt(float64(c.Energy)/1.2)))
			switch r.IntN(8) {
			case 0:
				c.Bound = Above
			case 1:
				c.Bound, c.Energy = Under, CalCM2(Round9(0.1+float64(r.IntN(12))/10))
				if c.Boundary = 0; r.IntN(2) == 0 {
					c.Boundary = MM(100 + r.IntN(350))
				}
			case 2: // recomputed, and accepted where nothing is stated
				c.Method, c.Electrodes, c.Gap, c.Height, c.Width, c.Depth = IEEE1584, "VCB", 25, 508, 508, 508
				c.Clear, c.ClearReduced, c.AcceptedBy = MS(10+r.IntN(800)), MS(10+r.IntN(800)), "E"
				if r.IntN(2) == 0 {
					c.Energy, c.Boundary = 0, 0
				}
			}
			l.Cases = append(l.Cases, c)
		}
		in := Inputs{Location: &l, Policy: &p}
		o := Judge(&in)
		want := worstOf(&in, &o, false)
		if o.Energy.Value != want.energy || (o.Energy.Bound == Above) != want.open || (o.Energy.Bound == Under) != want.under ||
			o.Boundary.Value != want.boundary || o.Fault.Value != want.fault {
			t.Fatalf("%d: %+v %+v, want %+v of %+v", k, o.Energy, o.Boundary, want, l.Cases)
		}
		if signal, kit := want.reads(p); want.energy > 0 && (o.Signal != signal || o.Kit != kit) {
			t.Fatalf("%d: %s %q, want %s %q for %+v", k, o.Signal, o.Kit, signal, kit, want)
		}
		on := worstOf(&in, &o, true)
		if (o.Maintenance != nil) != (on.energy > 0 && on.boundary > 0) || o.Maintenance != nil && (o.Maintenance.Energy.Value != on.energy || o.Maintenance.Boundary.Value != on.boundary) {
			t.Fatalf("%d: maintenance %+v, want %+v", k, o.Maintenance, on)
		}
		stops := slices.ContainsFunc(o.Findings, func(f Finding) bool { return f.Code == MaintenanceWorse || f.Code == MaintenanceAlone })
		alone := on.energy > 0 && !slices.ContainsFunc(l.Cases, func(c Case) bool { return !c.Maintenance })
		worse := on.energy > want.energy || on.boundary > want.boundary || on.open && !want.open
		if stops != (alone || on.energy > 0 && on.boundary > 0 && worse) {
			t.Fatalf("%d: stopped %v: maintenance %+v, normal %+v: %v", k, stops, on, want, o.Findings)
		}
		switch {
		case want.open:
			bounds++
		case o.Signal == Danger:
			dangers++
		case o.Kit != "":
			kits++
		}
		if o.Maintenance != nil {
			maintained++
		}
	}
	if kits < n/10 || dangers < n/50 || bounds < n/50 || maintained < n/10 {
		t.Errorf("%d kits, %d DANGER, %d bounds, %d with a maintenance switch", kits, dangers, bounds, maintained)
	}
}

// worst is what the reference knows of a mode.
type worst struct {
	energy      CalCM2
	open, under bool
	boundary    MM
	fault       KA
}

// worstOf takes each case for an interval of energies: what it is at least, and
// what it is at most.
func worstOf(in *Inputs, o *Outcome, maintenance bool) worst {
	var w worst
	var least, most, under float64
	for i, c := range in.Location.Cases {
		w.fault = max(w.fault, c.Fault)
		if c.Maintenance != maintenance {
			continue
		}
		computed, boundary := 0.0, MM(0)
		if r := o.Computed[i]; r != nil {
			computed, boundary = float64(r.Energy), r.Boundary
		}
		low, high := max(float64(c.Energy), computed), max(float64(c.Energy), computed)
		switch c.Bound {
		case Above:
			if low, high = float64(c.Energy), math.Inf(1); computed >= low {
				low, high = computed, computed
			}
		case Under:
			low = 0
			under = max(under, float64(c.Energy))
			boundary = max(boundary, c.Boundary)
			if c.Boundary == 0 {
				boundary = in.Location.Distance
			}
		}
		least, most = max(least, low), max(most, high)
		w.boundary = max(w.boundary, boundary, c.Boundary)
	}
	w.open = math.IsInf(most, 1)
	switch {
	case w.open:
		w.energy = CalCM2(max(least, under))
	case under > least:
		w.energy, w.under = CalCM2(under), true
	default:
		w.energy = CalCM2(most)
	}
	return w
}

// reads is signal word and kit by the worst.
func (w worst) reads(p Policy) (Signal, string) {
	printed := CalCM2(math.Ceil(float64(w.energy)*10-1e-7) / 10)
	switch {
	case w.open || printed > p.Cutoff:
		return Danger, ""
	case w.under || printed < 1.2:
		return Warning, ""
	}
	for _, rung := range p.Ladder {
		if rung.Rating >= printed {
			return Warning, rung.Kit
		}
	}
	return Warning, "none"
}
