package record

import (
	"runtime"
	"sync"
	"sync/atomic"
)

// cores is how many goroutines share work that waits for nothing.
func cores() int { return runtime.GOMAXPROCS(0) }

// inParallel calls do for each number below n, from a number of goroutines. progress, which
// may be nil, is called by one of them at a time, in the order of its counts.
func inParallel(workers, n int, progress func(done, all int), do func(i int)) {
	var next atomic.Int64
	var mu sync.Mutex
	var wg sync.WaitGroup
	done := 0
	report := func() {
		if progress != nil {
			mu.Lock()
			defer mu.Unlock()
			done++
			progress(done, n)
		}
	}
	for range min(n, workers) {
		wg.Go(func() {
			for i := next.Add(1) - 1; i < int64(n); i = next.Add(1) - 1 {
				do(int(i))
				report()
			}
		})
	}
	wg.Wait()
}
