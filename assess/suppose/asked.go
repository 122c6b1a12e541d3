package suppose

import (
	"errors"
	"fmt"
	"strconv"

	"vouchmark/assess"
)

// Hypothesis is one planned change: of the fault current at a place, of the transformer
// there, or of the devices installed there. Zero means "not given".
type Hypothesis struct {
	Kind Kind
	At   string // the location
	Case string // the only case that changes; "" for all

	Fault assess.KA // there, by a change above it

	KVA, ImpedancePercent float64 // of the new nameplate; what is not given stays

	Device              string // "" for all that are installed there
	Clear, ClearReduced assess.MS
	Curve               *assess.Curve // instead of durations
}

// Kind is what a hypothesis changes.
type Kind string

const (
	Source      Kind = "source fault current"
	Transformer Kind = "transformer"
	Device      Kind = "protective device"
)

// words puts a hypothesis into a sentence.
func (h *Hypothesis) words() string {
	if h.Case == "" {
		return h.change()
	}
	return h.change() + ", in case " + h.Case
}

// change says what changes, in any case.
func (h *Hypothesis) change() string {
	switch h.Kind {
	case Source:
		return fmt.Sprintf("a change upstream of %s brings %.4g kA of fault current there", h.At, h.Fault)
	case Transformer:
		return fmt.Sprintf("the transformer at %s is replaced by one of %.6g kVA and %.4g %%", h.At, h.KVA, h.ImpedancePercent)
	}
	device := "the devices at " + h.At + " clear"
	if h.Device != "" {
		device = h.Device + " at " + h.At + " clears"
	}
	switch {
	case h.Curve != nil:
		return device + " by the curve " + h.Curve.File
	case h.ClearReduced == 0:
		return fmt.Sprintf("%s in %.6g ms", device, h.Clear)
	}
	return fmt.Sprintf("%s in %.6g ms, and in %.6g ms at the reduced arcing current", device, h.Clear, h.ClearReduced)
}

// Asked is a hypothesis as a person enters it, each number as text; "" means "not
// given". Curve is the name of a file.
type Asked struct {
	At, Case, FaultKA, KVA, ImpedancePercent, Device, ClearMS, ClearReducedMS, Curve string
}

// Hypothesis reads the texts, except the curve, which the caller reads. The error says
// which text is wrong.
func (a *Asked) Hypothesis() (Hypothesis, error) {
	const most = 1e6 // of any quantity, as in site.toml
	h := Hypothesis{At: a.At, Case: a.Case, Device: a.Device}
	var errs []error
	number := func(flag, text string) float64 {
		if text == "" {
			return 0
		}
		v, err := strconv.ParseFloat(text, 64)
		if err != nil || !(v > 0 && v <= most) {
			errs = append(errs, fmt.Errorf("--%s: %q is not a number above 0, up to %.0f", flag, text, most))
		}
		return assess.Round9(v)
	}
	h.Fault = assess.KA(number("fault-ka", a.FaultKA))
	h.KVA, h.ImpedancePercent = number("kva", a.KVA), number("impedance-percent", a.ImpedancePercent)
	h.Clear = assess.MS(number("clear-ms", a.ClearMS))
	h.ClearReduced = assess.MS(number("clear-reduced-ms", a.ClearReducedMS))
	if err := errors.Join(errs...); err != nil {
		return Hypothesis{}, err
	}
	kinds := 0
	for _, k := range []struct {
		kind  Kind
		given bool
	}{
		{Source, h.Fault > 0},
		{Transformer, h.KVA > 0 || h.ImpedancePercent > 0},
		{Device, h.Clear > 0 || h.ClearReduced > 0 || a.Curve != ""},
	} {
		if k.given {
			h.Kind = k.kind
			kinds++
		}
	}
	switch {
	case a.At == "":
		return h, errors.New("--at: name the location where something would change")
	case kinds != 1:
		return h, errors.New("give one change: --fault-ka, or --kva and --impedance-percent, " +
			"or --clear-ms and --clear-reduced-ms, or --curve")
	case a.Case != "" && h.Kind == Transformer:
		return h, errors.New("--case: a transformer is the same in every case")
	case a.Device != "" && h.Kind != Device:
		return h, errors.New("--device goes with --clear-ms or --curve")
	case a.Curve != "" && (h.Clear > 0 || h.ClearReduced > 0):
		return h, errors.New("give --curve or durations, not both")
	case h.ClearReduced > 0 && h.Clear == 0:
		return h, errors.New("--clear-reduced-ms: give --clear-ms too; neither replaces the other")
	}
	return h, nil
}
