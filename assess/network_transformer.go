package assess

import (
	"math"

	"vouchmark/assess/shock"
)

// letThrough is the largest fault current in kA at a transformer's secondary terminals,
// from an infinite primary (common practice; any handbook of short-circuit
// calculation): kVA / (1.732 V) x 100 / %Z.
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

// tolerance is how far the impedance may be below the nameplate's: 7.5 % for
// two-winding transformers above 2.5 % impedance, 10 % up to that (IEEE Std
// C57.12.00, tolerance on impedance; from memory).
func (t *Transformer) tolerance() float64 {
	if t.ImpedancePercent <= 2.5 {
		return 0.10
	}
	return 0.075
}

// motors is the fault current in kA that the motors below a transformer may add: four
// times its full-load current, as if the whole load were motors (common practice).
func (t *Transformer) motors() float64 { return 4 * t.fullLoad() }

// most is what comes from a transformer and the motors below it, in kA.
func (t *Transformer) most() float64 { return t.letThrough() + t.motors() }

// muchLess is the fraction of the nameplate's fault current below which a stated one is
// questioned: a house choice. A primary is never infinite, but seldom that weak.
const muchLess = 0.7

// checkBelow finds a transformer's secondary with much less fault current than its
// nameplate gives: a lower current may clear later and release more energy than stated.
func (f *network) checkBelow(a *Assessment, k int) {
	l := a.Location
	c, t := &l.Cases[k], f.plates[f.index[l.ID]]
	if t == nil || t.Secondary != l.Voltage || l.Supply != shock.AC3 || c.Fault == 0 {
		return
	}
	if nominal := t.fullLoad() * 100 / t.ImpedancePercent; float64(c.Fault) < muchLess*nominal {
		a.cautionf(c.Line, FaultBelowTrafo, "fault_ka", "%s%.5g kA is stated, but by the nameplate (%.5g kVA, %.4g %%) %.5g kA is possible "+
			"from a strong source; compare the nameplate, the voltage and the fault current on the primary with the study report",
			l.caseWords(c), c.Fault, t.KVA, t.ImpedancePercent, nominal)
	}
}
