package basis

import (
	"fmt"
	"strings"

	"vouchmark/assess"
	"vouchmark/label/record"
)

// PolicyItems are the owner's decisions that made the label what it is, beside
// the ladder.
func PolicyItems(r *record.Record) []Item {
	p := r.Policy
	items := []Item{
		{"Cutoff", assess.Number(p.Cutoff) + " cal/cm²", "above it no kit is allowed, and the signal word is DANGER"},
		{"Edition", p.Edition, "whose tables and clauses the site follows"},
		{"Which result governs", string(p.Govern), governs(r)},
		{"Interval of review", fmt.Sprintf("%d months", p.ReviewMonths), "at most 5 years by NFPA 70E 130.5(G)"},
	}
	if p.MinimumGloveClass != "" {
		items = append(items, Item{"Least glove class", p.MinimumGloveClass, "whatever the voltage allows"})
	}
	items = append(items, longestArc(r)...)
	wear := func(name, kit string, list assess.Words) {
		if len(list[""]) > 0 {
			items = append(items, Item{name, kit, strings.Join(list[""], ", ")})
		}
	}
	wear("To wear", r.Kit, r.Wear())
	if m := r.Maintenance; m != nil && m.Kit != r.Kit && p.Rung(m.Kit) != nil {
		wear("To wear with the maintenance switch on", m.Kit, p.Rung(m.Kit).Wear)
	}
	wear("To wear below 1.2 cal/cm²", r.Kit, p.BelowThresholdWear)
	if p.Units != assess.US {
		items = append(items, Item{"Units", string(p.Units), "in which the label speaks"})
	}
	return items
}
