// Package cores does many independent things at the same time.
package cores

import (
	"runtime"
	"sync"
)

// Each calls do with each number below n, on all cores, in no fixed order. progress, which
// may be nil, is called after each, by one goroutine at a time and in the order of its counts.
func Each(n int, progress func(done, all int), do func(i int)) {
	Workers(runtime.GOMAXPROCS(0), n, progress, func() func(int) { return do })
}

// Workers is Each with a number of goroutines: more than there are cores, for work that waits.
// Each of them takes its own do from worker, which may hold what no two may share.
func Workers(workers, n int, progress func(done, all int), worker func() (do func(i int))) {
	var mu sync.Mutex
	next, done := 0, 0
	take := func(finished bool) int {
		mu.Lock()
		defer mu.Unlock()
		if finished && progress != nil {
			done++
			progress(done, n)
		}
		next++
		return next - 1
	}
	var all sync.WaitGroup
	for range min(n, workers) {
		all.Go(func() {
			do := worker()
			for i := take(false); i < n; i = take(true) {
				do(i)
			}
		})
	}
	all.Wait()
}
