package site

import (
	"bytes"
	"strings"
)

// row is a row of a table: its line in the file, and its cells as one text. A large file has
// millions of cells, most of them empty or a few letters: a text each would be most of the memory.
type row struct {
	line int
	text string   // the cells, with a byte after each but the last
	ends []uint32 // of the cells in the text
}

func newRow(line int, cells []string) row {
	ends, end := make([]uint32, len(cells)), 0
	for i, c := range cells {
		end += len(c)
		ends[i] = uint32(end) // a line is shorter than 4 GiB: see longestLine
		end++
	}
	return row{line, showMarks(strings.Join(cells, ",")), ends}
}

// plainRow is the row of a line without its end, if every quotation mark in it opens a cell or closes
// one. Nearly all rows are so, and need no CSV reader. Into the buffer go the cells.
func plainRow(number int, line []byte, comma byte, buffer []byte) (r row, used []byte, ok bool) {
	ends := make([]uint32, 0, 1+bytes.Count(line, []byte{comma}))
	for text := buffer[:0]; ; text = append(text, comma) {
		cell := line
		if len(line) > 0 && line[0] == '"' {
			end := 1 + bytes.IndexByte(line[1:], '"')
			if end == 0 || end+1 < len(line) && line[end+1] != comma {
				return row{}, text, false
			}
			cell, line = line[1:end], line[end+1:]
		} else if end := bytes.IndexByte(line, comma); end >= 0 {
			cell, line = line[:end], line[end:]
		} else {
			line = nil
		}
		if bytes.IndexByte(cell, '"') >= 0 {
			return row{}, text, false
		}
		text = append(text, cell...)
		ends = append(ends, uint32(len(text)))
		if len(line) == 0 {
			return row{number, showMarks(string(text)), ends}, text, true
		}
		line = line[1:]
	}
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
	return r.text[r.ends[at-1]+1 : r.ends[at]]
}

// blank reports whether no cell has text.
func (r *row) blank() bool {
	for i := range r.ends {
		if strings.TrimSpace(r.cell(i)) != "" {
			return false
		}
	}
	return true
}

// all are the cells.
func (r *row) all() []string {
	all := make([]string, len(r.ends))
	for i := range all {
		all[i] = r.cell(i)
	}
	return all
}
