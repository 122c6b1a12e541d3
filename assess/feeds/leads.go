package feeds

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

// Lead answers many such questions at once: each place that is asked about is a bit,
// and the bits are passed down the feeds, a few hundred at a time. The work is the size
// of the graph times the number of such loads.
func (g *Graph) Lead(ways []Way) []bool {
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
	for n, load := range loads {
		above := make([]set, len(g.Up)) // for each place, what feeds lead up to
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
