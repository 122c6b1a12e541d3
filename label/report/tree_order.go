package report

import "vouchmark/assess/feeds"

// none stands for a missing place: a root's feed, a heading's place.
const none = -1

// step is one row of the picture, by number.
type step struct {
	place, feed, depth int
	reference          bool // place is drawn in full elsewhere
}

// standsUnder gives for each place the feed under which it is drawn in full: the
// first feed, in the order of the site, that a source leads to, else the first
// below a loop. A place on a loop has none, nor has a source.
func standsUnder(g *feeds.Graph) []int {
	under := make([]int, len(g.Up))
	lost := make([]bool, len(g.Up))  // it is drawn below the heading of the loops
	for _, group := range g.Groups { // feeds before what they feed
		for _, v := range group {
			under[v] = none
			if g.OnLoop(v) {
				lost[v] = true
				continue
			}
			for _, u := range g.Up[v] {
				if w := under[v]; w == none || lost[w] && !lost[u] || lost[w] == lost[u] && u < w {
					under[v] = u
				}
			}
			lost[v] = under[v] != none && lost[under[v]]
		}
	}
	return under
}

// drawn walks the picture: the sources with what is below each, then the loops
// with what only they feed. What a place feeds comes in the order of the site.
// It handles chains of any length.
func drawn(g *feeds.Graph, under []int) []step {
	down := g.Down()
	var steps []step
	walk := func(root, depth int) {
		stack := []step{{place: root, feed: none, depth: depth}}
		for len(stack) > 0 {
			at := stack[len(stack)-1]
			stack = stack[:len(stack)-1]
			steps = append(steps, at)
			if at.reference {
				continue
			}
			for k := len(down[at.place]) - 1; k >= 0; k-- {
				w := down[at.place][k]
				stack = append(stack, step{w, at.place, at.depth + 1, under[w] != at.place})
			}
		}
	}
	var loops []int
	for v := range under {
		switch {
		case under[v] != none:
		case g.OnLoop(v):
			loops = append(loops, v)
		default:
			walk(v, 0)
		}
	}
	if loops != nil {
		steps = append(steps, step{place: none, feed: none})
	}
	for _, v := range loops {
		walk(v, 1)
	}
	return steps
}
