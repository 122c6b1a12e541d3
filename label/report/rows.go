package report

import "strings"

// TableColumn is a column of [Table]: its heading, and the width down to which it may shrink, its texts
// then folded; 0 for one that stays as wide as its widest cell.
type TableColumn struct {
	Head  string
	Least int
}

// Table is a table that fits the width of a terminal, for other packages.
func Table(columns []TableColumn, rows [][]string, width int) string {
	g := grid{}
	for _, c := range columns {
		g.of = append(g.of, column{head: c.Head, least: c.Least})
	}
	for _, r := range rows {
		g.add(r...)
	}
	var b strings.Builder
	g.write(&b, width)
	return b.String()
}
