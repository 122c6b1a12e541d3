package record

import (
	"errors"
	"fmt"

	"vouchmark/assess"
	"vouchmark/assess/arc"
	"vouchmark/assess/shock"
)

// schema1 is the first format of a record. Labels with such records are on doors,
// so every later version reads the format, and it never changes. Its rows are
// written like today's.
type schema1 struct {
	Schema     int              `json:"schema"`
	Rules      int              `json:"rules"`
	Rows       *assess.Location `json:"rows"`
	Curves     []curve1         `json:"curves,omitempty"`
	Results    results1         `json:"results"`
	Assessment assessment1      `json:"assessment"`
	Policy     policy1          `json:"policy"`
}

type curve1 struct {
	Name             string       `json:"name"`
	TolerancePercent float64      `json:"pickup_tolerance_percent,omitempty"`
	Points           [][2]float64 `json:"points_a_s"`
}

type results1 struct {
	Energy   assess.Governing[assess.CalCM2] `json:"energy_cal_cm2"`
	Boundary assess.Governing[assess.MM]     `json:"boundary_mm"`
	Fault    *assess.Governing[assess.KA]    `json:"fault_ka,omitempty"`
	Computed []computed1                     `json:"computed"`
}

type computed1 struct {
	Case            string        `json:"case,omitempty"`
	Method          assess.Method `json:"method"`
	Arcing          assess.KA     `json:"arcing_ka,omitzero"`
	ArcingReduced   assess.KA     `json:"arcing_reduced_ka,omitzero"`
	Energy          assess.CalCM2 `json:"energy_cal_cm2,omitzero"`
	EnergyFull      assess.CalCM2 `json:"energy_full_cal_cm2,omitzero"`
	EnergyReduced   assess.CalCM2 `json:"energy_reduced_cal_cm2,omitzero"`
	Boundary        assess.MM     `json:"boundary_mm,omitzero"`
	BoundaryFull    assess.MM     `json:"boundary_full_mm,omitzero"`
	BoundaryReduced assess.MM     `json:"boundary_reduced_mm,omitzero"`
	EnclosureFactor assess.Ratio  `json:"enclosure_factor,omitzero"`
	EnclosureIn     assess.Inches `json:"enclosure_in,omitzero"`
	Governs         string        `json:"governs,omitempty"`
	Clear           duration1     `json:"clear,omitzero"`
	ClearReduced    duration1     `json:"clear_reduced,omitzero"`
	Cautions        arc.Cautions  `json:"cautions,omitempty"`
	Steps           []arc.Step    `json:"steps,omitempty"`
}

type duration1 struct {
	MS   assess.MS `json:"ms,omitzero"`
	From string    `json:"from,omitempty"`
}

type assessment1 struct {
	Signal    assess.Signal    `json:"signal"`
	KitStatus assess.KitStatus `json:"kit_status"`
	Kit       string           `json:"kit,omitempty"`
	Shock     shock1           `json:"shock"`
	Prepared  assess.Date      `json:"prepared"`
	Surveyed  assess.Date      `json:"surveyed,omitzero"`
	ReviewBy  assess.Date      `json:"review_by"`
}

type shock1 struct {
	Limited         float64      `json:"limited_mm,omitempty"`
	LimitedPrint    float64      `json:"limited_metric_mm,omitempty"`
	Restricted      float64      `json:"restricted_mm,omitempty"`
	RestrictedPrint float64      `json:"restricted_metric_mm,omitempty"`
	Rule            shock.Rule   `json:"restricted_status"`
	Row             string       `json:"row"`
	LookedUp        float64      `json:"looked_up_v"`
	Owner           string       `json:"owner_source,omitempty"`
	GloveClass      string       `json:"glove_class"`
	GloveLimit      assess.Volts `json:"glove_limit_v"`
}

type policy1 struct {
	Edition            string        `json:"edition"`
	Units              assess.Units  `json:"units"`
	Cutoff             assess.CalCM2 `json:"cutoff_cal_cm2"`
	Ladder             []rung1       `json:"ladder"`
	Wear               assess.Words  `json:"wear,omitempty"` // of the chosen rung
	BelowThresholdWear assess.Words  `json:"below_threshold_wear,omitempty"`
	MinimumGloveClass  string        `json:"minimum_glove_class,omitempty"`
	TwoSecondReason    string        `json:"two_second_reason,omitempty"`
	ReviewMonths       int           `json:"review_months"`
	Reviewed           assess.Date   `json:"reviewed,omitzero"`
	ReviewedBy         string        `json:"reviewed_by,omitempty"`
	Govern             assess.Govern `json:"govern"`
	GovernAcceptedBy   string        `json:"govern_accepted_by,omitempty"`
	GovernReason       string        `json:"govern_reason,omitempty"`
	GovernDate         assess.Date   `json:"govern_date,omitzero"`
}

type rung1 struct {
	Kit    string        `json:"kit"`
	Rating assess.CalCM2 `json:"rating_cal_cm2"`
}

