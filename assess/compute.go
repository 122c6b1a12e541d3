package assess

import (
	"cmp"
	"errors"
	"fmt"
	"slices"
	"strings"

	"vouchmark/assess/arc"
	"vouchmark/assess/shock"
)

// Computed is what the published equations give for one case. Zero means that the
// method has no such number.
type Computed struct {
	Method          Method `json:"method"`
	Case            string `json:"case"`
	Arcing          KA     `json:"arcing_ka"`
	ArcingReduced   KA     `json:"arcing_reduced_ka"` // IEEE 1584 only, as are the two of each below
	Energy          CalCM2 `json:"energy_cal_cm2"`
	EnergyFull      CalCM2 `json:"energy_full_cal_cm2"`
	EnergyReduced   CalCM2 `json:"energy_reduced_cal_cm2"`
	Boundary        MM     `json:"boundary_mm"`
	BoundaryFull    MM     `json:"boundary_full_mm"`
	BoundaryReduced MM     `json:"boundary_reduced_mm"`
	EnclosureFactor Ratio  `json:"enclosure_factor"`
	EnclosureIn     Inches `json:"enclosure_in"`
	Governs         string `json:"governs,omitempty"` // "full" or "reduced"
	// The durations used, and where they come from: "row", "curve" or "two
	// seconds"; "" if there is none.
	Clear            MS           `json:"clear_ms"`
	ClearFrom        string       `json:"clear_from"`
	ClearReduced     MS           `json:"clear_reduced_ms"`
	ClearReducedFrom string       `json:"clear_reduced_from,omitempty"`
	Cautions         arc.Cautions `json:"cautions,omitempty"`
	Steps            []arc.Step   `json:"steps,omitempty"`
}

// Same reports whether two evaluations of a case have the same result; nil means
// no result.
func (r *Computed) Same(other *Computed) bool {
	if r == nil || other == nil {
		return r == other
	}
	return r.Method == other.Method && Same(r.Energy, other.Energy) && Same(r.Boundary, other.Boundary)
}

// byCurve marks a duration that was read from a curve.
const byCurve = "curve"

// twoSeconds marks a duration that the owner capped.
const twoSeconds = "two seconds"

// capped reports whether the owner's two seconds replace a longer arc.
func (r *Computed) capped() bool {
	return r.ClearFrom == twoSeconds || r.ClearReducedFrom == twoSeconds
}

// Capped reports whether an arc of any case counts as two seconds.
func (o *Outcome) Capped() bool {
	capped := func(r *Computed) bool { return r != nil && r.capped() }
	return slices.ContainsFunc(o.Computed, capped) || slices.ContainsFunc(o.Proven, capped)
}

// last is an arc duration and its source.
type last struct {
	ms   MS
	from string
}

const statedAlone = "the row's method is stated: only the study's own result is used"

// Compute evaluates one case by its method, with the words of each step. Without a result
// it gives the reason; below is then true if the arcing current is below the device's
// clearing curve.
func Compute(in *Inputs, c *Case) (r *Computed, reason string, below bool) {
	return compute(in, c, &arc.Recorder{})
}

// compute is Compute with a recorder for the steps, or nil.
func compute(in *Inputs, c *Case, rec *arc.Recorder) (r *Computed, reason string, below bool) {
	var err error
	if c.Method != Stated && !in.frequencyKnown(c) {
		return nil, fmt.Sprintf("the equations are for 50 and 60 Hz, but the supply has %s Hz", Number(in.hertz(c))), false
	}
	switch c.Method {
	case IEEE1584:
		r, err = computeIEEE(in, c, rec)
	case Lee, DCMaxPower:
		r, err = computePoint(in, c, rec)
	default:
		return nil, statedAlone, false
	}
	if err != nil {
		var low *belowCurve
		return nil, reasonText(err), errors.As(err, &low)
	}
	r.Method, r.Case = c.Method, c.Name
	return r, "", false
}

