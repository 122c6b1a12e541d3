package assess

import (
	"slices"
	"strings"
)

// motorAllowance is how much more fault current than upstream a location may
// state before it is a caution: motors connected below feed into a fault, some
// four to six times their full-load current (common practice; the figure of
// 10 % of the whole is a house choice).
const motorAllowance = 1.10

// feeds is the plant as a directed graph: from a location to what feeds it.
type feeds struct {
	site  *Site
	index map[string]int
	up    [][]int // for each location, the locations that feed it
	loops map[int][]int
}

func newFeeds(s *Site) *feeds {
	f := &feeds{site: s, index: make(map[string]int, len(s.Locations)), up: make([][]int, len(s.Locations))}
	for i := range s.Locations {
		f.index[s.Locations[i].ID] = i
	}
	for i := range s.Locations {
		for _, id := range s.Locations[i].FedFrom {
			if j, ok := f.index[id]; ok {
				f.up[i] = append(f.up[i], j)
			}
		}
	}
	f.loops = f.findLoops()
	return f
}

// check adds the findings that need the other locations.
func (f *feeds) check(a *Assessment) {
	l := a.Location
	line := l.Cases[0].Line
	for _, id := range l.FedFrom {
		if _, ok := f.index[id]; !ok {
			a.errorf(line, "fed_from", "%q is not a location of this site; correct the feed, or add a row for it", id)
		}
	}
	for i := range l.Cases {
		if c := &l.Cases[i]; c.DeviceAt != "" {
			if _, ok := f.index[c.DeviceAt]; !ok {
				a.errorf(c.Line, "device_at", "%q is not a location of this site; name the location in which %s stands, or add a row for it", c.DeviceAt, nameOr(c.Device, "the device"))
			}
		}
	}
	i := f.index[l.ID]
	if loop, ok := f.loops[i]; ok {
		a.errorf(line, "fed_from", "the feeds go round in a loop: %s; one of them is wrong", f.names(loop))
		return // what stands upstream is not known
	}
	f.checkTransformers(a)
	if source, most := f.sourceFault(i); most > 0 && a.Fault.Value > most*motorAllowance {
		a.cautionf(line, "fault_ka", "%.4g kA is stated here, but at most %.4g kA at %s upstream at the same voltage, and motors seldom add more than 10 %%; compare both with the study report",
			a.Fault.Value, most, source)
	}
}

// sourceFault is the largest fault current stated by the nearest locations
// upstream at the same voltage. It passes through those that state none.
func (f *feeds) sourceFault(from int) (id string, most float64) {
	l := &f.site.Locations[from]
	seen := map[int]bool{from: true}
	queue := slices.Clone(f.up[from])
	for len(queue) > 0 {
		at := queue[0]
		queue = queue[1:]
		u := &f.site.Locations[at]
		if seen[at] || u.Voltage != l.Voltage || u.Supply != l.Supply {
			continue
		}
		seen[at] = true
		var fault float64
		for i := range u.Cases {
			fault = max(fault, float64(u.Cases[i].Fault))
		}
		if fault == 0 {
			queue = append(queue, f.up[at]...)
		} else if fault > most {
			id, most = u.ID, fault
		}
	}
	return id, most
}

// findLoops gives for each location on a loop of feeds one such loop, which
// begins and ends with it. Components come from Tarjan's algorithm, written
// without recursion so that a long chain of feeds cannot overflow a stack.
func (f *feeds) findLoops() map[int][]int {
	loops := map[int][]int{}
	for _, group := range components(f.up) {
		if v := group[0]; len(group) == 1 && !slices.Contains(f.up[v], v) {
			continue
		}
		in := map[int]bool{}
		for _, v := range group {
			in[v] = true
		}
		for _, v := range group {
			if path := roundTrip(f.up, in, v); path != nil {
				loops[v] = path
			}
		}
	}
	return loops
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

func (f *feeds) names(path []int) string {
	ids := make([]string, len(path))
	for i, v := range path {
		ids[i] = f.site.Locations[v].ID
	}
	return strings.Join(ids, " is fed from ")
}

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
