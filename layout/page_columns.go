package layout

import (
	"math"
	"slices"
)

// The widths and places of columns.

// columnHair is added to a column so that its widest text is not wider than it.
const columnHair = 0.01

// column is one column; share gives it its place.
type column struct {
	name  string
	whole bool    // its cells stay on one line: codes, dates
	right bool    // its cells end at the right: numbers
	most  float64 // the largest part of the table's width that it takes; 0 for any
	x, w  float64
}

// share gives every column its width between x and x+w. Columns that stay whole come
// first. The others share what is left: a narrow one gets what it needs, the wide
// ones get equal widths. In a table, white that is left over goes between the
// columns; in a list of facts, to the end.
func (t *table) share(x, w float64) *table {
	t.x, t.w = x, w
	rest := w - tableGap*float64(len(t.columns)-1)
	least := 0.0
	for i := range t.columns {
		c := &t.columns[i]
		c.w = paperBold.width(c.name)
		for _, r := range t.rows {
			for _, line := range [][]cell{r.cells, r.then} {
				if i < len(line) {
					c.w = max(c.w, line[i].width(printable(line[i].text)))
				}
			}
		}
		c.w += columnHair
		if c.most > 0 {
			c.w = min(c.w, c.most*w)
		}
		if c.whole {
			least += c.w
		}
	}
	split := least > 0.8*rest // too wide to stay whole
	if split {
		least = 0
	}
	var needs []float64
	for _, c := range t.columns {
		if !c.whole || split {
			needs = append(needs, c.w)
		}
	}
	most := evened(needs, rest-least)
	for i := range t.columns {
		c := &t.columns[i]
		if !c.whole || split {
			c.w = min(c.w, most)
		}
		rest -= c.w
	}
	gap := tableGap
	if t.named() && len(t.columns) > 1 {
		gap += max(0, rest) / float64(len(t.columns)-1)
	}
	for i := range t.columns {
		t.columns[i].x = x
		x += t.columns[i].w + gap
	}
	return t
}

// evened is the width to which the wide ones are cut so that all of them fit in w.
func evened(needs []float64, w float64) float64 {
	needs = slices.Sorted(slices.Values(needs))
	for i, n := range needs {
		if alike := w / float64(len(needs)-i); n > alike {
			return alike
		}
		w -= n
	}
	return math.Inf(1)
}

// halves are the two columns of what is set side by side: their widths, and where the
// right one begins. They are the same throughout a report.
func (s *sheetOf) halves() (left, x, right float64) {
	const between = 24.0
	left = 0.53 * s.width()
	return left, s.left() + left + between, s.width() - left - between
}

// beside sets a and b side by side if they fit, otherwise b below a.
func (s *sheetOf) beside(a, b *table) {
	left, x, right := s.halves()
	a.share(s.left(), left)
	b.share(x, right)
	h := max(a.height(), b.height())
	if h > 0.6*(s.bottom()-s.margin) {
		a.share(s.left(), s.width()).set()
		s.y += sectionGap
		b.share(s.left(), s.width()).set()
		return
	}
	s.room(h)
	top := s.y
	a.set()
	end := s.y
	s.y = top
	b.set()
	s.y = max(s.y, end)
}