func reasonText(err error) string { return strings.ReplaceAll(err.Error(), "\n", "; ") }

func computeIEEE(in *Inputs, c *Case, rec *arc.Recorder) (*Computed, error) {
	x, err := ArcInput(in.Location, c)
	if err != nil {
		return nil, err
	}
	currents, err := arc.Currents(&x)
	if err != nil {
		return nil, err
	}
	full, reduced, err := in.durations(currents, c)
	if err != nil {
		return nil, err
	}
	e, err := arc.Evaluate(&x, float64(full.ms), float64(reduced.ms), rec)
	if err != nil {
		return nil, err
	}
	tellDuration(rec, "T", full, c)
	tellDuration(rec, "T_min", reduced, c)
	if in.Location.Supply == shock.AC1 {
		e.Cautions |= arc.CautionSinglePhase
	}
	return &Computed{
		Arcing: round9[KA](e.ArcingKA), ArcingReduced: round9[KA](e.ArcingReducedKA),
		Energy: round9[CalCM2](e.Energy), Boundary: round9[MM](e.Boundary), Governs: e.Governs.String(),
		EnergyFull: round9[CalCM2](e.EnergyFull), EnergyReduced: round9[CalCM2](e.EnergyReduced),
		BoundaryFull: round9[MM](e.BoundaryFull), BoundaryReduced: round9[MM](e.BoundaryReduced),
		EnclosureFactor: round9[Ratio](e.EnclosureFactor), EnclosureIn: round9[Inches](e.EnclosureIn),
		Clear: full.ms, ClearFrom: full.from, ClearReduced: reduced.ms, ClearReducedFrom: reduced.from,
		Cautions: e.Cautions, Steps: stepsOf(rec),
	}, nil
}

func round9[T ~float64](x float64) T { return T(Round9(x)) }

// ArcInput is a case in the form that the IEEE 1584-2018 equations take.
func ArcInput(l *Location, c *Case) (arc.Input, error) {
	if l.Supply == shock.DC {
		return arc.Input{}, errors.New("IEEE Std 1584-2018 is for AC, but the supply is dc")
	}
	electrodes, ok := arc.ParseElectrodes(c.Electrodes)
	if !ok {
		return arc.Input{}, errors.New("the electrode configuration is not given, and it is never assumed")
	}
	return arc.Input{VoltageV: float64(l.Voltage), FaultKA: float64(c.Fault), Electrodes: electrodes,
		GapMM: float64(c.Gap), DistanceMM: float64(l.Distance),
		HeightMM: float64(c.Height), WidthMM: float64(c.Width), DepthMM: float64(c.Depth)}, nil
}

// pointMethod is a method with one current and one duration, for a case at any
// distance.
func pointMethod(in *Inputs, c *Case) (at func(MM, *arc.Recorder) (arc.PointSource, error), d last, err error) {
	l, current := in.Location, c.Fault
	switch {
	case c.Method == Lee && l.Supply != shock.AC3:
		return nil, d, fmt.Errorf("the Lee method is for three-phase AC, but the supply is %s", l.Supply)
	case c.Method == DCMaxPower && l.Supply != shock.DC:
		return nil, d, fmt.Errorf("the maximum-power method is for DC, but the supply is %s", l.Supply)
	case c.Method == DCMaxPower:
		current /= 2 // Iarc = 0.5 Ibf, NFPA 70E D.5
	}
	d, err = in.duration(c.Clear, float64(current), "arcing current", c)
	return func(distance MM, rec *arc.Recorder) (arc.PointSource, error) {
		v, fault, mm, ms := float64(l.Voltage), float64(c.Fault), float64(distance), float64(d.ms)
		if c.Method == Lee {
			return arc.Lee(v, fault, mm, ms, rec)
		}
		return arc.DCMaxPower(v, fault, mm, ms, c.Multiplier, rec)
	}, d, err
}

