package report

import (
	"fmt"
	"math"
	"strings"

	"vouchmark/assess/standing"
)

// HeadroomLines words a headroom: a line for each limit, then what is not
// known.
func HeadroomLines(h *standing.Headroom) []string {
	var lines []string
	if h.Case != "" {
		lines = append(lines, "case "+h.Case)
	}
	what := [...]string{"the printed energy", "the kit", "the signal word"}
	for i, r := range []*standing.Room{h.Energy, h.Kit, h.Signal} {
		if r != nil {
			lines = append(lines, fmt.Sprintf("%s holds to %.6g cal/cm² (%s more): %s",
				what[i], r.Limit, percent(r.Percent), drift(r)))
		}
	}
	if h.WhyNot != "" {
		lines = append(lines, h.WhyNot)
	}
	for i := range h.OtherCases {
		lines = append(lines, HeadroomLines(&h.OtherCases[i])...)
	}
	return lines
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

func percent(p float64) string { return fmt.Sprintf("%.4g %%", p) }

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
