package record

import (
	"slices"

	"vouchmark/assess"
)

// Computed is what the published equations give for one row. Where they give
// nothing there are no numbers; why is worded anew from the rows.
type Computed struct {
	Case            string   `json:"case,omitempty"`
	Method          string   `json:"method"`
	ArcingKA        float64  `json:"arcing_ka,omitempty"`
	ArcingReducedKA float64  `json:"arcing_reduced_ka,omitempty"`
	Energy          float64  `json:"energy_cal_cm2,omitempty"`
	EnergyFull      float64  `json:"energy_full_cal_cm2,omitempty"`
	EnergyReduced   float64  `json:"energy_reduced_cal_cm2,omitempty"`
	Boundary        float64  `json:"boundary_mm,omitempty"`
	BoundaryFull    float64  `json:"boundary_full_mm,omitempty"`
	BoundaryReduced float64  `json:"boundary_reduced_mm,omitempty"`
	Factor          float64  `json:"enclosure_factor,omitempty"`
	EnclosureIn     float64  `json:"enclosure_in,omitempty"`
	Governs         string   `json:"governs,omitempty"`
	Clear           Duration `json:"clear,omitzero"`
	ClearReduced    Duration `json:"clear_reduced,omitzero"`
	Cautions        uint16   `json:"cautions,omitempty"` // the bits of arc.Cautions
	Steps           []Step   `json:"steps,omitempty"`
}

// Duration is an arc duration as it was used: from the row, from the curve, or
// two seconds for the owner's reason.
type Duration struct {
	MS   float64 `json:"ms,omitempty"`
	From string  `json:"from,omitempty"`
}

// Step is one line of an evaluation: symbol, value, unit, and the equation or
// table. The sentence beside it is the program's, and is not stored.
type Step struct {
	Symbol string  `json:"symbol"`
	Value  float64 `json:"value"`
	Unit   string  `json:"unit,omitempty"`
	Source string  `json:"source"`
}

// Curve is a clearing curve as it was read.
type Curve struct {
	Name             string       `json:"name"`
	TolerancePercent float64      `json:"pickup_tolerance_percent,omitempty"`
	Points           [][2]float64 `json:"points_a_s"` // current in A, total clearing time in s
}

func newComputed(a *assess.Assessment) []Computed {
	all := make([]Computed, len(a.Computed))
	for i, r := range a.Computed {
		c := &a.Location.Cases[i]
		all[i] = Computed{Case: c.Name, Method: string(c.Method)}
		if r != nil {
			all[i] = FromComputed(r)
		}
	}
	return all
}

// FromComputed is a result in the form that records and `--json` have.
func FromComputed(r *assess.Computed) Computed {
	c := Computed{
		Case: r.Case, Method: string(r.Method),
		ArcingKA: r.ArcingKA, ArcingReducedKA: r.ArcingReducedKA,
		Energy: r.Energy, EnergyFull: r.EnergyFull, EnergyReduced: r.EnergyReduced,
		Boundary: r.Boundary, BoundaryFull: r.BoundaryFull, BoundaryReduced: r.BoundaryReduced,
		Factor: r.EnclosureFactor, EnclosureIn: r.EnclosureIn, Governs: r.Governs,
		Clear: Duration(r.Clear), ClearReduced: Duration(r.ClearReduced), Cautions: uint16(r.Cautions),
	}
	for _, s := range r.Steps {
		c.Steps = append(c.Steps, Step{s.Symbol, assess.Round9(s.Value), s.Unit, s.Source})
	}
	return c
}

// newCurves are the curves that the rows name, each once.
func newCurves(l *assess.Location, s *assess.Site) []Curve {
	var all []Curve
	for i := range l.Cases {
		c := s.Curves[l.Cases[i].Curve]
		if c == nil || slices.ContainsFunc(all, func(k Curve) bool { return k.Name == c.File }) {
			continue
		}
		k := Curve{Name: c.File, TolerancePercent: c.TolerancePercent}
		for _, p := range c.Points {
			k.Points = append(k.Points, [2]float64{p.CurrentA, p.TimeS})
		}
		all = append(all, k)
	}
	return all
}
