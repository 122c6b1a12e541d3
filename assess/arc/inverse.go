package arc

// End says why an interval ends where it does.
type End string

// The ends of an interval.
const (
	EndEnergy   End = "energy limit reached"   // beyond, the energy exceeds the limit
	EndModel    End = "limit of the model"     // beyond, the model is not valid
	EndDuration End = "no arc duration beyond" // the device's curve ends
)

// String says it in words.
func (e End) String() string { return string(e) }

// Interval is the connected interval around a present value in which an energy limit is not
// exceeded. Both ends were computed and hold.
type Interval struct {
	Low, High       float64
	LowEnd, HighEnd End
}

// FaultIntervals returns, for each limit in cal/cm2, in rising order, the interval of
// bolted fault currents, kA, around in.FaultKA in which the larger energy does not exceed
// it, with the durations d at each fault current's own arcing currents, and all else as in.
//
// The energy is not monotone in the fault current: a lower one can clear later and give
// more. The range of the model is scanned from the present value outward in steps of half a
// percent, and also on both sides of each point of the curve; the first step that fails is
// bisected. An excess inside one step that touches neither its ends nor a point of the
// curve is not seen.
//
// A limit that is exceeded at the present value has the zero Interval. The error is a
// [Refusals] or that of d.
func FaultIntervals(in *Input, limits []float64, d Bounded) ([]Interval, error) {
	at := *in // at the fault current tried
	s := faultScan{marks: d.marksKA(),
		arcing: func(faultKA float64) (Arcing, error) {
			at.FaultKA = faultKA
			return Currents(&at)
		},
		energy: func(faultKA float64) (float64, End, error) {
			at.FaultKA = faultKA
			m, err := Prepare(&at, nil)
			if err != nil {
				return 0, EndModel, err
			}
			t, tr, err := d.DurationsMS(m.arcing)
			if err != nil {
				return 0, EndDuration, err
			}
			e, err := m.EnergyAt(at.DistanceMM, t, tr)
			return e, EndDuration, err
		},
	}
	low, high := FaultRange(in.VoltageV)
	return s.intervals(in.FaultKA, low, high, limits)
}

// farFault is how far from the present fault current a method that sets no limits of
// its own is followed, as a ratio: more than the fault current of an unchanged system
// can move.
const farFault = 100

// PointFaultIntervals is [FaultIntervals] for a method with one arcing current, such as
// [Lee] and [DCMaxPower]: at gives its result for a fault current in kA and a duration
// in ms, share is the arcing current divided by the fault current.
func PointFaultIntervals(faultKA, share float64, limits []float64, d Bounded,
	at func(faultKA, clearMS float64) (PointSource, error)) ([]Interval, error) {
	var r Refusals
	if !r.positive("bolted fault current", "kA", faultKA, "") {
		return nil, r
	}
	arcing := func(faultKA float64) (Arcing, error) {
		return Arcing{FullKA: share * faultKA, ReducedKA: share * faultKA}, nil
	}
	s := faultScan{marks: d.marksKA(), arcing: arcing,
		energy: func(faultKA float64) (float64, End, error) {
			a, _ := arcing(faultKA)
			t, _, err := d.DurationsMS(a)
			if err != nil {
				return 0, EndDuration, err
			}
			p, err := at(faultKA, t)
			return p.Energy, EndModel, err
		},
	}
	return s.intervals(faultKA, faultKA/farFault, faultKA*farFault, limits)
}
