package feeds

import (
	"math/rand/v2"
	"slices"
	"testing"
)

// A chain of feeds as long as a plant can be must not overflow a stack, and a
// loop of that length must not take for ever.
func TestLongChainAndLoop(t *testing.T) {
	n := 100000
	up := make([][]int, n)
	for i := 1; i < n; i++ {
		up[i] = []int{i - 1}
	}
	g := New(up)
	if on, below := g.Loops(); len(g.Groups) != n || len(on)+len(below) != 0 {
		t.Errorf("chain: %d groups, %d on loops, %d below", len(g.Groups), len(on), len(below))
	}
	up[0] = []int{n / 2}
	if on, below := New(up).Loops(); len(on) != n/2+1 || len(below) != n-n/2-1 {
		t.Errorf("loop: %d on it, %d below", len(on), len(below))
	}
}

// reaches is slow and obviously right: is there a way up from v to w of at
// least one step?
func reaches(up [][]int, v, w int) bool {
	seen := make([]bool, len(up))
	queue := slices.Clone(up[v])
	for len(queue) > 0 {
		at := queue[0]
		queue = queue[1:]
		if at == w {
			return true
		}
		if !seen[at] {
			seen[at] = true
			queue = append(queue, up[at]...)
		}
	}
	return false
}

// More ways are asked for than one load holds: along a chain.
func TestManyWays(t *testing.T) {
	n := 3*sets + 1
	up := make([][]int, n)
	var ways []Way
	for i := range n {
		if i > 0 {
			up[i] = []int{i - 1}
		}
		ways = append(ways, Way{n / 2, i}, Way{i, n / 2})
	}
	for k, is := range New(up).Lead(ways) {
		if want := ways[k].To < ways[k].From; is != want {
			t.Fatalf("%v: %v", ways[k], is)
		}
	}
	if lead := New(up).Lead(nil); len(lead) != 0 {
		t.Error(lead)
	}
}

// On random graphs: what feeds comes first, a place is on a loop just where it
// feeds itself, and is blamed for a loop below it just where no source leads
// to it.
func TestRandom(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	for range 2000 {
		n := 1 + r.IntN(12)
		up := make([][]int, n)
		for v := range up {
			for range r.IntN(3) {
				up[v] = append(up[v], r.IntN(n))
			}
		}
		g := New(up)
		place := make([]int, n)
		for i, group := range g.Groups {
			for _, v := range group {
				place[v] = i
			}
		}
		var ways []Way
		var leads []bool
		for v := range n {
			for w := range n {
				ways, leads = append(ways, Way{v, w}), append(leads, reaches(up, v, w))
			}
		}
		on, below := g.Loops()
		for v := range n {
			source := len(up[v]) == 0
			for w := range n {
				if reaches(up, v, w) {
					source = source || len(up[w]) == 0
					if place[w] > place[v] {
						t.Fatalf("%v: %d comes after %d, which it feeds", up, w, v)
					}
				}
			}
			for _, lead := range [][]bool{g.Lead(ways), g.leadFar(ways)} {
				if !slices.Equal(lead[v*n:v*n+n], leads[v*n:v*n+n]) {
					t.Fatalf("%v: from %d up: %v, want %v", up, v, lead[v*n:v*n+n], leads[v*n:v*n+n])
				}
			}
			path, looped := on[v]
			_, lost := below[v]
			if looped != reaches(up, v, v) || lost != (!source && !looped) {
				t.Fatalf("%v: place %d: on a loop %v, below one %v", up, v, looped, lost)
			}
			for i := range path[:max(0, len(path)-1)] {
				if !slices.Contains(up[path[i]], path[i+1]) {
					t.Fatalf("%v: no loop: %v", up, path)
				}
			}
			if looped && !slices.Contains(path, v) {
				t.Fatalf("%v: %d is not on %v", up, v, path)
			}
		}
	}
}
