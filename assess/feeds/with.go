package feeds

import "slices"

// With adds feeds to those of a graph, except those that would make a new loop. Feeds
// that exist at different times may be circular together although none is alone, and a
// picture that shows all of them needs an order.
//
// The places are put in an order: each comes after everything that feeds it and, if
// possible, after all of its added feeds, or at least after one of them. An added feed
// that would come later is not added. What is on a loop of the graph, or below one,
// comes last.
func With(up, more [][]int) [][]int {
	n := len(up)
	added := make([][]int, n)
	for v := range more {
		for _, u := range more[v] {
			if u != v && !slices.Contains(up[v], u) && !slices.Contains(added[v], u) {
				added[v] = append(added[v], u)
			}
		}
	}
	down, addedDown := (&Graph{Up: up}).Down(), (&Graph{Up: added}).Down()
	first, all := make([]int, n), make([]int, n) // feeds that are not yet in order
	// Those of which no feed is missing; an added one is; every one is.
	var ready, able, alone []int
	for v := range n {
		first[v] = len(up[v])
		all[v] = first[v] + len(added[v])
		switch {
		case all[v] == 0:
			ready = append(ready, v)
		case first[v] == 0:
			alone = append(alone, v)
		}
	}
	after := func(v int) { // of a feed of v that is in order now
		switch all[v]--; {
		case all[v] == 0:
			ready = append(ready, v)
		case first[v] == 0:
			able = append(able, v)
		}
	}
	with, placed := make([][]int, n), make([]bool, n)
	join := func(v int) {
		with[v] = slices.Clone(up[v])
		for _, u := range added[v] {
			if placed[u] {
				with[v] = append(with[v], u)
			}
		}
	}
	for {
		var v int
		switch {
		case len(ready) > 0:
			v, ready = ready[0], ready[1:]
		case len(able) > 0:
			v, able = able[0], able[1:]
		case len(alone) > 0:
			v, alone = alone[0], alone[1:]
		default:
			for v := range n {
				if !placed[v] {
					join(v)
				}
			}
			return with
		}
		if placed[v] {
			continue
		}
		join(v)
		placed[v] = true
		for _, w := range down[v] {
			first[w]--
			after(w)
		}
		for _, w := range addedDown[v] {
			after(w)
		}
	}
}
