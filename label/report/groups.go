package report

// groups holds lists by a key, the keys in the order in which they came.
type groups[K comparable, V any] struct {
	keys []K
	of   map[K][]V
}

func (g *groups[K, V]) add(k K, v V) {
	if g.of == nil {
		g.of = map[K][]V{}
	}
	if g.of[k] == nil {
		g.keys = append(g.keys, k)
	}
	g.of[k] = append(g.of[k], v)
}
