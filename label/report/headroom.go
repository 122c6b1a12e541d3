package report

import (
	"fmt"
	"math"
	"strings"

	"vouchmark/assess/standing"
)

// HeadroomLines words a headroom: how far the label is from a stronger kit and
// from DANGER, then what is not known. How far it is from the rounding of its
// printed energy is told to programs alone.
func HeadroomLines(h *standing.Headroom) []string {
	var lines []string
	if h.Case != "" {
		lines = append(lines, "case "+h.Case)
	}
	for _, m := range margins(h) {
		lines = append(lines, fmt.Sprintf("%s more energy to %s, up to %.6g cal/cm²: %s",
			percent(m.room.Percent), m.to, m.room.Limit, drift(m.room)))
	}
	switch {
	case h.Energy == nil:
		lines = append(lines, "no margin is known: "+h.WhyNot)
	case h.Kit == nil:
		lines = append(lines, "no margin: the label says DANGER already")
	case h.WhyNot != "":
		lines = append(lines, h.WhyNot)
	}
	for i := range h.OtherCases {
		lines = append(lines, HeadroomLines(&h.OtherCases[i])...)
	}
	return lines
}

// margin is the room up to what a label would then need or say.
type margin struct {
	to   string
	room *standing.Room
}

// margins are those to the next kit and to the signal word, the nearer first.
// Where no kit is between, they are one.
func margins(h *standing.Headroom) []margin {
	switch {
	case h.Kit == nil || h.Signal == nil:
		return nil
	case h.Kit.Limit == h.Signal.Limit:
		return []margin{{"DANGER", h.Signal}}
	}
	return []margin{{"the next kit", h.Kit}, {"DANGER", h.Signal}}
}

// marginWords are the margins in a few words; "" where there are none.
func marginWords(h *standing.Headroom) string {
	var parts []string
	for _, m := range margins(h) {
		parts = append(parts, percent(m.room.Percent)+" to "+m.to)
	}
	return After("margin ", strings.Join(parts, ", "))
}

// HeadroomText writes these lines for a terminal.
func HeadroomText(h *standing.Headroom, width int) string {
	var b strings.Builder
	for _, line := range HeadroomLines(h) {
		b.WriteString(Wrap(line, "  ", "      ", width))
	}
	return b.String()
}

// drift words how far each input alone may go.
func drift(r *standing.Room) string {
	var parts []string
	if r.ClearMS != nil && r.ClearReducedMS != nil {
		parts = append(parts, fmt.Sprintf("arc duration to %s ms at the full, to %s ms at the reduced arcing current",
			floor(*r.ClearMS), floor(*r.ClearReducedMS)))
	} else if r.ClearMS != nil {
		parts = append(parts, fmt.Sprintf("arc duration to %s ms", floor(*r.ClearMS)))
	}
	if f := r.FaultKA; f != nil {
		parts = append(parts, fmt.Sprintf("fault current from %s kA (%s) to %s kA (%s)", ceil(f[0]), r.LowEnd,
			floor(f[1]), r.HighEnd))
	}
	return strings.Join(parts, "; ") + ", each alone"
}

// percent shows one decimal below 100, rounded down; what is above zero never
// reads as zero, and of ten times as much no more is told.
func percent(p float64) string {
	switch {
	case p < 0.1:
		return "<0.1 %"
	case p < 100:
		return fmt.Sprintf("%.9g %%", math.Floor(p*10*(1+1e-9))/10)
	case p < 1000:
		return fmt.Sprintf("%.0f %%", math.Floor(p))
	}
	return ">1000 %"
}

// floor and ceil show four digits, on the safe side. As for print, 1e-9 is
// allowed for binary noise.
func floor(x float64) string { return digits(x*(1+1e-9), math.Floor) }
func ceil(x float64) string  { return digits(x*(1-1e-9), math.Ceil) }

func digits(x float64, to func(float64) float64) string {
	if x <= 0 {
		return "0"
	}
	scale := min(max(math.Pow(10, 3-math.Floor(math.Log10(x))), 1), 100)
	return fmt.Sprintf("%.9g", to(x*scale)/scale)
}
