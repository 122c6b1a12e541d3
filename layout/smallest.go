package layout

import (
	"cmp"
	"slices"
)

// bySize are the built-in stocks, from the smallest label to the largest.
func bySize() []Stock {
	all := Stocks()
	slices.SortStableFunc(all, func(a, b Stock) int { return cmp.Compare(a.Label.W*a.Label.H, b.Label.W*b.Label.H) })
	return all
}

// fitOn finds the smallest built-in stock that holds a label that does not fit on stock, by
// drawing it there, and notes it in the label's errors. A stock for the compact form is not
// tried for labels in the full one.
func fitOn(stock Stock, err error, tries func(Stock) error) {
	misfits := Misfits(err)
	if misfits == nil {
		return
	}
	all := slices.DeleteFunc(bySize(), func(s Stock) bool {
		return s.Label.W <= stock.Label.W && s.Label.H <= stock.Label.H || s.compact() && !stock.compact()
	})
	if at := slices.IndexFunc(all, func(s Stock) bool { return tries(s) == nil }); at >= 0 {
		for _, m := range misfits {
			m.FitsOn = all[at].Name
		}
	}
}
