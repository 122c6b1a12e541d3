package intake

import (
	"slices"
	"strings"

	"vouchmark/assess/intake/sheet"
)

// harmlessGroups are words of a heading over several columns that do not change the meaning of those
// below.
var harmlessGroups = []string{"arc", "flash", "result", "results", "data", "hazard", "analysis", "study", "calculated", "summary", "info",
	"information", "calculation", "calculations", "assessment", "evaluation", "equipment", "bus", "location", "general", "label", "id", "shock", "and", "report", "ac", "table"}

// otherGroups are words of such a heading that change the meaning of a number below: the energy in
// maintenance mode, the voltage of a primary.
var otherGroups = []string{"reduced", "minimum", "min", "85", "maintenance", "primary", "secondary", "upstream", "device", "transformer",
	"motor", "cable", "load", "side", "ground", "existing", "proposed", "mitigated", "before", "after", "old", "previous", "shock", "limited",
	"restricted", "prohibited", "phase", "neutral", "peak", "asymmetrical", "breaker", "fuse", "source", "at", "scenario", "mode", "case",
	"alternate", "generator", "emergency", "normal", "conductor", "approach", "feeder", "relay", "protective", "opening", "trip"}

// areTitles reports whether all texts of a row are of the form "Client: X", or follow "Client:".
func areTitles(texts []string) bool {
	before := ""
	for _, t := range texts {
		if t == "" {
			continue
		}
		if !strings.Contains(t+" ", ": ") && !strings.HasSuffix(before, ":") {
			return false
		}
		before = t
	}
	return true
}

// group reads headings over several columns above the heading row: "Arc flash" over "Boundary" and
// "Energy". One over all columns is a title. A heading without a meaning of its own, or one that occurs
// twice, is read together with that of its group; and a group may change the meaning of any heading
// below it.
func (x lexicon) group(s *sheet.Sheet, h *Heading, first int) {
	if first == 0 || !follows(&s.Rows[first-1], &s.Rows[first]) {
		return
	}
	above := &s.Rows[first-1]
	texts := textsOf(above, len(h.Texts))
	if texts == nil || areTitles(texts) {
		return
	}
	groups, merged := make([]string, len(texts)), make([]bool, len(texts))
	for _, m := range s.Merges {
		if m.Top <= above.Number && m.Bottom == above.Number && m.Right > m.Left && m.Right-m.Left+1 < len(texts) {
			for at := m.Left; at <= m.Right && at < len(groups); at++ {
				groups[at], merged[at] = cellAt(above, m.Left), true
			}
		}
	}
	// Without merged cells a group reaches up to the next.
	// A single text at the front is the last line of a title.
	if filled(above) > 1 || texts[0] == "" {
		reach := ""
		for at := range groups {
			if merged[at] {
				reach = ""
				continue
			}
			if texts[at] != "" {
				reach = texts[at]
			}
			groups[at] = reach
		}
	}
	own := 0
	for at, text := range h.Texts {
		if groups[at] == "" || text == "" {
			continue
		}
		words := strings.Fields(strings.Join(wordsOf(groups[at]), " "))
		changes := slices.ContainsFunc(words, func(w string) bool { return slices.Contains(otherGroups, w) })
		harmless := !slices.ContainsFunc(words, func(w string) bool { return !slices.Contains(harmlessGroups, w) })
		twice := 0
		for _, other := range h.Texts {
			if fold(other) == fold(text) {
				twice++
			}
		}
		bare, both := x.readings(text, ""), x.readings(groups[at]+" "+text, "")
		strong := slices.ContainsFunc(bare, func(r reading) bool { return !r.weak })
		switch {
		case !merged[at] && texts[at] == "":
			// It is not certain how far it reaches: so it may remove a meaning, but gives none.
			if twice > 1 || !harmless || changes && !strong {
				h.Texts[at] = text + " (below " + groups[at] + ")"
			}
		case twice > 1, !harmless, changes && !strong, !strong && len(both) > 0:
			h.Texts[at] = groups[at] + " " + text
			own++
		}
	}
	if own > 2 { // it is itself a row of headings
		x.group(s, h, first-1)
	}
}
