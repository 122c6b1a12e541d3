package record

import (
	"fmt"
	"reflect"
	"slices"
	"strconv"
	"strings"

	"vouchmark/assess"
	"vouchmark/assess/shock"
)

const (
	// Schema is the form of the record files that this program writes.
	Schema = 1
	// Rules is raised only when a printed value can change: when the same
	// rows and policy would be judged or rounded in another way.
	Rules = 1
)

// Record is one stored calculation.
type Record struct {
	Schema     int        `json:"schema"`
	Rules      int        `json:"rules"`
	Rows       []Row      `json:"rows"`
	Curves     []Curve    `json:"curves,omitempty"`
	Results    Results    `json:"results"`
	Assessment Assessment `json:"assessment"`
	Policy     Policy     `json:"policy"`
}

// Row is a row of locations.csv as it was read: canonical columns, one unit
// for each.
type Row struct {
	ID         string   `json:"id"`
	Case       string   `json:"case,omitempty"`
	Area       string   `json:"area,omitempty"`
	Equipment  string   `json:"equipment"`
	Class      string   `json:"class,omitempty"`
	FedFrom    []string `json:"fed_from,omitempty"`
	Supply     string   `json:"supply"`
	Conductor  string   `json:"conductor"`
	Voltage    float64  `json:"voltage_v"`
	Fault      float64  `json:"fault_ka,omitempty"`
	Rating     float64  `json:"rating_ka,omitempty"`
	Energy     float64  `json:"energy_cal_cm2,omitempty"`
	Boundary   float64  `json:"boundary_mm,omitempty"`
	Distance   float64  `json:"distance_mm"`
	Electrodes string   `json:"electrodes,omitempty"`
	Gap        float64  `json:"gap_mm,omitempty"`
	Height     float64  `json:"height_mm,omitempty"`
	Width      float64  `json:"width_mm,omitempty"`
	Depth      float64  `json:"depth_mm,omitempty"`
	Assumed    []string `json:"assumed,omitempty"` // columns above that were taken from typical values
	Clear      float64  `json:"clear_ms,omitempty"`
	Reduced    float64  `json:"clear_reduced_ms,omitempty"`
	Device     string   `json:"device,omitempty"`
	DeviceAt   string   `json:"device_at,omitempty"`
	Interrupts float64  `json:"device_rating_ka,omitempty"`
	Curve      string   `json:"curve,omitempty"`
	Method     string   `json:"method"`
	Multiplier float64  `json:"multiplier,omitempty"`
	Study      string   `json:"study,omitempty"`
	Revision   string   `json:"revision,omitempty"`
	Edition    string   `json:"edition,omitempty"`
	Surveyed   string   `json:"surveyed,omitempty"`
	Prepared   string   `json:"prepared"`
	Engineer   string   `json:"engineer,omitempty"`
	AcceptedBy string   `json:"accepted_by,omitempty"`
	Note       string   `json:"note,omitempty"`
}

// Results are the governing numbers, each with the case that decided it.
type Results struct {
	Energy   Governing  `json:"energy_cal_cm2"`
	Boundary Governing  `json:"boundary_mm"`
	Fault    *Governing `json:"fault_ka,omitempty"`
	Computed []Computed `json:"computed"` // one for each row
}

// Governing is a number that decided the label.
type Governing struct {
	Value float64 `json:"value"`
	Case  string  `json:"case,omitempty"`
	From  string  `json:"from"` // "study" or "computed"
}

// Assessment is what the policy made of the results.
type Assessment struct {
	Signal    string `json:"signal"`
	KitStatus string `json:"kit_status"`
	Kit       string `json:"kit,omitempty"`

	Shock Shock `json:"shock"`

	Prepared string `json:"prepared"`
	Surveyed string `json:"surveyed,omitempty"`
	ReviewBy string `json:"review_by"`
}

// Shock is what the voltage asks for.
type Shock struct {
	Limited         float64 `json:"limited_mm,omitempty"`
	LimitedPrint    float64 `json:"limited_metric_mm,omitempty"` // what a metric label prints
	Restricted      float64 `json:"restricted_mm,omitempty"`
	RestrictedPrint float64 `json:"restricted_metric_mm,omitempty"`
	Rule            string  `json:"restricted_status"`
	Row             string  `json:"row"`
	LookedUp        float64 `json:"looked_up_v"`
	Owner           string  `json:"owner_source,omitempty"`
	GloveClass      string  `json:"glove_class"`
	GloveLimit      float64 `json:"glove_limit_v"`
}

// Policy is that part of the owner's policy which decided the label or stands
// on it.
type Policy struct {
	Edition            string              `json:"edition"`
	Units              string              `json:"units"`
	Cutoff             float64             `json:"cutoff_cal_cm2"`
	Ladder             []Rung              `json:"ladder"`
	Wear               map[string][]string `json:"wear,omitempty"`                 // of the chosen rung, by language
	BelowThresholdWear map[string][]string `json:"below_threshold_wear,omitempty"` // where no kit is demanded
	MinimumGloveClass  string              `json:"minimum_glove_class,omitempty"`
	TwoSecondReason    string              `json:"two_second_reason,omitempty"`
	ReviewMonths       int                 `json:"review_months"`
	Reviewed           string              `json:"reviewed,omitempty"` // when the study was found right
	ReviewedBy         string              `json:"reviewed_by,omitempty"`
	Govern             string              `json:"govern"`
	GovernAcceptedBy   string              `json:"govern_accepted_by,omitempty"`
	GovernReason       string              `json:"govern_reason,omitempty"`
	GovernDate         string              `json:"govern_date,omitempty"`
}

