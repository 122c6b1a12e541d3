package feeds

import "slices"

// Way asks whether feeds lead from a place up to another, in one step or more.
type Way struct{ From, To int }

// sets is how many places are carried at once.
const sets = 256

type set [sets / 64]uint64

func (a *set) or(b *set) {
	for i := range a {
		a[i] |= b[i]
	}
}

// nearby is how many places upstream are looked at for one question alone.
const nearby = 64

// Lead answers many such questions. Nearly always few places are upstream, and each question
// is answered by looking at them. The others are answered together: each place that is asked
// about is a bit, and the bits are passed down the feeds, a few hundred at a time.
func (g *Graph) Lead(ways []Way) []bool {
	lead := make([]bool, len(ways))
	var far []Way
	var number []int // of each of them
	queue := make([]int, 0, nearby)
	for k, w := range ways {
		known := false
		if lead[k], known = g.near(w, queue); !known {
			far, number = append(far, w), append(number, k)
		}
	}
	if far != nil {
		for i, is := range g.leadFar(far) {
			lead[number[i]] = is
		}
	}
	return lead
}

// near looks at the places upstream of one; known is false if they are too many.
func (g *Graph) near(w Way, queue []int) (lead, known bool) {
	queue = queue[:0]
	for at, v := -1, w.From; ; v = queue[at] {
		for _, u := range g.Up[v] {
			switch {
			case u == w.To:
				return true, true
			case slices.Contains(queue, u):
			case len(queue) == nearby:
				return false, false
			default:
				queue = append(queue, u)
			}
		}
		if at++; at == len(queue) {
			return false, true
		}
	}
}

// leadFar is Lead by bits. The work is the size of the graph times the number of loads.
func (g *Graph) leadFar(ways []Way) []bool {
	bit, asked := make([]int, len(g.Up)), 0 // of each place that is asked about, from 1 on
	for _, w := range ways {
		if bit[w.To] == 0 {
			asked++
			bit[w.To] = asked
		}
	}
	loads := make([][]int, asked/sets+1) // of ways
	for k, w := range ways {
		loads[bit[w.To]/sets] = append(loads[bit[w.To]/sets], k)
	}
	lead := make([]bool, len(ways))
	above := make([]set, len(g.Up)) // for each place, what feeds lead up to
	for n, load := range loads {
		clear(above)
		self := func(v int, to *set) {
			if b := bit[v]; b > 0 && b/sets == n {
				to[b%sets/64] |= 1 << (b % 64)
			}
		}
		for _, group := range g.Groups { // what feeds comes first
			var s set
			for _, v := range group {
				if g.loop(group) {
					self(v, &s)
				}
				for _, u := range g.Up[v] { // places of the group itself have no bits yet
					self(u, &s)
					s.or(&above[u])
				}
			}
			for _, v := range group {
				above[v] = s
			}
		}
		for _, k := range load {
			b := bit[ways[k].To]
			lead[k] = above[ways[k].From][b%sets/64]&(1<<(b%64)) != 0
		}
	}
	return lead
}
