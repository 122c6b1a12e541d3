package assess

import "vouchmark/assess/shock"

// Signal is the signal word's meaning; a label words it in its languages.
type Signal string

// The signal words of ANSI Z535.4 that a label may carry.
const (
	Warning Signal = "WARNING"
	Danger  Signal = "DANGER"
)

// KitStatus says whether a kit is required, as `check --json` writes it.
type KitStatus string

const (
	KitChosen   KitStatus = "kit"
	NoneAllowed KitStatus = "none allowed" // above the owner's cutoff
	NotRequired KitStatus = "not required" // below a printed 1.2 cal/cm²
)

// Origin says where a governing number comes from.
type Origin string

const (
	FromStudy    Origin = "study"
	FromComputed Origin = "computed"
)

// Governing is a number that decided the label: its value, the case it comes from, and
// whether the study states it or the program computed it. A zero value means "no number".
type Governing[T ~float64] struct {
	Value T      `json:"value"`
	Case  string `json:"case,omitempty"`
	From  Origin `json:"from"`
	Bound Bound  `json:"bound,omitempty"` // of an energy that is stated as one
}

// Outcome is a location's results under the policy: everything that follows from
// [Inputs], and nothing else. It does not depend on the day. Numbers are rounded to 9
// significant digits, as they are stored.
type Outcome struct {
	Energy   Governing[CalCM2] `json:"energy_cal_cm2"` // at the working distance
	Boundary Governing[MM]     `json:"boundary_mm"`    // arc-flash boundary
	// BoundaryToPrint is the boundary for the label: from 1.2 cal/cm² up it is never
	// inside the working distance.
	BoundaryToPrint MM            `json:"boundary_to_print_mm"`
	Fault           Governing[KA] `json:"fault_ka,omitzero"` // largest available fault current

	// Maintenance is the worst case with the maintenance switch on; nil for none.
	Maintenance *Maintenance `json:"maintenance,omitempty"`

	Signal Signal    `json:"signal"`
	Status KitStatus `json:"kit_status"`    // "" where there is no energy
	Kit    string    `json:"kit,omitempty"` // the chosen rung of the ladder; "" for none

	Shock shock.Boundaries `json:"shock"`
	Glove Glove            `json:"glove"`

	Prepared Date `json:"prepared"`
	Surveyed Date `json:"surveyed,omitzero"`
	ReviewBy Date `json:"review_by"`

	// Computed holds for each of the location's cases what the equations give, or nil;
	// NotComputed then says why.
	Computed []*Computed `json:"computed"`
	// Proven holds for each case what its own inputs prove beyond what the row states;
	// nil if there is nothing.
	Proven      []*Computed `json:"proven,omitempty"`
	NotComputed []string    `json:"-"`

	Findings []Finding `json:"-"`                  // of the location's own rows
	Codes    []Code    `json:"findings,omitempty"` // of those, in alphabetical order
}

// Maintenance is what a label says about the maintenance switch: the largest energy with
// it on and, separately, the largest boundary.
type Maintenance struct {
	Energy          Governing[CalCM2] `json:"energy_cal_cm2"`
	Boundary        Governing[MM]     `json:"boundary_mm"`
	BoundaryToPrint MM                `json:"boundary_to_print_mm"`
	Signal          Signal            `json:"signal"`
	Status          KitStatus         `json:"kit_status"`
	Kit             string            `json:"kit,omitempty"`
	Device          string            `json:"device,omitempty"`    // that has the switch
	DeviceAt        string            `json:"device_at,omitempty"` // where it is installed
}

// Permits reports whether a label may mention it: there is a number, and it is not above
// the cutoff too.
func (m *Maintenance) Permits() bool { return m.Energy.Value > 0 && m.Signal == Warning }

// Glove is a class of rubber insulating gloves, and its maximum use voltage on the
// location's kind of supply. Class is "" if no class covers the voltage.
type Glove struct {
	Class string `json:"class"`
	Limit Volts  `json:"limit_v"`
}

// Worst is the recomputed result of the case with the most energy, or nil if nothing
// could be recomputed.
func (o *Outcome) Worst() *Computed {
	var worst *Computed
	for _, r := range o.Computed {
		if r != nil && (worst == nil || r.Energy > worst.Energy) {
			worst = r
		}
	}
	return worst
}

// Prints reports whether no error finding stops the label.
func (o *Outcome) Prints() bool { return o.Stopped() == "" }

// Stopped is the first error finding, which stops the label; "" for none.
func (o *Outcome) Stopped() string {
	if f := find(o.Findings, func(f *Finding) bool { return f.Level == Error }); f != nil {
		return f.Sentence()
	}
	return ""
}
