package report

import (
	"vouchmark/assess"
	"vouchmark/assess/suppose"
)

// The structs below are the contract of `suppose --json`: keys are added, none
// is renamed.
type supposeJSON struct {
	Supposed    string         `json:"supposed"`
	Kind        suppose.Kind   `json:"kind"`
	At          string         `json:"at"`
	Case        string         `json:"case,omitempty"` // none: every case
	Locations   []supposedJSON `json:"locations"`      // that the change reaches, worst first
	NotJudged   []string       `json:"not_judged"`     // ids
	WhyNot      string         `json:"why_not_judged"`
	Counts      map[string]int `json:"counts"` // by effect
	Assumptions []string       `json:"assumptions"`
	Caution     string         `json:"caution"`
}

type supposedJSON struct {
	ID      string         `json:"id"`
	Effect  suppose.Effect `json:"effect"` // "no bound", "more", "less", "same"
	Changes []string       `json:"changes"`
	Fault   assess.KA      `json:"fault_now_ka"`
	Then    *[2]float64    `json:"fault_then_ka"` // the range; null if not known
	Now     *saysJSON      `json:"now"`           // null if an error stops it
	AtMost  *saysJSON      `json:"at_most"`       // null if there is no bound
	WhyNot  string         `json:"why_no_bound,omitempty"`
	Danger  bool           `json:"may_not_clear"`
	Says    []string       `json:"ratings"`
	Notes   []string       `json:"notes"`
}

type saysJSON struct {
	Signal          assess.Signal     `json:"signal"`
	Kit             *string           `json:"kit"`
	KitStatus       *assess.KitStatus `json:"kit_status"`
	EnergyCal       assess.CalCM2     `json:"energy_cal_cm2"`
	EnergyPrinted   string            `json:"energy_printed"`
	BoundaryMM      assess.MM         `json:"boundary_mm"`
	BoundaryPrinted string            `json:"boundary_printed"`
}

// JSON is the list for a program.
func (r *Suppose) JSON() any {
	out := supposeJSON{Supposed: r.Words, Kind: r.Hypothesis.Kind, At: r.Hypothesis.At, Case: r.Hypothesis.Case,
		Locations: make([]supposedJSON, len(r.Outcomes)), Counts: map[string]int{},
		NotJudged: OrEmpty(r.Outside), WhyNot: r.WhyOutside, Assumptions: r.Assumptions, Caution: supposeCaution}
	for _, e := range suppose.Effects {
		out.Counts[string(e)] = 0
	}
	for i := range r.Outcomes {
		o := &r.Outcomes[i]
		out.Counts[string(o.Effect)]++
		j := supposedJSON{ID: o.ID, Effect: o.Effect, Changes: OrEmpty(o.Changes), Fault: o.FaultNow,
			WhyNot: o.WhyNot, Danger: o.Danger, Says: OrEmpty(o.Says), Notes: OrEmpty(o.Notes)}
		if o.Now != (suppose.Label{}) {
			j.Now = r.says(&o.Now)
		}
		if o.FaultMost > 0 {
			j.Then = &[2]float64{assess.Round9(float64(o.FaultLeast)), assess.Round9(float64(o.FaultMost))}
		}
		if o.Effect != suppose.NoBound {
			j.AtMost = r.says(&o.Then)
		}
		out.Locations[i] = j
	}
	return out
}

func (r *Suppose) says(l *suppose.Label) *saysJSON {
	return &saysJSON{l.Signal, Given(l.Kit), Given(l.Status), l.Energy, energyPrinted(r.energy(l)), l.Boundary, r.boundary(l)}
}
