package report

import (
	"fmt"
	"strings"

	"vouchmark/assess"
	"vouchmark/assess/arc"
)

// Computed is a recomputed result for a program. A number that the method does
// not have is null: only IEEE 1584-2018 has a reduced arcing current and an
// enclosure.
type Computed struct {
	*assess.Computed
	Governs  *string  `json:"governs"`
	Cautions []string `json:"cautions,omitempty"`
	Steps    []worded `json:"steps,omitempty"`
}

// worded is one line of an evaluation with its words; records do not keep the words.
type worded struct {
	arc.Step
	Words string `json:"words"`
}

// NewComputed is a result with or without its steps.
func NewComputed(r *assess.Computed, steps bool) *Computed {
	c := &Computed{Computed: r, Governs: Given(r.Governs), Cautions: r.Cautions.List()}
	if steps {
		for _, s := range r.Steps {
			c.Steps = append(c.Steps, worded{s, s.Words})
		}
		c.Cautions = r.CautionTexts()
	}
	return c
}

// Steps writes an evaluation for a person with a calculator: a line for each
// step, and below it its source and formula.
func Steps(r *assess.Computed, width int) string {
	var b strings.Builder
	for _, s := range r.Steps {
		line := fmt.Sprintf("  %s = %-12s %s", padded(s.Symbol, 13), fmt.Sprintf("%.6g", s.Value), s.UnitWords())
		b.WriteString(strings.TrimRight(line, " ") + "\n" + Wrap(s.Source+": "+s.Words, "      ", "      ", width))
	}
	return b.String()
}
