package site

import "strings"

// row is a row of a table: its line in the file, and its cells as one text. A large file has
// millions of cells, most of them empty or a few letters: a text each would be most of the memory.
type row struct {
	line int
	text string
	ends []uint32 // of the cells in the text
}

func newRow(line int, cells []string) row {
	ends, end := make([]uint32, len(cells)), 0
	for i, c := range cells {
		end += len(c)
		ends[i] = uint32(end) // a line is shorter than 4 GiB: see longestLine
	}
	return row{line, showMarks(strings.Join(cells, "")), ends}
}

// cells is the number of cells.
func (r *row) cells() int { return len(r.ends) }

// cell is the cell at a place, unchanged; "" where the row has none.
func (r *row) cell(at int) string {
	switch {
	case at < 0 || at >= len(r.ends):
		return ""
	case at == 0:
		return r.text[:r.ends[0]]
	}
	return r.text[r.ends[at-1]:r.ends[at]]
}

// all are the cells.
func (r *row) all() []string {
	all := make([]string, len(r.ends))
	for i := range all {
		all[i] = r.cell(i)
	}
	return all
}
