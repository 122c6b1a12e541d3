package assess

import (
	"cmp"

	"vouchmark/assess/shock"
)

// NewValues are one location's inputs after a change. Zero means "not given".
type NewValues struct {
	Case         string // to which all of them belong; "": not stated
	Fault        KA
	Clear        MS
	ClearReduced MS
	Curve        *Curve // of the device as it is after the change; see Altered
	// Device is the last change of the device, in words; "" for none. What was known
	// about the device before that, also in the row, no longer counts.
	Device string
	At     string // the place of that change; "" if no longer known
	Event  string // its day and place: entries of one event do not undo each other
}

// Tells reports whether there is any value.
func (v *NewValues) Tells() bool {
	return v.Fault > 0 || v.Clear > 0 || v.ClearReduced > 0 || v.Curve != nil
}

// Over combines the values v with the earlier ones before, of the same case. Durations belong to
// their own fault current and setting: a later current or duration replaces all earlier
// ones. A change of the device also removes an earlier curve.
func (v NewValues) Over(before NewValues) NewValues {
	v.Case = ""
	before.Case = ""
	if v == (NewValues{}) {
		return before
	}
	v.Fault = cmp.Or(v.Fault, before.Fault)
	if v.Device == "" {
		v.Device, v.At, v.Event, v.Curve = before.Device, before.At, before.Event, cmp.Or(v.Curve, before.Curve)
	}
	return v
}

// TellsTime reports whether there is a duration or a curve.
func (v *NewValues) TellsTime() bool { return v.Clear > 0 || v.ClearReduced > 0 || v.Curve != nil }

// Altered reports whether the curve's file has other points now than when the change was
// logged: the old points are no longer known, and no curve is read.
func (v *NewValues) Altered() bool { return v.Curve != nil && v.Curve.Curve == nil }

// Doubt asks about the unit of the first implausible value, by the limits for a row; ""
// if there is none. The key is that of changes.toml.
func (v *NewValues) Doubt(supply shock.Supply) (key, what string) {
	switch {
	case v.Fault > tooManyKA:
		return "new_fault_ka", Number(v.Fault) + " kA is more than any plant has: were amperes meant?"
	case v.Fault > 0 && v.Fault < tooFewKA && supply == shock.AC3:
		return "new_fault_ka", Number(v.Fault) + " kA is less than a three-phase system has: were kiloamperes meant?"
	}
	short := func(ms MS) bool { return ms > 0 && ms < shortestMS && v.Curve == nil } // if longer, the curve counts
	const words = " ms is shorter than devices clear, unless a curve shows it: were seconds or cycles meant?"
	switch {
	case short(v.Clear):
		return "new_clear_ms", Number(v.Clear) + words
	case short(v.ClearReduced):
		return "new_clear_reduced_ms", Number(v.ClearReduced) + words
	}
	return "", ""
}
