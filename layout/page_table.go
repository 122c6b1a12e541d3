package layout

import "slices"

// table is rows below named columns, on as many pages as they take. Title and names
// are repeated on every page. A table without names is a list of facts.
type table struct {
	*sheetOf
	title   string
	columns []column
	rows    []row
	pad     float64 // above and below the text of a row
	x, w    float64
}

// row is the cells of a row, a text under the first two of them and across both, then
// a second line of cells, and notes across the table.
type row struct {
	cells []cell
	below string
	then  []cell
	notes []cell
}

// setLine is one line of a row in its place: how many lines below the first, and
// in which column.
type setLine struct {
	down int
	column
	cell
}

// cell is a text and how it is set.
type cell struct {
	font
	text string
}

func plain(text string) cell  { return cell{paperBody, text} }
func strong(text string) cell { return cell{paperBold, text} }

const (
	tableGap  = 10.0 // least white between columns
	tablePad  = 4.0  // of a row with a rule below it
	factPad   = 0.8  // of a fact
	titlePad  = 8.0  // a rule with white below it, and white below the title
	firstLine = 0.82 // from the top of a line to its baseline, in type sizes
)

// newTable is a table across the page.
func newTable(s *sheetOf, title string, columns ...column) *table {
	return &table{sheetOf: s, title: title, columns: columns, pad: tablePad, x: s.left(), w: s.width()}
}

// add appends a row.
func (t *table) add(cells ...cell) { t.rows = append(t.rows, row{cells: cells}) }

// named reports whether the columns have names.
func (t *table) named() bool {
	return slices.ContainsFunc(t.columns, func(c column) bool { return c.name != "" })
}

// names are the names of the columns as a row.
func (t *table) names() (r row) {
	for _, c := range t.columns {
		r.cells = append(r.cells, strong(c.name))
	}
	return r
}

// lines are the lines of a row, and how many lines high it is.
func (t *table) lines(r row) (all []setLine, deep int) {
	put := func(down int, at column, c cell) int {
		lines := c.lines(c.text, at.w)
		for k, l := range lines {
			all = append(all, setLine{down + k, at, cell{c.font, l}})
		}
		deep = max(deep, down+len(lines))
		return len(lines)
	}
	under, second := 0, 0
	for i, c := range r.cells {
		n := put(0, t.columns[i], c)
		if i < 2 {
			under = max(under, n)
		}
		if i < len(r.then) && r.then[i].text != "" { // the lines of other columns may be longer
			second = max(second, n)
		}
	}
	if r.below != "" {
		across, to := t.columns[0], t.columns[1]
		across.w, across.right = to.x+to.w-across.x, false
		put(under, across, plain(r.below))
	}
	for i, c := range r.then {
		put(second, t.columns[i], c)
	}
	for _, c := range r.notes {
		put(deep, column{x: t.x, w: t.w}, c)
	}
	return all, max(deep, 1)
}

// rowHeight is the height of a row.
func (t *table) rowHeight(r row) float64 {
	_, n := t.lines(r)
	return float64(n)*paperLead + 2*t.pad
}

// top is the height of what is above the rows.
func (t *table) top() (h float64) {
	if t.title != "" {
		h = paperHead.lead() + titlePad
	}
	if t.named() {
		_, n := t.lines(t.names())
		h += float64(n)*paperLead + 3
	}
	return h
}

// height is the height of the table on one page.
func (t *table) height() float64 {
	h := t.top()
	for _, r := range t.rows {
		h += t.rowHeight(r)
	}
	return h
}

// set sets the table. Its heading is never left alone at the foot of a page.
func (t *table) set() {
	h := t.top()
	if len(t.rows) > 0 {
		h += t.kept(t.rows[0])
	}
	t.room(h)
	t.heads(t.title)
	t.sheetOf.head = func() { t.heads(t.title + " (continued)") }
	for i, r := range t.rows {
		t.row(r, i == len(t.rows)-1)
	}
	t.sheetOf.head = nil
}

func (t *table) heads(title string) {
	if t.title != "" {
		t.sectionAt(t.x, t.w, sectionRule, title)
	}
	if t.named() {
		names, n := t.lines(t.names())
		for _, l := range names {
			t.cell(l.column, t.y+float64(l.down)*paperLead, l.cell)
		}
		t.y += float64(n)*paperLead + 3
		t.line(t.x, t.y, t.w, 0, 0.8, Black)
	}
}

// kept is how much of a row stays together: all of it, unless it is so long that it
// would leave a large hole at the foot of a page.
func (t *table) kept(r row) float64 {
	return min(t.rowHeight(r), 0.3*(t.bottom()-t.margin))
}

// row sets a row, with a rule below it unless it is the last.
func (t *table) row(r row, last bool) {
	t.room(t.kept(r))
	lines, n := t.lines(r)
	t.y += t.pad
	for k := range n {
		if n := len(t.pages); k > 0 {
			if t.room(paperLead); len(t.pages) > n {
				t.y += t.pad
			}
		}
		for _, l := range lines {
			if l.down == k {
				t.cell(l.column, t.y, l.cell)
			}
		}
		t.y += paperLead
	}
	t.y += t.pad
	if t.named() && !last {
		t.line(t.x, t.y, t.w, 0, 0.3, Black)
	}
}

// cell sets one line in a column.
func (t *table) cell(c column, y float64, text cell) {
	x := c.x
	if c.right {
		x += c.w - text.width(text.text)
	}
	t.text(x, y+text.size*firstLine, text.font, Black, text.text)
}
