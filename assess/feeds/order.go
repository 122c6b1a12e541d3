package feeds

import "slices"

// components are the strongly connected components of a graph (R. Tarjan,
// Depth-first search and linear graph algorithms, 1972), without recursion.
func components(next [][]int) [][]int {
	const unseen = 0
	n := len(next)
	order, low := make([]int, n), make([]int, n) // order counts from 1
	onStack := make([]bool, n)
	edge := make([]int, n) // the next edge to follow from each vertex
	var stack, path []int
	var groups [][]int
	count := 0
	for root := range n {
		if order[root] != unseen {
			continue
		}
		path = append(path, root)
		for len(path) > 0 {
			v := path[len(path)-1]
			if order[v] == unseen {
				count++
				order[v], low[v] = count, count
				stack = append(stack, v)
				onStack[v] = true
			}
			if edge[v] < len(next[v]) {
				w := next[v][edge[v]]
				edge[v]++
				if order[w] == unseen {
					path = append(path, w)
				} else if onStack[w] {
					low[v] = min(low[v], order[w])
				}
				continue
			}
			path = path[:len(path)-1]
			if len(path) > 0 {
				parent := path[len(path)-1]
				low[parent] = min(low[parent], low[v])
			}
			if low[v] == order[v] {
				at := len(stack)
				for done := false; !done; {
					at--
					onStack[stack[at]] = false
					done = stack[at] == v
				}
				groups = append(groups, slices.Clone(stack[at:]))
				stack = stack[:at]
			}
		}
	}
	return groups
}
