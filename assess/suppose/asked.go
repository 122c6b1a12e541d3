package suppose

import (
	"errors"
	"fmt"
	"strconv"

	"vouchmark/assess"
)

// Hypothesis is one change that is not made yet: of the fault current at a
// place, of the transformer there, or of the devices that stand there. Zero is
// "not given".
type Hypothesis struct {
	Kind Kind
	At   string // the location
	Case string // the one case that is changed; "" for all

	Fault assess.KA // there, by a change above it

	KVA, ImpedancePercent float64 // of the new nameplate; what is not given stays

	Device              string // "" for all that stand there
	Clear, ClearReduced assess.MS
	Curve               *assess.Curve // in place of durations
}

// Kind is what a hypothesis changes.
type Kind string

const (
	Source      Kind = "source fault current"
	Transformer Kind = "transformer"
	Device      Kind = "protective device"
)

// words is a hypothesis in a sentence.
func (h *Hypothesis) words() string {
	if h.Case == "" {
		return h.change()
	}
	return h.change() + ", in the case " + h.Case
}

// change is what is changed, in whichever case.
func (h *Hypothesis) change() string {
	switch h.Kind {
	case Source:
		return fmt.Sprintf("a change above %s brings %.4g kA of fault current there", h.At, h.Fault)
	case Transformer:
		return fmt.Sprintf("the transformer at %s becomes one of %.6g kVA and %.4g %%", h.At, h.KVA, h.ImpedancePercent)
	}
	device := "what stands at " + h.At
	if h.Device != "" {
		device = h.Device + " at " + h.At
	}
	switch {
	case h.Curve != nil:
		return device + " clears by the curve " + h.Curve.File
	case h.ClearReduced == 0:
		return fmt.Sprintf("%s clears in %.6g ms", device, h.Clear)
	}
	return fmt.Sprintf("%s clears in %.6g ms, at the reduced arcing current in %.6g ms", device, h.Clear, h.ClearReduced)
}

// Asked is a hypothesis as a person gives it, each number as text; "" is "not
// given". Curve is the name of a file.
type Asked struct {
	At, Case, FaultKA, KVA, ImpedancePercent, Device, ClearMS, ClearReducedMS, Curve string
}

// Hypothesis reads the words, all but the curve, which is the caller's to
// read. The error says which word is wrong.
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
		return h, errors.New("--at: name the location at which something would be changed")
	case kinds != 1:
		return h, errors.New("suppose one change: --fault-ka, or --kva and --impedance-percent, " +
			"or --clear-ms and --clear-reduced-ms, or --curve")
	case a.Case != "" && h.Kind == Transformer:
		return h, errors.New("--case: a transformer is the same one in every case")
	case a.Device != "" && h.Kind != Device:
		return h, errors.New("--device belongs to --clear-ms or --curve")
	case a.Curve != "" && (h.Clear > 0 || h.ClearReduced > 0):
		return h, errors.New("--curve or durations, not both")
	case h.ClearReduced > 0 && h.Clear == 0:
		return h, errors.New("--clear-reduced-ms: give --clear-ms too; neither stands in for the other")
	}
	return h, nil
}
