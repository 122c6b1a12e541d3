package report

import (
	"io"
	"strings"
)

// Columns writes a table that fits the width of a terminal. Its first row is the heading.
func Columns(w io.Writer, width int, rows [][]string) error {
	const least = 8 // of a column that shrinks
	g := &grid{}
	for _, head := range rows[0] {
		g.of = append(g.of, column{head: head, least: least})
	}
	for _, row := range rows[1:] {
		g.add(row...)
	}
	var b strings.Builder
	g.write(&b, width)
	_, err := io.WriteString(w, b.String())
	return err
}
