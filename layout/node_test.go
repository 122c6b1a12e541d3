package layout

import (
	"fmt"
	"slices"
	"testing"

	"vouchmark/label"
)

// No two leaves of an arrangement have one name: what is drawn asks by name for the height of each.
func TestLeavesDiffer(t *testing.T) {
	var names func(n node) []string
	names = func(n node) (all []string) {
		switch n := n.(type) {
		case leaf:
			return []string{n.name}
		case ruledNode:
			return names(n.node)
		case besideCode:
			return names(n.node)
		case besideMark:
			return names(n.node)
		case beside:
			return append(names(n.left), names(n.right)...)
		case stack:
			for _, k := range n {
				all = append(all, names(k)...)
			}
			return all
		}
		t.Fatalf("%T is not known here", n)
		return nil
	}
	all := 0
	for _, name := range StockNames() {
		stock := mustStock(t, name)
		plans := overlay{&label.Overlay{Words: make([]label.OverlayWords, 2)}}.plans(stock)
		for way := range 8 {
			plans = append(plans, arrangements(stock, way&1 > 0, way&2 > 0, way&4 > 0)...)
		}
		for _, n := range slices.Concat(plans...) {
			is := names(n)
			slices.Sort(is)
			if len(slices.Compact(slices.Clone(is))) != len(is) {
				t.Error(name, fmt.Sprint(is))
			}
			all++
		}
	}
	if all < 100 {
		t.Errorf("%d arrangements", all)
	}
}
