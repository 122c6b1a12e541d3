// Package feeds is the plant as a directed graph: from a location to what
// feeds it. It knows places by number alone, and no chain of feeds is too long
// for it.
//
//	graph.go  building the graph
//	with.go   feeds of several times in one picture
//	parts.go  which places are connected
//	leads.go  whether ways lead up from places to others
//	order.go  places in an order in which what feeds comes first
//	loops.go  circular feeds, and what only they feed
package feeds

import "slices"

// Graph is who feeds whom. Places are numbered from 0.
type Graph struct {
	Up     [][]int // for each place, the places that feed it
	Groups [][]int // strongly connected places, what feeds before what is fed
	groups []int   // the group of each place
}

// New is the graph of the feeds up.
func New(up [][]int) *Graph {
	g := &Graph{Up: up, Groups: components(up), groups: make([]int, len(up))}
	for i, group := range g.Groups {
		for _, v := range group {
			g.groups[v] = i
		}
	}
	return g
}

// loop reports whether a group's places feed each other.
func (g *Graph) loop(group []int) bool {
	return len(group) > 1 || slices.Contains(g.Up[group[0]], group[0])
}

// OnLoop reports whether a place is on a loop of feeds.
func (g *Graph) OnLoop(v int) bool { return g.loop(g.Groups[g.groups[v]]) }

// Down is for each place the places that it feeds.
func (g *Graph) Down() [][]int {
	down := make([][]int, len(g.Up))
	for v, ups := range g.Up {
		for _, u := range ups {
			down[u] = append(down[u], v)
		}
	}
	return down
}
