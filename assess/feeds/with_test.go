package feeds

import (
	"maps"
	"math/rand/v2"
	"slices"
	"testing"
)

// Feeds that are added make no loop that was not there; where all together make
// none, all are there.
func TestWithAddsNoLoop(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 8))
	some := func(n, most int) [][]int {
		up := make([][]int, n)
		for v := range up {
			for range r.IntN(most) {
				if u := r.IntN(n); !slices.Contains(up[v], u) {
					up[v] = append(up[v], u)
				}
			}
		}
		return up
	}
	loops := func(up [][]int) []int {
		on, _ := New(up).Loops()
		return slices.Sorted(maps.Keys(on))
	}
	met := map[bool]int{}
	for range 5000 {
		n := 1 + r.IntN(8)
		up, more := some(n, 3), some(n, 2)
		with := With(up, more)
		all, dropped := make([][]int, n), 0
		for v := range n {
			all[v] = slices.Concat(up[v], more[v])
			for _, u := range up[v] {
				if !slices.Contains(with[v], u) {
					t.Fatalf("%v with %v: %d is not fed from %d", up, more, v, u)
				}
			}
			for _, u := range with[v] {
				if !slices.Contains(all[v], u) {
					t.Fatalf("%v with %v: %d is fed from %d", up, more, v, u)
				}
			}
			for _, u := range more[v] {
				if !slices.Contains(with[v], u) {
					dropped++
				}
			}
		}
		if !slices.Equal(loops(with), loops(up)) {
			t.Fatalf("%v with %v is %v: loops at %v, were at %v", up, more, with, loops(with), loops(up))
		}
		sound := len(loops(all)) == 0
		if sound && dropped > 0 {
			t.Fatalf("%v with %v is %v: feeds are left out", up, more, with)
		}
		met[sound]++
	}
	if met[true] < 100 || met[false] < 100 {
		t.Errorf("%v", met)
	}
}

// A place is put after an added feed where that can be: the first place is the
// root of what it feeds at another time.
func TestWithPrefersAll(t *testing.T) {
	// 0 feeds 1, and 1 feeds 0 at another time; 2 is a source that feeds 0.
	if with := With([][]int{{2}, {0}, nil}, [][]int{{1}, nil, nil}); !slices.Equal(with[0], []int{2}) || !slices.Equal(with[1], []int{0}) {
		t.Errorf("%v", with)
	}
	// 2 begins a branch and feeds 1 at another time, which feeds 0 at a third one,
	// and 0 feeds 1 at a fourth.
	if with := With(make([][]int, 3), [][]int{{1}, {0, 2}, nil}); !slices.Equal(with[0], []int{1}) || !slices.Equal(with[1], []int{2}) {
		t.Errorf("%v", with)
	}
	// 1 is where a branch begins, so it has no feed in it.
	if with := With([][]int{nil, nil}, [][]int{{1}, nil}); !slices.Equal(with[0], []int{1}) {
		t.Errorf("%v", with)
	}
}

// Which places are connected, against widening a set.
func TestParts(t *testing.T) {
	r := rand.New(rand.NewPCG(9, 10))
	for range 2000 {
		n := 1 + r.IntN(10)
		a, b := make([][]int, n), make([][]int, n)
		for range r.IntN(n + 1) {
			a[r.IntN(n)] = []int{r.IntN(n)}
			v := r.IntN(n)
			b[v] = append(b[v], r.IntN(n))
		}
		both := make([][]int, n)
		for _, join := range [][][]int{a, b} {
			for v, others := range join {
				for _, u := range others {
					both[v], both[u] = append(both[v], u), append(both[u], v)
				}
			}
		}
		part := Parts(n, a, b)
		for v := range n {
			for w := range n {
				if (part[v] == part[w]) != (v == w || reaches(both, v, w)) {
					t.Fatalf("%v and %v: %d in part %d, %d in part %d", a, b, v, part[v], w, part[w])
				}
			}
		}
	}
}
