package plant

import (
	"slices"

	"vouchmark/assess"
	"vouchmark/label/record"
)

// Whether one label holds does not depend on the whole plant. Its region is everything
// that may matter: what is upstream by feeds, ties and devices, by the rows and as the
// records of labels have them, and whatever fault current can come from.

// Region tells which locations are needed to judge some of them as if all were there.
// index are their places by id, and joins the places that the records of labels join each
// location with, see [record.Store.Joined].
func Region(all []assess.Outline, index map[string]int, joins []record.Joined, log *assess.Log, wanted []string) []bool {
	g := newPaths(all, index, joins, log)
	keep := make([]bool, len(all))
	var queue []int
	meet := func(i int) {
		if !keep[i] {
			keep[i] = true
			queue = append(queue, i)
		}
	}
	for _, id := range wanted {
		if i, ok := index[id]; ok {
			meet(i)
		}
	}
	told := g.toldAt(log, index)
	for len(queue) > 0 {
		v := queue[len(queue)-1]
		queue = queue[:len(queue)-1]
		for _, u := range g.from[v] {
			meet(u)
		}
		for _, at := range told[v] { // such a change reaches it, wherever it is
			meet(at)
		}
	}
	return keep
}

// paths are, for each location, the locations that its region includes too.
type paths struct{ from [][]int }

func newPaths(all []assess.Outline, index map[string]int, joins []record.Joined, log *assess.Log) *paths {
	connected := slices.ContainsFunc(log.Changes, func(c assess.Change) bool { return c.Kind.Reach == assess.Connected })
	g := &paths{make([][]int, len(all))}
	join := func(i int, ids []string, back func(u int) bool) {
		for _, id := range ids {
			if u, ok := index[id]; ok && u != i {
				g.from[i] = append(g.from[i], u)
				if connected || back(u) {
					g.from[u] = append(g.from[u], i)
				}
			}
		}
	}
	always := func(int) bool { return true }
	never := func(int) bool { return false }
	for i := range all {
		o := &all[i]
		join(i, o.FedFrom, func(u int) bool { return o.SameZone(&all[u]) })
		join(i, o.TiedTo, always)
		join(i, o.DeviceAt, never)
	}
	for k := range joins {
		i, ok := index[joins[k].ID]
		if !ok {
			continue
		}
		if o := &all[i]; !within(joins[k].Up, o.FedFrom, o.DeviceAt) { // nearly all are
			join(i, joins[k].Up, never)
		}
		join(i, joins[k].Ties, always)
	}
	return g
}

// within reports whether all ids are in one of two lists.
func within(ids, a, b []string) bool {
	return !slices.ContainsFunc(ids, func(id string) bool { return !slices.Contains(a, id) && !slices.Contains(b, id) })
}

// toldAt lists for each location the places of the changes that give new values for it.
func (g *paths) toldAt(log *assess.Log, index map[string]int) map[int][]int {
	told := map[int][]int{}
	for i := range log.Changes {
		c := &log.Changes[i]
		at, known := index[c.At]
		if !known {
			continue
		}
		for id := range c.New {
			if to, ok := index[id]; ok {
				told[to] = append(told[to], at)
			}
		}
	}
	return told
}
