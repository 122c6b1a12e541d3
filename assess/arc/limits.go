package arc

import (
	"math"
	"strconv"
	"strings"
)

// Limits of the model, IEEE 1584-2018 clause 4.2.
const (
	MinVoltageV   = 208                // V, clause 4.2
	MaxVoltageV   = 15000              // V, clause 4.2
	MinDistanceMM = 304.8              // mm, 12 in, clause 4.2 (the standard prints 305 mm)
	lowVoltageV   = 600                // V, clause 4.2: up to here the low-voltage limits hold
	testedSizeMM  = 1244.6             // mm, 49 in, clause 4.2 and Table 6
	testedAreaMM2 = 2401 * 25.4 * 25.4 // 2401 in2, clause 4.2
	widthInGaps   = 4                  // gaps, clause 4.2
)

const sourceLimits = "IEEE 1584-2018 clause 4.2"

// FaultRange returns the bolted fault currents in kA within which the model holds at a
// voltage in V: 0.5 to 106 kA up to 600 V, 0.2 to 65 kA above (clause 4.2).
func FaultRange(voltageV float64) (low, high float64) {
	if voltageV > lowVoltageV {
		return 0.2, 65 // clause 4.2
	}
	return 0.5, 106 // clause 4.2
}

// GapRange returns the gaps in mm within which the model holds at a voltage in V: 6.35 to
// 76.2 mm up to 600 V, 19.05 to 254 mm above (clause 4.2).
func GapRange(voltageV float64) (low, high float64) {
	if voltageV > lowVoltageV {
		return 19.05, 254 // clause 4.2
	}
	return 6.35, 76.2 // clause 4.2
}

// Bound says in which way a quantity lies outside.
type Bound uint8

// The kinds of refusal.
const (
	Below     Bound = iota + 1 // Found is below Limit
	Above                      // Found is above Limit
	Missing                    // the quantity is needed and was not given
	NotNumber                  // NaN, infinite or negative
	NoValue                    // the equation has no real, finite value here; Limit says nothing
	NotChoice                  // not one of the values allowed
)

// A Refusal is the reason why something has no number: which quantity, what was found,
// and the limit that it violates. It is an error.
type Refusal struct {
	Quantity string  // such as "gap"
	Unit     string  // of Found and Limit
	Bound    Bound   // how it lies outside
	Found    float64 // may be NaN if that was given
	Limit    float64 // the limit violated, for Below and Above
	Note     string  // more words, or ""
	Source   string  // clause or equation, or ""
}

// Error returns such as "gap 5 mm is below the model's 6.35 mm (IEEE 1584-2018 clause 4.2)".
func (r *Refusal) Error() string {
	var b strings.Builder
	b.WriteString(r.Quantity)
	switch r.Bound {
	case Below, Above:
		b.WriteString(" " + quantity(r.Found, r.Unit))
		if r.Bound == Below {
			b.WriteString(" is below ")
		} else {
			b.WriteString(" is above ")
		}
		if r.Source == sourceLimits {
			b.WriteString("the model's ")
		}
		b.WriteString(quantity(r.Limit, r.Unit))
	case Missing:
		b.WriteString(" is missing")
	case NotNumber:
		b.WriteString(" " + quantity(r.Found, r.Unit) + " is not a number above zero")
	case NoValue:
		b.WriteString(" has no value here")
	case NotChoice:
		b.WriteString(" " + quantity(r.Found, r.Unit) + " is not allowed")
	}
	if r.Note != "" {
		b.WriteString(": " + r.Note)
	}
	if r.Source != "" {
		b.WriteString(" (" + r.Source + ")")
	}
	return b.String()
}

// quantity writes a value to 9 significant digits with its unit.
func quantity(x float64, unit string) string {
	s := strconv.FormatFloat(x, 'g', 9, 64)
	if unit == "" {
		return s
	}
	return s + " " + unit
}

// Refusals is every reason why one evaluation has no number, in a fixed order. It is an
// error, and never empty where it is returned as one.
type Refusals []*Refusal

// Error returns the texts in one line.
func (r Refusals) Error() string {
	texts := make([]string, len(r))
	for i := range r {
		texts[i] = r[i].Error()
	}
	return strings.Join(texts, "; ")
}

// Unwrap returns each [Refusal] as an error, for errors.As.
func (r Refusals) Unwrap() []error {
	errs := make([]error, len(r))
	for i := range r {
		errs[i] = r[i]
	}
	return errs
}

// positive reports whether x is finite and above zero.
func positive(x float64) bool { return x > 0 && x <= math.MaxFloat64 }

// positive adds a refusal unless x is finite and above zero; zero counts as missing.
func (r *Refusals) positive(quantity, unit string, x float64, source string) bool {
	if positive(x) {
		return true
	}
	bound := NotNumber
	if x == 0 {
		bound = Missing
	}
	*r = append(*r, &Refusal{Quantity: quantity, Unit: unit, Bound: bound, Found: x, Source: source})
	return false
}

// within adds a refusal unless x is a number from low to high.
func (r *Refusals) within(quantity, unit string, x, low, high float64, source string) {
	if !(x >= low && x <= high) {
		r.outside(quantity, unit, x, low, high, source)
	}
}

// outside adds the refusal of an x that is not within low to high.
func (r *Refusals) outside(quantity, unit string, x, low, high float64, source string) {
	if !r.positive(quantity, unit, x, source) {
		return
	}
	f := &Refusal{Quantity: quantity, Unit: unit, Bound: Below, Found: x, Limit: low, Source: source}
	if x > high {
		f.Bound, f.Limit = Above, high
	}
	*r = append(*r, f)
}

// refuse returns every limit of the model that the input violates, nil for none (clause
// 4.2).
func (in *Input) refuse() (r Refusals) {
	if !in.Electrodes.valid() {
		r = append(r, &Refusal{Quantity: "electrode configuration", Bound: Missing,
			Note: "VCB, VCBB, HCB, VOA or HOA, never assumed"})
	}
	r.within("voltage", "V", in.VoltageV, MinVoltageV, MaxVoltageV, sourceLimits)
	low, high := FaultRange(in.VoltageV)
	r.within("bolted fault current", "kA", in.FaultKA, low, high, sourceLimits)
	low, high = GapRange(in.VoltageV)
	r.within("gap", "mm", in.GapMM, low, high, sourceLimits)
	r.within("working distance", "mm", in.DistanceMM, MinDistanceMM, math.MaxFloat64, sourceLimits)
	if in.Electrodes.Enclosed() {
		in.refuseEnclosure(&r)
	}
	return r
}

func (in *Input) refuseEnclosure(r *Refusals) {
	r.positive("enclosure height", "mm", in.HeightMM, "IEEE 1584-2018 Table 6")
	if r.positive("enclosure width", "mm", in.WidthMM, "IEEE 1584-2018 Table 6") &&
		in.WidthMM < widthInGaps*in.GapMM {
		*r = append(*r, &Refusal{Quantity: "enclosure width", Unit: "mm", Bound: Below, Found: in.WidthMM,
			Limit: widthInGaps * in.GapMM, Note: "4 gaps", Source: sourceLimits})
	}
	if !(in.DepthMM >= 0 && in.DepthMM <= math.MaxFloat64) {
		*r = append(*r, &Refusal{Quantity: "enclosure depth", Unit: "mm", Bound: NotNumber, Found: in.DepthMM})
	}
}

// noValue is the refusal of an equation that has no real, finite value.
func noValue(quantity, source string) error {
	return Refusals{{Quantity: quantity, Bound: NoValue, Source: source}}
}
