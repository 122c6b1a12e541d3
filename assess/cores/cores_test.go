package cores

import (
	"slices"
	"testing"
)

// Everything is done once, by no more goroutines than asked for, and told in order.
func TestWorkers(t *testing.T) {
	for _, n := range []int{0, 1, 2, 3, 1000} {
		for _, workers := range []int{1, 2, 16} {
			times, told, made := make([]int, n), []int{}, make(chan bool, 20)
			Workers(workers, n, func(done, all int) {
				if told = append(told, done); all != n {
					t.Errorf("%d of %d", all, n)
				}
			}, func() func(int) {
				made <- true
				return func(i int) { times[i]++ }
			})
			if len(made) != min(workers, n) || len(told) != n || !slices.IsSorted(told) ||
				slices.ContainsFunc(times, func(k int) bool { return k != 1 }) {
				t.Errorf("%d by %d: %d goroutines, told %v, done %v", n, workers, len(made), told, times)
			}
		}
	}
	sum := make([]int, 50)
	Each(50, nil, func(i int) { sum[i] = i })
	for i, x := range sum {
		if x != i {
			t.Errorf("%d: %d", i, x)
		}
	}
}