// record is the record in this format.
func (f *schema1) record() (*Record, error) {
	if f.Rows == nil {
		return nil, errors.New("no rows")
	}
	r := &Record{Schema: f.Schema, Rules: f.Rules, first: f}
	r.Inputs = assess.Inputs{Location: f.Rows, Policy: f.policy()}
	if !f.Policy.Reviewed.IsZero() {
		r.Reviewed = &assess.Review{Date: f.Policy.Reviewed, By: f.Policy.ReviewedBy}
	}
	for _, k := range f.Curves {
		c := &assess.Curve{TolerancePercent: k.TolerancePercent}
		for _, at := range k.Points {
			c.Points = append(c.Points, arc.Point{CurrentA: at[0], TimeS: at[1]})
		}
		if r.Curves == nil {
			r.Curves = map[string]*assess.Curve{}
		}
		r.Curves[k.Name] = c
	}
	r.Outcome = f.outcome()
	return r, r.readCurves()
}

func (f *schema1) policy() *assess.Policy {
	p := &f.Policy
	out := &assess.Policy{
		Edition: p.Edition, Units: p.Units, Cutoff: p.Cutoff, BelowThresholdWear: p.BelowThresholdWear,
		MinimumGloveClass: p.MinimumGloveClass, TwoSecondReason: p.TwoSecondReason, ReviewMonths: p.ReviewMonths,
		Govern: p.Govern, GovernAcceptedBy: p.GovernAcceptedBy, GovernReason: p.GovernReason, GovernDate: p.GovernDate,
	}
	for _, g := range p.Ladder {
		rung := assess.Rung{Kit: g.Kit, Rating: g.Rating}
		if g.Kit == f.Assessment.Kit {
			rung.Wear = p.Wear
		}
		out.Ladder = append(out.Ladder, rung)
	}
	if row, ok := f.approach(); ok {
		out.Approach = []shock.Row{row}
	}
	return out
}

// approach is the owner's row for the approach boundaries, where one was used. The
// format keeps the row's name, which contains its voltages, and what was printed
// from it.
func (f *schema1) approach() (shock.Row, bool) {
	s := &f.Assessment.Shock
	row := shock.Row{Supply: f.Rows.Supply, Name: s.Row, Source: s.Owner, Rule: s.Rule, Fixed: s.Limited,
		Movable: s.Limited, Limit: s.Restricted}
	if s.Owner == "" {
		return row, false
	}
	n, err := fmt.Sscanf(s.Row, "above %g V to %g V", &row.Above, &row.Upto)
	return row, n == 2 && err == nil
}

func (f *schema1) outcome() *assess.Outcome {
	a, s := &f.Assessment, &f.Assessment.Shock
	o := assess.Outcome{
		Energy: f.Results.Energy, Boundary: f.Results.Boundary,
		Signal: a.Signal, Status: a.KitStatus, Kit: a.Kit,
		Shock: shock.Boundaries{
			Limited: s.Limited, LimitedPrint: s.LimitedPrint, Restricted: s.Restricted, RestrictedPrint: s.RestrictedPrint,
			Rule: s.Rule, Row: s.Row, Owner: s.Owner, Voltage: s.LookedUp,
		},
		Glove:    assess.Glove{Class: s.GloveClass, Limit: s.GloveLimit},
		Prepared: a.Prepared, Surveyed: a.Surveyed, ReviewBy: a.ReviewBy,
		Computed: make([]*assess.Computed, len(f.Results.Computed)),
	}
	o.BoundaryToPrint = o.Boundary.Value
	if o.Energy.Value >= assess.Threshold || assess.PrintedCal(o.Energy.Value) > assess.Threshold {
		o.BoundaryToPrint = max(o.Boundary.Value, f.Rows.Distance) // as the first rules printed it
	}
	if f.Results.Fault != nil {
		o.Fault = *f.Results.Fault
	}
	for i := range f.Results.Computed {
		o.Computed[i] = f.Results.Computed[i].computed()
	}
	return &o
}

// computed is the result of a case, or nil where nothing was computed.
func (c *computed1) computed() *assess.Computed {
	if c.Energy == 0 && c.Boundary == 0 {
		return nil
	}
	return &assess.Computed{
		Method: c.Method, Case: c.Case, Arcing: c.Arcing, ArcingReduced: c.ArcingReduced,
		Energy: c.Energy, EnergyFull: c.EnergyFull, EnergyReduced: c.EnergyReduced,
		Boundary: c.Boundary, BoundaryFull: c.BoundaryFull, BoundaryReduced: c.BoundaryReduced,
		EnclosureFactor: c.EnclosureFactor, EnclosureIn: c.EnclosureIn, Governs: c.Governs,
		Clear: c.Clear.MS, ClearFrom: c.Clear.From, ClearReduced: c.ClearReduced.MS, ClearReducedFrom: c.ClearReduced.From,
		Cautions: c.Cautions, Steps: c.Steps,
	}
}
