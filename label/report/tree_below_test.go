package report

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"testing"

	"vouchmark/assess/feeds"
	"vouchmark/assess/standing"
)

// What a branch feeds is what a walk of the feeds reaches, each location once, on plants
// with double feeds and loops.
func TestBranches(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 7))
	states := []string{string(standing.Holds), string(standing.InQuestion), string(standing.Lapsed)}
	twice := 0
	for n := range 300 {
		up := make([][]int, 1+r.IntN(40))
		for i := range up {
			for range r.IntN(3) {
				if k := r.IntN(len(up)); k != i && (n%3 == 0 || k < i) && !slices.Contains(up[i], k) {
					up[i] = append(up[i], k)
				}
			}
		}
		g := feeds.New(up)
		tree, state := &Tree{}, make([]string, len(up))
		for i := range state {
			state[i] = states[r.IntN(len(states))]
		}
		for _, s := range drawn(g, standsUnder(g)) {
			row := TreeRow{Kind: FullRow, Depth: s.depth, ID: fmt.Sprint(s.place)}
			switch {
			case s.place == none:
				row = TreeRow{Kind: HeadingRow, Heading: loopHeading, Depth: s.depth}
			case s.reference:
				row.Kind = ReferenceRow
				twice++
			default:
				row.State = state[s.place]
			}
			tree.Rows = append(tree.Rows, row)
		}
		down := g.Down()
		for i, b := range tree.Branches() {
			if tree.Rows[i].Kind != FullRow {
				continue
			}
			var at int
			fmt.Sscan(tree.Rows[i].ID, &at)
			reached, want := map[int]bool{at: true}, map[string]int{}
			for stack := []int{at}; len(stack) > 0; {
				v := stack[0]
				stack = stack[1:]
				for _, w := range down[v] {
					if !reached[w] {
						reached[w] = true
						want[state[w]]++
						stack = append(stack, w)
					}
				}
			}
			sum := 0
			for _, s := range b.States {
				sum += s.Count
				if want[s.State] != s.Count {
					t.Errorf("plant %d: %s feeds %d that are %s, want %d", n, tree.Rows[i].ID, s.Count, s.State, want[s.State])
				}
			}
			if sum != b.Locations || sum != len(reached)-1 {
				t.Errorf("plant %d: %s feeds %d, want %d", n, tree.Rows[i].ID, b.Locations, len(reached)-1)
			}
		}
	}
	if twice < 100 {
		t.Errorf("only %d locations are fed twice", twice)
	}
}

func TestBelowWords(t *testing.T) {
	hold, question := StateCount{string(standing.Holds), 7}, StateCount{string(standing.InQuestion), 3}
	for want, b := range map[string]Below{
		"all hold":                           {Locations: 7, States: []StateCount{hold}},
		"1 holds":                            {Locations: 1, States: []StateCount{{string(standing.Holds), 1}}},
		"7 hold, 3 in question (1 to cover)": {Locations: 10, States: []StateCount{question, hold}, TooLow: 1},
	} {
		if got := b.Words(); got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
}