// Rung is a rung's name and rating.
type Rung struct {
	Kit    string  `json:"kit"`
	Rating float64 `json:"rating_cal_cm2"`
}

// New is the record of an assessment that prints.
func New(a *assess.Assessment, s *assess.Site) *Record {
	p := &s.Policy
	r := &Record{Schema: Schema, Rules: Rules}
	for i := range a.Location.Cases {
		r.Rows = append(r.Rows, newRow(a.Location, &a.Location.Cases[i]))
	}
	r.Curves = newCurves(a.Location, s)
	r.Results = Results{Energy: newGoverning(a.Energy), Boundary: newGoverning(a.Boundary), Computed: newComputed(a)}
	if a.Fault.Value > 0 {
		g := newGoverning(a.Fault)
		r.Results.Fault = &g
	}
	r.Assessment = Assessment{
		Signal: string(a.Signal), KitStatus: string(a.Status), Kit: a.Kit(p),
		Shock: Shock{
			Limited: a.Shock.Limited, LimitedPrint: a.Shock.LimitedPrint,
			Restricted: a.Shock.Restricted, RestrictedPrint: a.Shock.RestrictedPrint,
			Rule: string(a.Shock.Rule), Row: a.Shock.Row, LookedUp: assess.Round9(a.Shock.Voltage), Owner: a.Shock.Owner,
			GloveClass: a.Glove.Class, GloveLimit: a.Glove.Limit(a.Location.Supply),
		},
		Prepared: a.Prepared.String(), Surveyed: a.Surveyed.String(), ReviewBy: a.ReviewBy.String(),
	}
	r.Policy = Policy{
		Edition: p.Edition, Units: string(p.Units), Cutoff: float64(p.Cutoff), MinimumGloveClass: p.MinimumGloveClass,
		ReviewMonths: p.ReviewMonths, Govern: string(p.Govern),
	}
	if a.Reviewed != nil {
		r.Policy.Reviewed, r.Policy.ReviewedBy = a.Reviewed.Date.String(), a.Reviewed.By
	}
	// What did not decide this label is no fact of it.
	if p.Govern != assess.Larger {
		r.Policy.GovernAcceptedBy, r.Policy.GovernReason, r.Policy.GovernDate = p.GovernAcceptedBy, p.GovernReason, p.GovernDate.String()
	}
	for _, c := range a.Computed {
		if c != nil && c.Capped() {
			r.Policy.TwoSecondReason = p.TwoSecondReason
		}
	}
	for _, rung := range p.Ladder {
		r.Policy.Ladder = append(r.Policy.Ladder, Rung{rung.Kit, float64(rung.Rating)})
	}
	switch {
	case a.Rung >= 0:
		r.Policy.Wear = p.Ladder[a.Rung].Wear
	case a.Status == assess.NotRequired:
		r.Policy.BelowThresholdWear = p.BelowThresholdWear
	}
	return r
}

func newGoverning(g assess.Governing) Governing {
	return Governing{assess.Round9(g.Value), g.Case, string(g.From)}
}

func newRow(l *assess.Location, c *assess.Case) Row {
	conductor := "fixed"
	if l.Movable {
		conductor = "movable"
	}
	var assumed []string
	for _, s := range l.Assumed {
		assumed = append(assumed, s.Column)
	}
	return Row{
		Assumed: assumed,
		ID:      l.ID, Case: c.Name, Area: l.Area, Equipment: l.Equipment, Class: l.Class, FedFrom: slices.Sorted(slices.Values(l.FedFrom)),
		Supply: string(l.Supply), Conductor: conductor, Voltage: float64(l.Voltage),
		Fault: float64(c.Fault), Rating: float64(l.Rating), Energy: float64(c.Energy), Boundary: float64(c.Boundary),
		Distance: float64(l.Distance), Electrodes: l.Electrodes, Gap: float64(l.Gap),
		Height: float64(l.Height), Width: float64(l.Width), Depth: float64(l.Depth),
		Clear: float64(c.Clear), Reduced: float64(c.ClearReduced),
		Device: c.Device, DeviceAt: c.DeviceAt, Interrupts: float64(c.DeviceRating), Curve: c.Curve,
		Method: string(c.Method), Multiplier: c.Multiplier,
		Study: c.Study, Revision: c.Revision, Edition: c.Edition,
		Surveyed: c.Surveyed.String(), Prepared: c.Prepared.String(),
		Engineer: c.Engineer, AcceptedBy: c.AcceptedBy, Note: c.Note,
	}
}

// Row is the first row, for what is the same in all of them.
func (r *Record) Row() *Row { return &r.Rows[0] }

// RowOf is the row of a case.
func (r *Record) RowOf(name string) *Row {
	for i := range r.Rows {
		if r.Rows[i].Case == name {
			return &r.Rows[i]
		}
	}
	return r.Row()
}

// Supply is the kind of supply.
func (r *Record) Supply() shock.Supply { return shock.Supply(r.Row().Supply) }

// Cell is one filled cell of a row.
type Cell struct{ Column, Value string }

// Cells are the filled cells of a row under their names in a record, in order.
func (r *Row) Cells() []Cell {
	var cells []Cell
	v := reflect.ValueOf(r).Elem()
	for i := range v.NumField() {
		f := v.Field(i)
		if f.IsZero() {
			continue
		}
		name, _, _ := strings.Cut(v.Type().Field(i).Tag.Get("json"), ",")
		text := fmt.Sprint(f.Interface())
		switch x := f.Interface().(type) {
		case float64:
			text = strconv.FormatFloat(x, 'f', -1, 64)
		case []string:
			text = strings.Join(x, "; ")
		}
		cells = append(cells, Cell{name, text})
	}
	return cells
}
