package report

import (
	"vouchmark/assess"
	"vouchmark/assess/shock"
	"vouchmark/assess/standing"
	"vouchmark/label/plant"
	"vouchmark/label/record"
)

// The structs below are the contract of the restudy in JSON: keys are added,
// none is renamed.
type restudyJSON struct {
	Today     assess.Date          `json:"today"`
	Summary   string               `json:"summary"`
	Stopped   *string              `json:"stopped"`    // why no label can be printed yet; else null
	Counts    map[string]int       `json:"counts"`     // locations by effect; every effect is listed
	DatesOnly int                  `json:"dates_only"` // labels that change only in the study's name and dates
	Locations []restudyLocatedJSON `json:"locations"`
}

// restudyLocatedJSON is one location. What is not known is null.
type restudyLocatedJSON struct {
	ID        string          `json:"id"`
	Area      string          `json:"area"`
	Equipment string          `json:"equipment"`
	InStudy   bool            `json:"in_study"`
	Row       plant.RowChange `json:"row"`        // "new", "gone", "kept", "changed", "same"
	Effect    plant.Effect    `json:"effect"`     // on the label, see plant.Effects
	DatesOnly bool            `json:"dates_only"` // only the study's name and dates differ
	Already   bool            `json:"already"`    // the effect was the same before this study
	ToPrint   bool            `json:"to_print"`   // a label that differs from the one printed last
	Do        *string         `json:"do"`         // what to do about the label; null for nothing
	Hazard    *plant.Hazard   `json:"hazard"`     // "up", "down", "same"
	TooLow    []restudyLow    `json:"too_low"`    // where the last printed label says too little

	Before     *restudySaysJSON `json:"before"`
	BeforeFrom *string          `json:"before_from"` // "label" printed last, or "row" as it was
	After      *restudySaysJSON `json:"after"`       // by the new row, even if no label can be printed
	Refused    *string          `json:"refused"`     // why none can be printed
	Clears     *string          `json:"clears"`

	Code        *record.Code          `json:"code"` // of the label of the new row
	Printed     *restudyLabelJSON     `json:"printed"`
	Differences []standing.Difference `json:"differences"`
}

type restudyLow struct {
	What   plant.Low `json:"what"`
	Detail string    `json:"detail"`
}

// restudyLabelJSON is the label printed last.
type restudyLabelJSON struct {
	Code      record.Code       `json:"code"`
	Date      assess.Date       `json:"date"`
	Mounted   *assess.Date      `json:"mounted"`
	Withdrawn bool              `json:"withdrawn"`
	Lost      bool              `json:"lost"`     // its record cannot be read
	Standing  standing.Standing `json:"standing"` // by the new rows
}

// restudySaysJSON has the keys of `check --json`.
type restudySaysJSON struct {
	Signal           *assess.Signal    `json:"signal"`
	Kit              *string           `json:"kit"`
	KitStatus        *assess.KitStatus `json:"kit_status"`
	EnergyCal        assess.CalCM2     `json:"energy_cal_cm2"`
	EnergyBound      *assess.Bound     `json:"energy_bound"`
	EnergyPrinted    *string           `json:"energy_printed"`
	BoundaryMM       assess.MM         `json:"boundary_mm"`
	BoundaryPrinted  *string           `json:"boundary_printed"`
	Maintenance      *Maintenance      `json:"maintenance"`
	DistanceMM       assess.MM         `json:"distance_mm"`
	VoltageV         float64           `json:"voltage_v"`
	Supply           shock.Supply      `json:"supply"`
	FaultKA          assess.KA         `json:"fault_ka"`
	GloveClass       *string           `json:"glove_class"`
	LimitedMM        assess.MM         `json:"limited_mm"`
	RestrictedMM     assess.MM         `json:"restricted_mm"`
	RestrictedStatus *shock.Rule       `json:"restricted_status"`
	Prepared         *assess.Date      `json:"prepared"`
	ReviewBy         *assess.Date      `json:"review_by"`
}

// RestudyJSON is a restudy for a program.
func RestudyJSON(r *plant.Restudy) any {
	out := restudyJSON{Today: r.Today, Summary: RestudySummary(r), Stopped: Given(r.Stopped), Counts: map[string]int{},
		DatesOnly: r.DatesOnly(), Locations: make([]restudyLocatedJSON, len(r.Rows))}
	for _, e := range plant.Effects {
		out.Counts[string(e)] = r.Count(e)
	}
	for i := range r.Rows {
		row := &r.Rows[i]
		j := restudyLocatedJSON{ID: row.ID, Area: row.Area, Equipment: row.Equipment, InStudy: row.InStudy, Row: row.Row,
			Effect: row.Effect, DatesOnly: row.DatesOnly, Already: row.Already, ToPrint: row.ToPrint(), Do: Given(restudyDo(row)),
			Hazard: Given(row.Hazard), TooLow: []restudyLow{}, Before: restudySaid(row.Before), After: restudySaid(row.After),
			Clears: Given(row.Clears), Code: Given(row.Code), Differences: OrEmpty(row.Differences)}
		for _, low := range row.Low {
			j.TooLow = append(j.TooLow, restudyLow{low, lowWords(low, row)})
		}
		if from := map[bool]string{true: "label", false: "row"}[row.FromLabel]; row.Before != nil {
			j.BeforeFrom = &from
		}
		if row.Refused != nil {
			j.Refused = &row.Refused.Why
		}
		if l := row.Printed; l != nil {
			j.Printed = &restudyLabelJSON{l.ID.Code(), l.Label.Printed, givenDate(l.Mounted), l.Withdrawn != nil, l.Record == nil, l.Standing}
		}
		out.Locations[i] = j
	}
	return out
}

// restudySaid is what a record says; nil for none.
func restudySaid(r *record.Record) *restudySaysJSON {
	if r == nil {
		return nil
	}
	says := restudySays(r)
	j := &restudySaysJSON{KitStatus: Given(r.Status), Kit: Given(r.Kit), EnergyCal: r.Energy.Value,
		EnergyBound: Given(r.Energy.Bound), EnergyPrinted: Given(energyPrinted(says[0].text)), BoundaryMM: r.Boundary.Value,
		BoundaryPrinted: Given(says[1].text), Maintenance: NewMaintenance(&r.Inputs, r.Outcome), DistanceMM: r.Location.Distance,
		VoltageV: float64(r.Location.Voltage), Supply: r.Location.Supply, FaultKA: r.Fault.Value, GloveClass: Given(r.Glove.Class),
		LimitedMM: assess.MM(r.Shock.Limited), RestrictedMM: assess.MM(r.Shock.Restricted), RestrictedStatus: Given(r.Shock.Rule),
		Prepared: givenDate(r.Prepared), ReviewBy: givenDate(r.ReviewBy)}
	if r.Status != "" {
		j.Signal = &r.Signal
	}
	return j
}
