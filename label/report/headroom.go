package report

import (
	"fmt"
	"math"
	"strings"

	"vouchmark/assess"
	"vouchmark/assess/standing"
)

// HeadroomLines says how far a label is from a stronger kit and from DANGER, then
// what is not known. The margin to the next printed energy is only in the JSON.
func HeadroomLines(h *standing.Headroom) []string {
	var lines []string
	if h.Case != "" {
		lines = append(lines, "case "+h.Case)
	}
	for _, m := range margins(h) {
		lines = append(lines, fmt.Sprintf("margin %s to %s, at %s cal/cm²: %s",
			percent(m.room.Percent), m.to, oneDecimal(m.room.Limit), drift(m.room)))
	}
	switch {
	case h.Energy == nil:
		lines = append(lines, "the margin is not known: "+h.WhyNot)
	case h.Kit == nil:
		lines = append(lines, "no margin: the label already says DANGER")
	case h.WhyNot != "":
		lines = append(lines, h.WhyNot)
	}
	for i := range h.OtherCases {
		lines = append(lines, HeadroomLines(&h.OtherCases[i])...)
	}
	return lines
}

// margin is the room up to the next kit or signal word.
type margin struct {
	to   string
	room *standing.Room
}

const danger = string(assess.Danger)

// margins returns those to the next kit and to DANGER, the nearer first. If no
// kit is between, they are one.
func margins(h *standing.Headroom) []margin {
	switch {
	case h.Kit == nil || h.Signal == nil:
		return nil
	case h.Kit.Limit == h.Signal.Limit:
		return []margin{{danger, h.Signal}}
	}
	return []margin{{"the next kit", h.Kit}, {danger, h.Signal}}
}

// marginWords gives the nearest margins in a few words, at most so many; "" for none.
func marginWords(h *standing.Headroom, most int) string {
	var parts []string
	for _, m := range margins(h) {
		text := percent(m.room.Percent)
		if m.to == danger {
			text += " to " + m.to
		}
		if len(parts) < most {
			parts = append(parts, text)
		}
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

// drift says how far each input may move while the others stay.
func drift(r *standing.Room) string {
	var parts []string
	if r.ClearMS != nil && r.ClearReducedMS != nil {
		parts = append(parts, fmt.Sprintf("arc duration up to %s ms at the full and %s ms at the reduced arcing current",
			floor(*r.ClearMS), floor(*r.ClearReducedMS)))
	} else if r.ClearMS != nil {
		parts = append(parts, fmt.Sprintf("arc duration up to %s ms", floor(*r.ClearMS)))
	}
	if f := r.FaultKA; f != nil {
		parts = append(parts, fmt.Sprintf("fault current from %s kA (%s) to %s kA (%s)", ceil(f[0]), r.LowEnd,
			floor(f[1]), r.HighEnd))
	}
	return strings.Join(parts, "; ") + "; each with the others unchanged"
}

// percent shows a margin; of ten times as much and more it only says that.
func percent(p float64) string {
	if p >= 1000 {
		return ">1000 %"
	}
	return assess.Percent(p)
}

// oneDecimal shows an energy with one decimal at least.
func oneDecimal(cal assess.CalCM2) string {
	text := fmt.Sprintf("%.6g", cal)
	if !strings.Contains(text, ".") {
		text += ".0"
	}
	return text
}

// floor and ceil show four digits, rounded to the safe side. As for printed numbers, 1e-9 is
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
