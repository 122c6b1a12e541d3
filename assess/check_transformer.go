package assess

import (
	"math"
	"strings"

	"vouchmark/assess/shock"
)

// letThrough is the most fault current in kA that a transformer lets through
// to its secondary terminals from an infinite primary (common practice; any
// handbook of short-circuit calculation): kVA / (1.732 V) x 100 / %Z.
func (t *Transformer) letThrough() float64 {
	return t.fullLoad() * 100 / (t.ImpedancePercent * (1 - t.tolerance()))
}

// Milliohm is the magnitude of the impedance by the nameplate, one phase, seen
// from the secondary: %Z / 100 x V² / kVA (common practice; any handbook of
// short-circuit calculation).
func (t *Transformer) Milliohm() float64 {
	return t.ImpedancePercent / 100 * float64(t.Secondary) * float64(t.Secondary) / t.KVA
}

// fullLoad is the full-load current in kA.
func (t *Transformer) fullLoad() float64 { return t.KVA / (math.Sqrt(3) * float64(t.Secondary)) }

// tolerance is how far the impedance may lie below the nameplate's: 7.5 % for
// two-winding transformers above 2.5 % impedance, 10 % up to that (IEEE Std
// C57.12.00, tolerance on impedance; from memory).
func (t *Transformer) tolerance() float64 {
	if t.ImpedancePercent <= 2.5 {
		return 0.10
	}
	return 0.075
}

// motors is the fault current in kA that the motors below a transformer may
// add: four times its full-load current, as if all load were motors (common
// practice).
func (t *Transformer) motors() float64 { return 4 * t.fullLoad() }

// checkTransformers finds more fault current than the transformers upstream at
// the same voltage can let through, all of them together.
func (f *network) checkTransformers(a *Assessment) {
	l := a.Location
	if l.Supply != shock.AC3 || len(f.nameplates) == 0 {
		return
	}
	most, complete, names := f.supplied(f.index[l.ID])
	if complete && most > 0 && float64(a.Fault.Value) > most {
		a.cautionf(l.Cases[0].Line, FaultBeyondSource, "fault_ka", "%.4g kA is stated, but %s can let through %.4g kA at most, "+
			"with the tolerance on impedance and motors allowed for; compare the nameplate and the study report",
			a.Fault.Value, strings.Join(names, " and "), most)
	}
}

// supplied adds up what the transformers upstream at the same voltage let
// through. It is complete when every way up ends at a nameplate.
func (f *network) supplied(from int) (most float64, complete bool, names []string) {
	seen := map[int]bool{}
	queue := []int{from}
	complete = true
	for len(queue) > 0 {
		at := queue[0]
		queue = queue[1:]
		if seen[at] {
			continue
		}
		seen[at] = true
		u := &f.site.Locations[at]
		if t := f.nameplates[u.ID]; t != nil && t.Secondary == f.site.Locations[from].Voltage {
			most += t.letThrough() + t.motors()
			names = append(names, u.ID)
			continue
		}
		if len(f.Up[at]) == 0 || u.Voltage != f.site.Locations[from].Voltage {
			complete = false
		}
		queue = append(queue, f.Up[at]...)
	}
	return most, complete, names
}
