package intake

import (
	"fmt"
	"regexp"
	"slices"
	"strings"

	"vouchmark/assess/intake/sheet"
)

// Left is a row that is no location, and why.
type Left struct {
	Row int    `json:"row"`
	Why string `json:"why"`
}

// sortRows parts the rows below the heading into those that are read and those
// that are left out. What holds numbers and has no id is neither: it stops a
// write, since it may be the worst case of a location.
func (f *file) sortRows() {
	for i := range f.sheet.Rows[:f.heading.last+1] {
		r := &f.sheet.Rows[i]
		if slices.Contains(f.heading.Rows, r.Number) || r.Number == f.heading.Units {
			continue
		}
		f.left(r, "above the heading: "+excerpt(r))
	}
	for i := f.heading.last + 1; i < len(f.sheet.Rows); i++ {
		r := &f.sheet.Rows[i]
		switch {
		case slices.Contains(f.answers.Skip, r.Number):
			f.left(r, "left out as asked: "+excerpt(r))
		case f.repeatsHeading(r):
			f.left(r, "the heading again")
		case f.repeatsUnits(r):
			f.left(r, "the row of units again")
		case filled(r) == 1:
			f.left(r, "one cell alone: "+excerpt(r))
		case f.isTotal(r):
			f.left(r, "a row of totals: "+excerpt(r))
		default:
			f.rows = append(f.rows, r)
		}
	}
}

func (f *file) left(r *sheet.Row, why string) {
	f.study.Left = append(f.study.Left, Left{r.Number, why})
}

// excerpt is what a row begins with.
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

// repeatsHeading reports whether a row says the headings again, as each page of a
// printed table does.
func (f *file) repeatsHeading(r *sheet.Row) bool {
	for i := range f.sheet.Rows[:f.heading.last+1] {
		h := &f.sheet.Rows[i]
		if slices.Contains(f.heading.Rows, h.Number) && sameTexts(h, r) {
			return true
		}
	}
	return false
}

func (f *file) repeatsUnits(r *sheet.Row) bool {
	return f.heading.Units > 0 && sameTexts(&f.sheet.Rows[f.heading.last], r)
}

// sameTexts reports whether nearly all filled cells of two rows are the same.
func sameTexts(a, b *sheet.Row) bool {
	same, all := 0, 0
	for i := range max(len(a.Cells), len(b.Cells)) {
		x, y := fold(cellAt(a, i)), fold(cellAt(b, i))
		if x == "" && y == "" {
			continue
		}
		all++
		if x == y {
			same++
		}
	}
	return same >= 2 && same*5 >= all*4
}

var totalWord = regexp.MustCompile(`(?i)^(grand |sub ?-?)?(totals?|sums?|averages?|mean|counts?|maximum|minimum|max|min)\b[ :.]*`)

// isTotal reports whether a row sums up others: its first text says so and nothing
// else, or the rest of the row is numbers alone. An id such as MAX-1 or a
// location called Total Flow Panel has more texts beside it.
func (f *file) isTotal(r *sheet.Row) bool {
	first, texts := "", 0
	for i := range r.Cells {
		c := &r.Cells[i]
		s := clean(c.Shown)
		if s == "" || c.Kind == sheet.Number || numeric.MatchString(s) {
			continue
		}
		if texts++; first == "" {
			first = s
		}
	}
	m := totalWord.FindString(first)
	if m == "" {
		return false
	}
	return m == first || texts == 1
}
