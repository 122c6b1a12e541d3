package report

import (
	"fmt"
	"slices"
	"strings"

	"vouchmark/assess/standing"
	"vouchmark/label/plant"
)

// Below counts the labels of what a row of the picture feeds, directly or through
// others. Each location counts once in a branch, also where several feeds lead to it,
// and the row itself does not count.
type Below struct {
	Locations int
	States    []StateCount // from bad to good, those that occur
	TooLow    int          // so many of them are printed too low
}

// Words say how many there are in each state, from good to bad: "7 hold, 3 in question
// (1 to cover)".
func (b *Below) Words() string {
	if len(b.States) == 1 && b.TooLow == 0 && b.Locations > 1 {
		return "all " + b.States[0].Words()
	}
	var parts []string
	for _, s := range slices.Backward(b.States) {
		text := fmt.Sprintf("%d %s", s.Count, s.Words())
		if s.State == string(standing.InQuestion) && b.TooLow > 0 {
			text += fmt.Sprintf(" (%d to cover)", b.TooLow)
		}
		parts = append(parts, text)
	}
	return strings.Join(parts, ", ")
}

// Trouble reports whether a row's label is one that a person must look at: it does not
// hold, falls due, or something prevents it from being printed.
func (r *TreeRow) Trouble() bool {
	switch r.State {
	case string(standing.InQuestion), string(standing.Lapsed), string(standing.FallsDue), plant.NotPrinted:
		return true
	}
	return false
}

// Branches counts what is below each row. A branch that a location of another branch
// belongs to is walked; the counts of all others are differences of running sums, so
// that a plant is counted in one pass where nothing is fed twice.
func (t *Tree) Branches() []Below {
	c := newCounter(t.Rows)
	all := make([]Below, len(t.Rows))
	for i := range t.Rows {
		if c.leads[i] {
			all[i] = c.walked(i)
		} else {
			all[i] = c.below(c.sums[c.end[i]].less(&c.sums[i+1]))
		}
	}
	return all
}

// mostStates is how many states a row can be in.
const mostStates = 12

// counts are locations by the number of their state, and how many are printed too low.
type counts struct {
	of     [mostStates]int32
	tooLow int32
}

func (c counts) less(o *counts) counts {
	for i := range c.of {
		c.of[i] -= o.of[i]
	}
	c.tooLow -= o.tooLow
	return c
}

// counter counts branches. end is the row after each branch; target, of a reference, the
// row where that location is drawn in full.
type counter struct {
	rows   []TreeRow
	states []string
	number map[string]int // of a state
	end    []int
	target []int
	leads  []bool   // a reference in the branch leads out of it
	sums   []counts // of all rows before
	seen   []int    // the last walk that came to a row, plus one
}

func newCounter(rows []TreeRow) *counter {
	n := len(rows)
	c := &counter{rows: rows, states: treeStates(), number: map[string]int{}, end: make([]int, n), target: make([]int, n),
		leads: make([]bool, n), sums: make([]counts, n+1), seen: make([]int, n)}
	for i, s := range c.states {
		c.number[s] = i
	}
	at, parent, open := map[string]int{}, make([]int, n), []int{}
	for i := range rows {
		for len(open) > 0 && rows[open[len(open)-1]].Depth >= rows[i].Depth {
			c.end[open[len(open)-1]] = i
			open = open[:len(open)-1]
		}
		parent[i], c.target[i] = none, none
		if len(open) > 0 {
			parent[i] = open[len(open)-1]
		}
		open = append(open, i)
		if rows[i].Kind == FullRow {
			at[rows[i].ID] = i
		}
		c.sums[i+1] = c.sums[i]
		c.sums[i+1].add(c, i)
	}
	for _, i := range open {
		c.end[i] = n
	}
	for i := range rows {
		to, drawn := at[rows[i].ID]
		if rows[i].Kind != ReferenceRow || !drawn {
			continue
		}
		c.target[i] = to
		for a := parent[i]; a != none && (to < a || to >= c.end[a]); a = parent[a] {
			c.leads[a] = true
		}
	}
	return c
}

// add counts a row.
func (s *counts) add(c *counter, i int) {
	r := &c.rows[i]
	if !r.Full() {
		return
	}
	if k, known := c.number[r.State]; known {
		s.of[k]++
	}
	if r.Standing != nil && r.Standing.TooLow {
		s.tooLow++
	}
}

// walked counts a branch row by row, and what its references lead to.
func (c *counter) walked(root int) Below {
	var sum counts
	c.seen[root] = root + 1
	for stack := []int{root}; len(stack) > 0; {
		top := stack[len(stack)-1]
		stack = stack[:len(stack)-1]
		for i := top + 1; i < c.end[top]; {
			if c.seen[i] == root+1 {
				i = c.end[i] // its branch was walked, or is still to be
				continue
			}
			c.seen[i] = root + 1
			sum.add(c, i)
			if to := c.target[i]; to != none && c.seen[to] != root+1 {
				c.seen[to] = root + 1
				sum.add(c, to)
				stack = append(stack, to)
			}
			i++
		}
	}
	return c.below(sum)
}

func (c *counter) below(sum counts) Below {
	b := Below{TooLow: int(sum.tooLow)}
	for i, s := range c.states {
		if n := int(sum.of[i]); n > 0 {
			b.Locations += n
			b.States = append(b.States, StateCount{s, n})
		}
	}
	return b
}

// WholeWords counts the labels of the whole picture.
func WholeWords(t *Tree) string { return t.tally.size() + ": " + t.tally.counted(false) }
