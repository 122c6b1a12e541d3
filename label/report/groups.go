package report

import (
	"fmt"
	"strings"
	"text/tabwriter"
)

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

// table writes rows of cells separated by tabs, with aligned columns.
func table(b *strings.Builder, rows []string) {
	t := tabwriter.NewWriter(b, 0, 0, 2, ' ', 0)
	fmt.Fprintln(t, strings.Join(rows, "\n"))
	t.Flush()
}
