package layout

import (
	"runtime"
	"sync"
)

// ahead is how many results for each core may wait for an earlier one.
const ahead = 2

// inOrder does n pieces of work on all cores and passes their results to take, one after
// the other in the order of the pieces. Each core gets its own function from worker. No
// more than a few results wait, however many pieces there are: see [ahead].
func inOrder[T any](n int, worker func() func(i int) T, take func(i int, done T)) {
	cores := max(1, min(runtime.GOMAXPROCS(0), n))
	type piece struct {
		i    int
		done chan<- T
	}
	pieces := make(chan piece)
	waiting := make(chan (<-chan T), ahead*cores)
	go func() {
		for i := range n {
			done := make(chan T, 1)
			waiting <- done
			pieces <- piece{i, done}
		}
		close(pieces)
		close(waiting)
	}()
	var all sync.WaitGroup
	for range cores {
		all.Go(func() {
			work := worker()
			for p := range pieces {
				p.done <- work(p.i)
			}
		})
	}
	i := 0
	for done := range waiting {
		take(i, <-done)
		i++
	}
	all.Wait()
}
