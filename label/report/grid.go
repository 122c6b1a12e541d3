package report

import "strings"

// column is a column of a table on a terminal.
type column struct {
	head string
	// least is the width down to which the column may shrink, its texts then folded;
	// 0 for one that stays as wide as its widest cell.
	least int
	// wish is the width below which it shrinks only where the others cannot.
	wish int
}

// grid is a table that fits the width of a terminal: where there is too little room,
// texts are folded inside their columns, the widest first.
type grid struct {
	of   []column
	rows [][]string
	// below is true if the last column moves to lines of its own, below its row,
	// where it would be too narrow.
	below bool
	// spans is true if a cell has the room of the empty cells that follow it, too.
	spans bool
}

func (g *grid) add(cells ...string) {
	for i := range cells {
		cells[i] = Printable(cells[i])
	}
	g.rows = append(g.rows, cells)
}

const gap = 2 // between columns

// write writes the heading and the rows. Nothing of it is wider than width, unless
// the columns that cannot shrink are.
func (g *grid) write(b *strings.Builder, width int) {
	n := len(g.of)
	w, fits := g.widths(n, width)
	if !fits && g.below {
		n--
		w, _ = g.widths(n, width)
	}
	heads := make([]string, n)
	for i := range heads {
		heads[i] = g.of[i].head
	}
	g.put(b, heads, w)
	for _, row := range g.rows {
		cells := row[:n]
		if Width(cells[0]) > w[0] { // a long id has its own line
			for _, part := range folded(cells[0], width) {
				b.WriteString(part + "\n")
			}
			cells = append([]string{""}, cells[1:]...)
		}
		g.put(b, cells, w)
		if n < len(row) && row[n] != "" && row[n] != "-" {
			indent := strings.Repeat(" ", w[0]+gap)
			b.WriteString(Wrap(row[n], indent, indent, width))
		}
	}
}

// widths gives the widths of the first n columns, and whether they fit.
func (g *grid) widths(n, width int) (w []int, fits bool) {
	w = make([]int, n)
	word := make([]int, n) // the longest word of a column: headings are folded too
	for i := range w {
		for _, part := range strings.Fields(g.of[i].head) {
			word[i] = max(word[i], Width(part))
		}
		w[i] = word[i]
	}
	for _, row := range g.rows {
		for i := range w {
			cell := Width(row[i])
			if i == 0 && cell > max(width/4, w[0]) {
				continue // it has its own line
			}
			if end := g.span(row[:n], i); end == i {
				w[i] = max(w[i], cell)
				for part := range strings.SplitSeq(row[i], " ") { // a number keeps its unit
					if m := Width(part); m <= width/4 {
						word[i] = max(word[i], m)
					}
				}
			}
		}
	}
	over := room(w, 0, n-1) - width
	for over < 0 { // unfold headings where there is room
		grew := false
		for i := range w {
			if full := Width(g.of[i].head); w[i] < full && full-w[i] <= -over {
				over += full - w[i]
				w[i], grew = full, true
			}
		}
		if !grew {
			break
		}
	}
	narrow := func(least func(i int) int) { // the widest column that may be narrower
		for over > 0 {
			widest := -1
			for i := range w {
				if g.of[i].least > 0 && w[i] > max(least(i), word[i]) && (widest < 0 || w[i] > w[widest]) {
					widest = i
				}
			}
			if widest < 0 {
				return
			}
			w[widest]--
			over--
		}
	}
	narrow(func(i int) int { return max(g.of[i].wish, g.of[i].least) })
	narrow(func(i int) int { return g.of[i].least })
	if over > 0 {
		return w, false
	}
	for _, row := range g.rows { // room for the cells that reach further
		for i := range w {
			if end := g.span(row[:n], i); end > i {
				more := min(Width(row[i])-room(w, i, end), -over)
				w[end] += max(0, more)
				over += max(0, more)
			}
		}
	}
	return w, true
}

// span is the last of the empty cells whose room a cell has; the cell itself if there are
// none or if it is empty.
func (g *grid) span(row []string, i int) int {
	end := i
	for g.spans && row[i] != "" && i > 0 && end+1 < len(row) && row[end+1] == "" {
		end++
	}
	return end
}

// room is the width of the columns from one to another, with the gaps between them.
func room(w []int, from, to int) int {
	sum := gap * (to - from)
	for _, n := range w[from : to+1] {
		sum += n
	}
	return sum
}

// put writes one row of cells, each folded in its column.
func (g *grid) put(b *strings.Builder, cells []string, w []int) {
	var lines [][]string
	for i, cell := range cells {
		for k, part := range folded(cell, room(w, i, g.span(cells, i))) {
			if k == len(lines) {
				lines = append(lines, make([]string, len(cells)))
			}
			lines[k][i] = part
		}
	}
	for _, line := range lines {
		var text strings.Builder
		at, used := 0, 0
		for i, part := range line {
			if part != "" {
				text.WriteString(strings.Repeat(" ", max(0, at-used)) + part)
				used = max(at, used) + Width(part)
			}
			at += w[i] + gap
		}
		b.WriteString(strings.ReplaceAll(text.String(), bound, " ") + "\n")
	}
}
