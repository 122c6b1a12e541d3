package intake

import (
	"fmt"
	"slices"
	"strings"

	"vouchmark/assess"
	"vouchmark/assess/intake/sheet"
)

// Left is a row that is not a location, and why.
type Left struct {
	Row int    `json:"row"`
	Why string `json:"why"`
}

// sortRows separates the rows below the heading into those that are read and those that are ignored.
// It asks about rows that may or may not be a location.
func (f *file) sortRows() {
	for i := range f.sheet.Rows[:f.heading.last+1] {
		r := &f.sheet.Rows[i]
		if !slices.Contains(f.heading.Rows, r.Number) && !slices.Contains(f.heading.below, r.Number) {
			f.left(r, "above the heading: "+excerpt(r))
			f.tableAbove(i)
		}
	}
	totals := newTotals()
	for i := f.heading.last + 1; i < len(f.sheet.Rows); i++ {
		r := &f.sheet.Rows[i]
		total, why := totals.judge(r)
		switch {
		case f.repeats(r):
			f.left(r, "the heading again")
		case f.otherTable(r):
			f.leaveTable(i)
			return
		case slices.Contains(f.answers.Skip, r.Number):
			f.left(r, "ignored, as you asked: "+excerpt(r))
		case filled(r) == 1 && !f.covered(r):
			f.left(r, "a single cell: "+excerpt(r))
			totals.section()
		case total == isTotal:
			f.left(r, "a row of totals: "+excerpt(r))
			totals.section()
		case total == maybeTotal:
			f.ask(Question{Row: r.Number, What: "a row of totals, or a location with that name: " + excerpt(r) + why,
				Do: fmt.Sprintf("ignore it with --skip %d; if it is a location, change its id in the file", r.Number)})
		case f.tooWide(r):
		case f.isNote(r):
			f.askNote(r)
		default:
			f.rows = append(f.rows, r)
			totals.add(r)
		}
	}
}

// tableAbove asks about another table above: a row that names quantities or ids, with numbers below it.
func (f *file) tableAbove(at int) {
	r := &f.sheet.Rows[at]
	texts := textsOf(r, len(f.heading.Texts))
	if texts == nil || slices.Contains(f.answers.Skip, r.Number) || !slices.ContainsFunc(f.sheet.Rows[at+1:f.heading.last], hasNumber) {
		return
	}
	var names []string
	for _, t := range texts {
		for _, x := range f.readings(t, "") {
			if !x.weak && x.col != nil && (x.name == "id" || x.col.Kind == assess.Quantity) && !slices.Contains(names, x.name) {
				names = append(names, x.name)
			}
		}
	}
	if len(names) > 1 {
		f.ask(Question{Row: r.Number, What: "the headings of another table, above the one that was read: " + excerpt(r),
			Do: fmt.Sprintf("put each table on its own sheet; choose this one with --heading-row %d, or ignore it with --skip %d", r.Number, r.Number)})
	}
}

// covered reports whether a merged cell covers cells of a row: then it continues the row above.
func (f *file) covered(r *sheet.Row) bool {
	return slices.ContainsFunc(f.sheet.Merges, func(m sheet.Merge) bool { return m.Top < r.Number && r.Number <= m.Bottom })
}

func hasNumber(r sheet.Row) bool {
	return slices.ContainsFunc(r.Cells, func(c sheet.Cell) bool { return c.Kind == sheet.Number || isAmount(clean(c.Shown)) })
}

func (f *file) left(r *sheet.Row, why string) {
	f.study.Left = append(f.study.Left, Left{r.Number, why})
}

// excerpt is the beginning of a row.
func excerpt(r *sheet.Row) string {
	var parts []string
	for i := range r.Cells {
		if s := clean(r.Cells[i].Shown); s != "" {
			parts = append(parts, s)
		}
	}
	text := strings.Join(parts, " | ")
	if runes := []rune(text); len(runes) > 60 {
		text = string(runes[:57]) + "…"
	}
	return fmt.Sprintf("%q", text)
}

// repeats reports whether a row repeats a row above the first location (headings, units, the title),
// as on each page of a printed table: nearly all filled cells are the same.
func (f *file) repeats(r *sheet.Row) bool {
	for i := range f.sheet.Rows[:f.heading.last+1] {
		h := &f.sheet.Rows[i]
		if !oneAlike(h, r) {
			continue
		}
		same, all := 0, 0
		for i := range max(len(h.Cells), len(r.Cells)) {
			x, y := cellAt(h, i), cellAt(r, i)
			if x == "" && y == "" {
				continue
			}
			if all++; strings.EqualFold(x, y) || fold(x) == fold(y) && fold(x) != "" {
				same++
			}
		}
		if same >= 2 && same*5 >= all*4 {
			return true
		}
	}
	return false
}

// oneAlike reports whether two rows have an equal cell.
func oneAlike(a, b *sheet.Row) bool {
	for i := range min(len(a.Cells), len(b.Cells)) {
		if s := a.Cells[i].Shown; s != "" && strings.EqualFold(s, b.Cells[i].Shown) {
			return true
		}
	}
	return false
}

// otherTable reports whether a row has the headings of another table: what follows has other columns.
func (f *file) otherTable(r *sheet.Row) bool {
	texts := textsOf(r, len(f.heading.Texts))
	if texts == nil || filled(r) < 2 || numbersBegin(texts) > 2 {
		return false
	}
	sure, any := f.known(texts)
	if sure >= leastKnown && sure*2 >= filled(r) || sure > 0 && any >= 2 && any*2 >= filled(r) {
		return true
	}
	// The heading of the ids again, with others.
	return slices.ContainsFunc(texts, func(t string) bool {
		return slices.ContainsFunc(f.readings(t, ""), func(x reading) bool { return x.name == "id" && !x.weak })
	})
}

// numbersBegin is how many texts begin with a digit: 480 V.
func numbersBegin(texts []string) (n int) {
	for _, t := range texts {
		if t = strings.TrimLeft(t, "<>≤≥=~ +-."); t != "" && t[0] >= '0' && t[0] <= '9' {
			n++
		}
	}
	return n
}

// leaveTable ignores another table, from its headings on, and asks unless the person skipped it.
func (f *file) leaveTable(from int) {
	first := &f.sheet.Rows[from]
	for i := from; i < len(f.sheet.Rows); i++ {
		f.left(&f.sheet.Rows[i], fmt.Sprintf("from another table with headings in row %d: %s", first.Number, excerpt(&f.sheet.Rows[i])))
	}
	if !slices.Contains(f.answers.Skip, first.Number) {
		f.ask(Question{Row: first.Number, What: "the headings of another table: " + excerpt(first),
			Do: fmt.Sprintf("put that table on its own sheet, or ignore it from that row on with --skip %d", first.Number)})
	}
}
