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
	for _, w := range []struct {
		name string
		list assess.Words
	}{{"To wear", r.Wear()}, {"To wear below 1.2 cal/cm²", p.BelowThresholdWear}} {
		if len(w.list[""]) > 0 {
			items = append(items, Item{w.name, r.Kit, strings.Join(w.list[""], ", ")})
		}
	}
	if p.Units != assess.US {
		items = append(items, Item{"Units", string(p.Units), "in which the label speaks"})
	}
	return items
}
