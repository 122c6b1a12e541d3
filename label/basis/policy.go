package basis

import (
	"fmt"
	"strings"

	"vouchmark/assess"
	"vouchmark/label/record"
)

// PolicyItems are the owner's decisions that shaped the label, apart from the
// ladder.
func PolicyItems(r *record.Record) []Item {
	p := r.Policy
	items := []Item{
		{"Cutoff", assess.Number(p.Cutoff) + " cal/cm²", "above it the signal word is DANGER: no energized work"},
		{"Edition", p.Edition, "the site follows its tables and clauses"},
		{"Which result governs", string(p.Govern), governs(r)},
		{"Review interval", fmt.Sprintf("%d months", p.ReviewMonths), "at most 5 years (NFPA 70E 130.5(G))"},
	}
	if p.MinimumGloveClass != "" {
		items = append(items, Item{"Minimum glove class", p.MinimumGloveClass, "even where the voltage permits a lower one"})
	}
	items = append(items, longestArc(r)...)
	wear := func(name, kit string, list assess.Words) {
		if len(list[""]) > 0 {
			items = append(items, Item{name, kit, strings.Join(list[""], ", ")})
		}
	}
	wear("Wear at least", r.Kit, r.Wear())
	if m := r.Maintenance; m != nil && m.Kit != r.Kit && p.Rung(m.Kit) != nil {
		wear("Wear at least, with the maintenance switch on", m.Kit, p.Rung(m.Kit).Wear)
	}
	wear("Wear below 1.2 cal/cm²", r.Kit, p.BelowThresholdWear)
	if test := p.DangerTest[""]; len(test) > 0 {
		items = append(items, Item{"Absence-of-voltage test", test[0], "as the label says (danger_test)"})
	}
	if p.ShowClearingTime {
		items = append(items, Item{"Clearing time", "on the label", "of the service device (show_clearing_time; NEC 110.16(B) of 2017 and 2020)"})
	}
	if p.Units != assess.US {
		items = append(items, Item{"Units", string(p.Units), "of the label"})
	}
	return items
}
