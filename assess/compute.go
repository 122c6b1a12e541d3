package assess

import (
	"errors"
	"fmt"
	"strings"

	"vouchmark/assess/arc"
	"vouchmark/assess/shock"
)

// Computed is what the published equations give for one case.
type Computed struct {
	Method          Method
	Case            string
	ArcingKA        float64 // 0 where the method has none
	ArcingReducedKA float64 // IEEE 1584 only, as are the two of each below

	Energy, EnergyFull, EnergyReduced       float64 // cal/cm²
	Boundary, BoundaryFull, BoundaryReduced float64 // mm
	Governs                                 string  // "full" or "reduced"; "" for other methods
	EnclosureFactor                         float64
	EnclosureIn                             float64

	Clear, ClearReduced Arc // the durations used
	Cautions            arc.Cautions
	Steps               []arc.Step
}

// Capped reports whether the owner's two seconds stand in for a longer arc.
func (r *Computed) Capped() bool {
	return r.Clear.From == "two seconds" || r.ClearReduced.From == "two seconds"
}

// Arc is an arc duration and where it comes from.
type Arc struct {
	MS   float64
	From string // "row", "curve", or "two seconds"; "" where there is none
}

const statedAlone = "the row's method is stated: the study's word alone"

// Compute evaluates one case by its method. Without a result it gives the
// reason; below is then true where the arcing current lies below what clears
// the device on its curve.
func Compute(l *Location, c *Case, s *Site) (r *Computed, reason string, below bool) {
	var err error
	switch c.Method {
	case IEEE1584:
		r, err = computeIEEE(l, c, s)
	case Lee, DCMaxPower:
		r, err = computePoint(l, c, s)
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

func computeIEEE(l *Location, c *Case, s *Site) (*Computed, error) {
	in, err := ieeeInput(l, c)
	if err != nil {
		return nil, err
	}
	currents, err := arc.Currents(&in)
	if err != nil {
		return nil, err
	}
	full, reduced, err := durations(currents, c, s)
	if err != nil {
		return nil, err
	}
	var rec arc.Recorder
	e, err := arc.Evaluate(&in, full.MS, reduced.MS, &rec)
	if err != nil {
		return nil, err
	}
	tellDuration(rec.Steps, "T", full, c)
	tellDuration(rec.Steps, "T_min", reduced, c)
	if l.Supply == shock.AC1 {
		e.Cautions |= arc.CautionSinglePhase
	}
	return &Computed{
		ArcingKA: Round9(e.ArcingKA), ArcingReducedKA: Round9(e.ArcingReducedKA),
		Energy: Round9(e.Energy), EnergyFull: Round9(e.EnergyFull), EnergyReduced: Round9(e.EnergyReduced),
		Boundary: Round9(e.Boundary), BoundaryFull: Round9(e.BoundaryFull), BoundaryReduced: Round9(e.BoundaryReduced),
		Governs: e.Governs.String(), EnclosureFactor: Round9(e.EnclosureFactor), EnclosureIn: Round9(e.EnclosureIn),
		Clear: full, ClearReduced: reduced, Cautions: e.Cautions, Steps: rec.Steps,
	}, nil
}

func ieeeInput(l *Location, c *Case) (arc.Input, error) {
	if l.Supply == shock.DC {
		return arc.Input{}, errors.New("IEEE Std 1584-2018 is for AC, the supply is dc")
	}
	return ArcInput(l, c)
}

// ArcInput is a case as IEEE 1584-2018 takes it.
func ArcInput(l *Location, c *Case) (arc.Input, error) {
	electrodes, ok := arc.ParseElectrodes(l.Electrodes)
	if !ok {
		return arc.Input{}, errors.New("the electrode configuration is not given, and it is never assumed")
	}
	return arc.Input{VoltageV: float64(l.Voltage), FaultKA: float64(c.Fault), GapMM: float64(l.Gap), DistanceMM: float64(l.Distance),
		HeightMM: float64(l.Height), WidthMM: float64(l.Width), DepthMM: float64(l.Depth), Electrodes: electrodes}, nil
}

// pointMethod is a method with one current and one duration, for a case at any
// distance, and the current at which a device's curve is read.
func pointMethod(l *Location, c *Case) (method func(d MM, ms float64, rec *arc.Recorder) (arc.PointSource, error), at float64, err error) {
	v, fault := float64(l.Voltage), float64(c.Fault)
	if c.Method == Lee {
		if l.Supply != shock.AC3 {
			return nil, 0, fmt.Errorf("Lee's method is for three-phase AC, the supply is %s", l.Supply)
		}
		return func(d MM, ms float64, rec *arc.Recorder) (arc.PointSource, error) {
			return arc.Lee(v, fault, float64(d), ms, rec)
		}, fault, nil
	}
	if l.Supply != shock.DC {
		return nil, 0, fmt.Errorf("the maximum-power method is for DC, the supply is %s", l.Supply)
	}
	return func(d MM, ms float64, rec *arc.Recorder) (arc.PointSource, error) {
		return arc.DCMaxPower(v, fault, float64(d), ms, c.Multiplier, rec)
	}, fault / 2, nil // Iarc = 0.5 Ibf, NFPA 70E D.5
}

func computePoint(l *Location, c *Case, s *Site) (*Computed, error) {
	method, at, err := pointMethod(l, c)
	if err != nil {
		return nil, err
	}
	clear, err := duration(c.Clear, at, "arcing current", c, s)
	if err != nil {
		return nil, err
	}
	var rec arc.Recorder
	p, err := method(l.Distance, clear.MS, &rec)
	if err != nil {
		return nil, err
	}
	tellDuration(rec.Steps, "t", clear, c)
	tellDuration(rec.Steps, "T", clear, c)
	return &Computed{ArcingKA: Round9(p.ArcingKA), Energy: Round9(p.Energy), Boundary: Round9(p.Boundary),
		Clear: clear, Cautions: p.Cautions, Steps: rec.Steps}, nil
}

// tellDuration puts the source of a duration that is not the row's own into
// its step.
func tellDuration(steps []arc.Step, symbol string, d Arc, c *Case) {
	for i := range steps {
		if steps[i].Symbol != symbol {
			continue
		}
		switch d.From {
		case "curve":
			steps[i].Source = "curve " + c.Curve
			steps[i].Words = "arc duration read from the device's clearing curve at this current, at the slower edge of the pickup tolerance"
		case "two seconds":
			steps[i].Source = "two seconds"
			steps[i].Words = "the arc lasts longer; the owner counts two seconds, for a reason that the policy gives"
		}
	}
}

// belowCurve says that a device's curve has no time at so low a current: the
// device may not clear the arc at all.
type belowCurve struct{ error }

// TwoSeconds, in ms, is usually a reasonable longest arc duration where a person can
// get away (IEEE Std 1584-2018, 6.9.1; engineering judgement).
const TwoSeconds = 2000 // ms

// durations are the arc durations at both arcing currents of IEEE 1584-2018.
func durations(a arc.Arcing, c *Case, s *Site) (full, reduced Arc, err error) {
	if full, err = duration(c.Clear, a.FullKA, "arcing current", c, s); err != nil {
		return full, reduced, err
	}
	reduced, err = duration(c.ClearReduced, a.ReducedKA, "reduced arcing current", c, s)
	return full, reduced, err
}

// duration is the arc duration at one current: from the row, else from the
// device's curve. Neither the full nor the reduced one stands in for the other.
func duration(row MS, currentKA float64, what string, c *Case, s *Site) (Arc, error) {
	d := Arc{float64(row), "row"}
	if row == 0 {
		d = Arc{}
		curve := s.Curves[c.Curve]
		if curve == nil {
			return d, fmt.Errorf("no arc duration at the %s: neither in the row nor from a curve", what)
		}
		ms, err := curve.ClearMS(currentKA)
		if err != nil {
			err = fmt.Errorf("no arc duration at the %s from %s: %w", what, c.Curve, err)
			if curve.below(currentKA) {
				return d, &belowCurve{err}
			}
			return d, err
		}
		d = Arc{Round9(ms), "curve"}
	}
	if s.Policy.TwoSecondReason != "" && d.MS > TwoSeconds {
		d = Arc{TwoSeconds, "two seconds"}
	}
	return d, nil
}
