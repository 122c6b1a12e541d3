package layout

import (
	"cmp"
	"runtime"
	"slices"
	"sync"
)

// bySize are the built-in stocks, from the smallest label to the largest.
func bySize() []Stock {
	all := Stocks()
	slices.SortStableFunc(all, func(a, b Stock) int { return cmp.Compare(a.Label.W*a.Label.H, b.Label.W*b.Label.H) })
	return all
}

// fitOn finds the built-in stocks that hold the labels that do not fit on stock, by
// drawing them there, and notes each in the label's errors. tries draws label i. A stock
// for the compact form is not tried for labels in the full one.
func fitOn(stock Stock, errs []error, tries func(i int, s Stock) error) {
	all := slices.DeleteFunc(bySize(), func(s Stock) bool {
		return s.Label.W <= stock.Label.W && s.Label.H <= stock.Label.H || s.compact() && !stock.compact()
	})
	var wg sync.WaitGroup
	cores := runtime.GOMAXPROCS(0)
	for first := range cores {
		wg.Go(func() {
			for i := first; i < len(errs); i += cores {
				misfits := Misfits(errs[i])
				if misfits == nil {
					continue
				}
				if at := slices.IndexFunc(all, func(s Stock) bool { return tries(i, s) == nil }); at >= 0 {
					for _, m := range misfits {
						m.FitsOn = all[at].Name
					}
				}
			}
		})
	}
	wg.Wait()
}