func computePoint(in *Inputs, c *Case, rec *arc.Recorder) (*Computed, error) {
	at, d, err := pointMethod(in, c)
	if err != nil {
		return nil, err
	}
	p, err := at(in.Location.Distance, rec)
	if err != nil {
		return nil, err
	}
	tellDuration(rec, "t", d, c)
	tellDuration(rec, "T", d, c)
	return &Computed{Arcing: round9[KA](p.ArcingKA), Energy: round9[CalCM2](p.Energy), Boundary: round9[MM](p.Boundary),
		Clear: d.ms, ClearFrom: d.from, Cautions: p.Cautions, Steps: stepsOf(rec)}, nil
}

// stepsOf are the steps that were recorded; nil without a recorder.
func stepsOf(rec *arc.Recorder) []arc.Step {
	if rec == nil {
		return nil
	}
	return rec.Steps
}

// tellDuration names the source of a duration that is not the row's own in its step.
func tellDuration(rec *arc.Recorder, symbol string, d last, c *Case) {
	steps := stepsOf(rec)
	for i := range steps {
		if steps[i].Symbol != symbol {
			continue
		}
		switch d.from {
		case byCurve:
			steps[i].Source = "curve " + c.Curve
			steps[i].Words = "arc duration read from the device's clearing curve at this current, " +
				"at the slower edge of the pickup tolerance"
		case twoSeconds:
			steps[i].Source = twoSeconds
			steps[i].Words = "the arc lasts longer; the owner uses two seconds, for the reason given in the policy"
		}
	}
}

// belowCurve says that a device's curve has no time at such a low current: the device
// may not clear the arc at all.
type belowCurve struct{ error }

// hertz is the frequency of a case's supply: its own, else the site's, else 60.
func (in *Inputs) hertz(c *Case) Hertz { return cmp.Or(c.Hertz, in.Policy.FrequencyHz, 60) }

// frequencyKnown reports whether the published equations hold at the frequency:
// IEEE 1584-2018 was tested at 50 and 60 Hz (clause 4.2). DC has none.
func (in *Inputs) frequencyKnown(c *Case) bool {
	hz := in.hertz(c)
	return in.Location.Supply == shock.DC || hz == 50 || hz == 60
}

// twoSecondReason says why no arc counts for longer than two seconds in a case: its
// own reason, else the site's; "" for none.
func (in *Inputs) twoSecondReason(c *Case) string {
	return cmp.Or(c.TwoSecondReason, in.Policy.TwoSecondReason)
}

// TwoSeconds is usually a reasonable maximum arc duration if a person can get away
// (IEEE Std 1584-2018, 6.9.1; engineering judgment).
const TwoSeconds = 2000 // ms

// durations are the arc durations at both arcing currents of IEEE 1584-2018.
func (in *Inputs) durations(a arc.Arcing, c *Case) (full, reduced last, err error) {
	if full, err = in.duration(c.Clear, a.FullKA, "arcing current", c); err != nil {
		return full, reduced, err
	}
	reduced, err = in.duration(c.ClearReduced, a.ReducedKA, "reduced arcing current", c)
	return full, reduced, err
}

// duration is the arc duration at one current: from the row, else from the device's
// curve. The full and the reduced one never replace each other.
func (in *Inputs) duration(row MS, currentKA float64, what string, c *Case) (last, error) {
	d := last{row, "row"}
	if row == 0 {
		curve := in.Curves[c.Curve]
		if curve == nil {
			return d, fmt.Errorf("no arc duration at the %s, neither in the row nor from a curve", what)
		}
		ms, err := curve.ClearMS(currentKA)
		if err != nil {
			err = fmt.Errorf("no arc duration at the %s from %s: %w", what, c.Curve, err)
			if curve.below(currentKA) {
				err = &belowCurve{err}
			}
			return d, err
		}
		d = last{round9[MS](ms), byCurve}
	}
	if in.twoSecondReason(c) != "" && d.ms > TwoSeconds {
		d = last{TwoSeconds, twoSeconds}
	}
	return d, nil
}
