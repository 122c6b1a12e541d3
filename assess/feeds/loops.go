package feeds

import "slices"

// Loops finds circular feeds. on has one loop for each place that is on a loop; it
// begins and ends with the same place, and places on one loop share it. below has, for
// each place that only loops feed, the loop that one gets to by following its feeds up.
func (g *Graph) Loops() (on, below map[int][]int) {
	on, below = map[int][]int{}, map[int][]int{}
	fed := make([]bool, len(g.Up)) // some way up leads to a source
	for _, group := range g.Groups {
		if g.loop(group) {
			g.loopsOf(group, on)
			// A loop that something outside feeds has a source for what is
			// below it, whatever is wrong with the loop itself.
			for _, v := range group {
				for _, u := range g.Up[v] {
					fed[v] = fed[v] || g.groups[u] != g.groups[v] && fed[u]
				}
			}
			source := slices.ContainsFunc(group, func(v int) bool { return fed[v] })
			for _, v := range group {
				fed[v] = source
			}
			continue
		}
		v := group[0]
		fed[v] = len(g.Up[v]) == 0
		for _, u := range g.Up[v] {
			fed[v] = fed[v] || fed[u]
		}
		if fed[v] {
			continue
		}
		below[v] = below[g.Up[v][0]]
		if path, ok := on[g.Up[v][0]]; ok {
			below[v] = path
		}
	}
	return on, below
}

func (g *Graph) loopsOf(group []int, on map[int][]int) {
	in := map[int]bool{}
	for _, v := range group {
		in[v] = true
	}
	for _, v := range slices.Sorted(slices.Values(group)) { // the same loop is found in a part of the plant
		if on[v] != nil {
			continue
		}
		path := roundTrip(g.Up, in, v)
		for _, w := range path {
			if on[w] == nil {
				on[w] = path
			}
		}
	}
}

// roundTrip is a shortest path from v back to v inside a component, or nil.
func roundTrip(up [][]int, in map[int]bool, v int) []int {
	before := map[int]int{}
	queue := []int{v}
	for len(queue) > 0 {
		at := queue[0]
		queue = queue[1:]
		for _, next := range up[at] {
			if next == v {
				path := []int{v}
				for ; at != v; at = before[at] {
					path = append(path, at)
				}
				path = append(path, v)
				slices.Reverse(path)
				return path
			}
			if _, seen := before[next]; !seen && in[next] {
				before[next] = at
				queue = append(queue, next)
			}
		}
	}
	return nil
}
