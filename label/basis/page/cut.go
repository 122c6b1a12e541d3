package page

import (
	"cmp"
	"slices"
)

// A large tree is cut into pages. What a page shows of it is a slip: some rows that
// follow each other below the same one, with all that is below them as far as it was
// not cut away. Nothing is on two pages but the row above a slip.

// cutting is a tree, cut so that no page has many more rows than it may.
type cutting struct {
	kids  [][]int // of each row, in the order of the tree
	above []int   // the row above each; none for a root
	roots []int
	slips []slip
	away  [][]int // by row, the numbers of the slips that show what is below it; nil where its own page does
	on    []int   // by row, the number of its slip
}

// slip is what one page shows.
type slip struct {
	head int // the row above it; none where it has roots
	rows []int
}

// none is the row above the roots.
const none = -1

// leastCut is how many rows are worth a page of their own.
const leastCut = 20

// largePart is which part of a page a branch fills that goes before all others.
const largePart = 4

// cut cuts a tree, of which it is given the level of each row in drawing order, into
// pages of at most so many rows. It takes the largest branches away first, and last those
// with rows that are to be kept; where a row has so many small ones that each on a page of
// its own would be more pages, these are dealt out in groups. keep is nil for no such row.
func cut(levels []int, most int, keep []bool) *cutting {
	n := len(levels)
	c := &cutting{kids: make([][]int, n), above: make([]int, n), away: make([][]int, n), on: make([]int, n)}
	var open []int
	for i, level := range levels {
		for len(open) > 0 && levels[open[len(open)-1]] >= level {
			open = open[:len(open)-1]
		}
		c.above[i] = none
		if len(open) == 0 {
			c.roots = append(c.roots, i)
		} else {
			above := open[len(open)-1]
			c.above[i], c.kids[above] = above, append(c.kids[above], i)
		}
		open = append(open, i)
	}
	kept := func(i int) bool { return keep != nil && keep[i] }
	for i := n - 1; i >= 0 && keep != nil; i-- { // what is below a row counts for it
		if above := c.above[i]; above != none && keep[i] {
			keep[above] = true
		}
	}
	size := make([]int, n) // of a row with what is left below it on its page
	moved := make([]bool, n)
	groups := map[int][][]int{}
	fit := func(row int, kids []int) int {
		sum := 1
		for _, k := range kids {
			sum += size[k]
		}
		if sum <= most {
			return sum
		}
		inOrder := slices.SortedStableFunc(slices.Values(kids), func(a, b int) int {
			return cmp.Or(cmp.Compare(btoi(kept(a)), btoi(kept(b))), cmp.Compare(size[b], size[a]))
		})
		// move is which branches to take away until the rest fits: those with more rows than least.
		move := func(least int) (some []int, left int) {
			left = sum
			for _, k := range inOrder {
				if left <= most {
					break
				}
				if size[k] > least && groups[k] == nil && !moved[k] {
					some, left = append(some, k), left-size[k]+1
				}
			}
			return some, left
		}
		take := func(some []int) {
			for _, k := range some {
				size[k], moved[k] = 1, true
			}
		}
		some, left := move(max(leastCut, most/largePart))
		take(some)
		if sum = left; sum <= most {
			return sum
		}
		var dealt [][]int
		taken := 0
		for from, i := 0, 0; i < len(kids); i++ {
			if taken += size[kids[i]]; i+1 == len(kids) || taken+size[kids[i+1]] > most {
				dealt = append(dealt, kids[from:i+1])
				from, taken = i+1, 0
			}
		}
		if some, left = move(leastCut); left <= most && len(some) <= len(dealt) {
			take(some)
			return left
		}
		groups[row] = dealt
		return 1 + len(dealt)
	}
	for i := n - 1; i >= 0; i-- { // what is below a row before the row
		size[i] = fit(i, c.kids[i])
	}
	fit(none, c.roots)
	if g := groups[none]; g == nil {
		c.slips = []slip{{none, c.roots}}
	} else {
		c.slips = []slip{{none, nil}}
		for _, some := range g {
			c.slips = append(c.slips, slip{none, some})
		}
	}
	for i := range n {
		switch {
		case groups[i] != nil:
			for _, some := range groups[i] {
				c.away[i] = append(c.away[i], len(c.slips))
				c.slips = append(c.slips, slip{i, some})
			}
		case moved[i]:
			c.away[i] = []int{len(c.slips)}
			c.slips = append(c.slips, slip{i, c.kids[i]})
		}
	}
	for number := range c.slips {
		c.place(number, c.slips[number].rows)
	}
	return c
}

// place notes on which slip rows are.
func (c *cutting) place(number int, rows []int) {
	for stack := slices.Clone(rows); len(stack) > 0; {
		i := stack[len(stack)-1]
		stack = stack[:len(stack)-1]
		if c.on[i] = number; c.away[i] == nil {
			stack = append(stack, c.kids[i]...)
		}
	}
}
