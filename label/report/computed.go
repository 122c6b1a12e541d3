package report

import (
	"fmt"
	"strings"

	"vouchmark/assess"
)

// Computed is a recomputed result. A method that has no such number gives
// null: only IEEE 1584-2018 has a reduced arcing current and an enclosure.
type Computed struct {
	Method          assess.Method `json:"method"`
	Case            string        `json:"case"`
	ArcingKA        *float64      `json:"arcing_ka"`
	ArcingReducedKA *float64      `json:"arcing_reduced_ka"`
	Energy          *float64      `json:"energy_cal_cm2"`
	EnergyFull      *float64      `json:"energy_full_cal_cm2"`
	EnergyReduced   *float64      `json:"energy_reduced_cal_cm2"`
	Boundary        *float64      `json:"boundary_mm"`
	BoundaryFull    *float64      `json:"boundary_full_mm"`
	BoundaryReduced *float64      `json:"boundary_reduced_mm"`
	EnclosureFactor *float64      `json:"enclosure_factor"`
	EnclosureIn     *float64      `json:"enclosure_in"`
	Governs         *string       `json:"governs"`
	ClearMS         *float64      `json:"clear_ms"`
	ClearFrom       string        `json:"clear_from"`
	ReducedMS       *float64      `json:"clear_reduced_ms"`
	ReducedFrom     string        `json:"clear_reduced_from,omitempty"`
	Cautions        []string      `json:"cautions,omitempty"`
	Steps           []Step        `json:"steps,omitempty"`
}

// Step is one line of an evaluation.
type Step struct {
	Symbol string  `json:"symbol"`
	Value  float64 `json:"value"`
	Unit   string  `json:"unit,omitempty"`
	Source string  `json:"source"`
	Words  string  `json:"words"`
}

// NewComputed is a result as a program reads it, with its steps or without.
func NewComputed(r *assess.Computed, steps bool) *Computed {
	c := &Computed{
		Method: r.Method, Case: r.Case, ArcingKA: some(r.ArcingKA), ArcingReducedKA: some(r.ArcingReducedKA),
		Energy: some(r.Energy), EnergyFull: some(r.EnergyFull), EnergyReduced: some(r.EnergyReduced),
		Boundary: some(r.Boundary), BoundaryFull: some(r.BoundaryFull), BoundaryReduced: some(r.BoundaryReduced),
		EnclosureFactor: some(r.EnclosureFactor), EnclosureIn: some(r.EnclosureIn),
		ClearMS: some(r.Clear.MS), ClearFrom: r.Clear.From, ReducedMS: some(r.ClearReduced.MS), ReducedFrom: r.ClearReduced.From,
		Cautions: r.Cautions.List(),
	}
	if r.Governs != "" {
		c.Governs = &r.Governs
	}
	if steps {
		for _, s := range r.Steps {
			c.Steps = append(c.Steps, Step{s.Symbol, assess.Round9(s.Value), s.Unit, s.Source, s.Words})
		}
	}
	return c
}

// Steps writes an evaluation for a person with a calculator: a line for each
// step, and below it what it is.
func Steps(r *assess.Computed, width int) string {
	var b strings.Builder
	for _, s := range r.Steps {
		fmt.Fprintf(&b, "  %-13s = %-12s %s", s.Symbol, fmt.Sprintf("%.6g", s.Value), s.Unit)
		b.WriteString("\n" + Wrap(s.Source+": "+s.Words, "      ", "      ", width))
	}
	return b.String()
}
