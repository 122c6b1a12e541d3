package intake

import (
	"fmt"
	"regexp"
	"slices"
	"strings"

	"vouchmark/assess"
	"vouchmark/assess/intake/sheet"
	"vouchmark/assess/site"
)

// mergedDown lists the columns in which a merged cell over several rows counts for each of them. A
// number, or an id, is never filled down.
var mergedDown = []string{"area", "fed_from", "device", "device_at"}

// readRows turns the rows into cells of locations.csv. Dates come last, since the rows of locations
// show how dates are written.
func (f *file) readRows() {
	var rows []*sheet.Row
	for _, r := range f.rows {
		row := Row{Number: r.Number, Cells: map[string]string{}, Stated: map[string]string{}}
		f.readCells(r, &row, func(m *Meaning) bool { return m.Kind != assess.Day })
		switch {
		case row.Cells["id"] == "":
			f.withoutID(r, &row)
		case f.noLocation(r, &row):
		default:
			rows = append(rows, r)
			f.study.Rows = append(f.study.Rows, row)
		}
	}
	f.askWide()
	f.settleDates(rows)
	for i, r := range rows {
		f.readCells(r, &f.study.Rows[i], func(m *Meaning) bool { return m.Kind == assess.Day })
	}
	slices.SortStableFunc(f.study.Left, func(a, b Left) int { return a.Row - b.Row })
}

// readCells reads the cells of some columns.
func (f *file) readCells(r *sheet.Row, row *Row, which func(*Meaning) bool) {
	for i := range f.study.Columns {
		c := &f.study.Columns[i]
		for k := range c.Means {
			m := &c.Means[k]
			if !which(m) {
				continue
			}
			text := f.cellOf(r, c, m)
			if text == "" {
				continue
			}
			if isStated(m.Name) {
				row.Stated[m.Name] = text
			} else {
				row.Cells[m.Name] = text
			}
		}
	}
}

// withoutID ignores an empty row, and asks about one that may be another case of the location above.
func (f *file) withoutID(r *sheet.Row, row *Row) {
	if !f.named("id") {
		return // asked once, for the column
	}
	if !hasNumber(*r) && !f.hasNumbers(r, row) {
		f.left(r, "no id and no number: "+excerpt(r))
		return
	}
	do := "give it an id in the file, or ignore it with --skip " + fmt.Sprint(r.Number)
	for _, m := range f.sheet.Merges {
		if r.Number > m.Top && r.Number <= m.Bottom && slices.ContainsFunc(f.study.Columns[m.Left].Means,
			func(x Meaning) bool { return x.Name == "id" }) {
			do = "its id is in a merged cell: unmerge the cell and write the id in each row, with a column case that distinguishes the rows"
		}
	}
	f.ask(Question{Row: r.Number, What: "numbers without an id: " + excerpt(r), Do: do})
}

// tooWide notes a row of a text file with more cells than headings: a delimiter in a text without
// quotation marks moves all cells after it. If all rows have more, and those are empty, each row ends
// with a delimiter.
func (f *file) tooWide(r *sheet.Row) bool {
	if r.Width <= f.heading.width || len(r.Cells) <= f.heading.width && !f.asWide() && r.Width <= f.usualWidth() {
		return false
	}
	f.wide = append(f.wide, r)
	return true
}

// askWide asks about such rows.
func (f *file) askWide() {
	if len(f.wide) == 0 {
		return
	}
	first := f.wide[0]
	what := fmt.Sprintf("%d cells, but only %d headings: %s", first.Width, f.heading.width, excerpt(first))
	if n := len(f.wide); n > 1 {
		what += fmt.Sprintf(", and %d more such rows, the last of them row %d", n-1, f.wide[n-1].Number)
	}
	f.ask(Question{Row: first.Number, What: what,
		Do: "put a cell that contains the delimiter in quotation marks, or give each column a heading"})
}

// asWide reports whether any row is as wide as the headings.
func (f *file) asWide() bool {
	return slices.ContainsFunc(f.sheet.Rows, func(r sheet.Row) bool {
		return r.Width == f.heading.width && !slices.Contains(f.heading.Rows, r.Number) && !slices.Contains(f.heading.below, r.Number)
	})
}

// usualWidth is how many cells most of the rows have.
func (f *file) usualWidth() int {
	if f.rowWidth > 0 {
		return f.rowWidth
	}
	count := map[int]int{}
	for i := f.heading.last + 1; i < len(f.sheet.Rows); i++ {
		r := &f.sheet.Rows[i]
		count[r.Width]++
		if n := count[f.rowWidth]; count[r.Width] > n || count[r.Width] == n && r.Width < f.rowWidth {
			f.rowWidth = r.Width
		}
	}
	return f.rowWidth
}

// notes matches the beginning of a note, a signature or a page footer that is not an id.
var notes = regexp.MustCompile(`(?i)^([*†‡§(].*|.*:|(notes?|page|remarks?|legend|prepared|checked|reviewed|approved|printed|issued|project|` +
	`client|file|drawing|date|rev(ision)?|report|assumptions?|disclaimer|sheet|continued|end)( (by|no\.?|on|of|date|\d+))*\.?)$`)

// noLocation asks about a row with an id but without a number that can be read, or with a doubtful id:
// it may be a note, or a heading of rows.
func (f *file) noLocation(r *sheet.Row, row *Row) bool {
	id := row.Cells["id"]
	if !notes.MatchString(id) && (!f.hasQuantity() || f.hasNumbers(r, row)) {
		return false
	}
	f.askNote(r)
	return true
}

func (f *file) askNote(r *sheet.Row) {
	f.ask(Question{Row: r.Number, What: "a note, or a location without any number: " + excerpt(r),
		Do: fmt.Sprintf("ignore it with --skip %d; if it is a location, enter its voltage in the file", r.Number)})
}

// isNote reports whether a row with few filled columns begins like a note, a signature or a page
// footer.
func (f *file) isNote(r *sheet.Row) bool {
	return filled(r)*4 < f.mostFilled()*3 && notes.MatchString(firstText(r))
}

// mostFilled is how many cells the fullest row below the headings fills.
func (f *file) mostFilled() int {
	if f.rowFilled == 0 {
		for i := f.heading.last + 1; i < len(f.sheet.Rows); i++ {
			f.rowFilled = max(f.rowFilled, filled(&f.sheet.Rows[i]))
		}
	}
	return f.rowFilled
}

// firstText is the first filled cell of a row.
func firstText(r *sheet.Row) string {
	for i := range r.Cells {
		if s := clean(r.Cells[i].Shown); s != "" {
			return s
		}
	}
	return ""
}

// hasNumbers reports whether a row has a number that can be read, or says in words that several are
// missing.
func (f *file) hasNumbers(r *sheet.Row, row *Row) bool {
	missing := 0
	for i := range f.study.Columns {
		c := &f.study.Columns[i]
		for _, m := range c.Means {
			if m.Kind != assess.Quantity || c.At >= len(r.Cells) {
				continue
			}
			if text := row.Cells[m.Name]; text != "" && !strings.HasPrefix(text, "?") {
				return true
			}
			if isNothing(clean(r.Cells[c.At].Shown)) {
				missing++
			}
		}
	}
	return missing > 1
}

// hasQuantity reports whether any heading means a quantity.
func (f *file) hasQuantity() bool {
	return slices.ContainsFunc(f.study.Columns, func(c Column) bool {
		return slices.ContainsFunc(c.Means, func(m Meaning) bool { return m.Kind == assess.Quantity })
	})
}

// named reports whether a heading means a column.
func (f *file) named(name string) bool {
	return slices.ContainsFunc(f.study.Columns, func(c Column) bool {
		return slices.ContainsFunc(c.Means, func(m Meaning) bool { return m.Name == name })
	})
}

// cellOf is a cell of the study as one of locations.csv; "" for an empty one.
func (f *file) cellOf(r *sheet.Row, c *Column, m *Meaning) string {
	cell := sheet.Cell{}
	if c.At < len(r.Cells) {
		cell = r.Cells[c.At]
	}
	shown := clean(cell.Shown)
	if shown == "" && slices.Contains(mergedDown, m.Name) {
		shown = f.merged(r, c)
		cell = sheet.Cell{Shown: shown, Kind: sheet.Text}
	}
	if cell.Kind == sheet.Unsaved {
		f.convert(c, r, "formulas without a stored result: open the file in a spreadsheet and save it", "a formula")
		if m.Kind == assess.Quantity || m.Kind == assess.Day {
			return unread("formula")
		}
		return ""
	}
	if shown == "" {
		return ""
	}
	switch m.Kind {
	case assess.Quantity:
		return f.quantityCell(r, c, m, &cell)
	case assess.Day:
		if isNothing(shown) {
			f.convert(c, r, "left empty", shown)
			return ""
		}
		text, ok := f.date(c.At, &cell)
		if !ok {
			f.convert(c, r, "cannot be read as dates and stop their labels", shown)
		} else if text != shown {
			f.convert(c, r, "written as ISO dates", shown)
		}
		return text
	case assess.Choice:
		word, ok := choice(m.Column, shown)
		switch {
		case isNothing(shown):
			f.convert(c, r, "left empty", shown)
			return ""
		case !ok && m.Name == "class":
			f.convert(c, r, "not a class of equipment, left empty", shown)
			return ""
		case !ok:
			f.convert(c, r, "none of "+strings.Join(m.Choices, ", ")+" and stop their labels", shown)
			return shown
		case fold(word) != fold(shown):
			f.convert(c, r, "written as "+word, shown)
		}
		return word
	}
	if isNothing(shown) && m.Name != "id" {
		f.convert(c, r, "left empty", shown)
		return ""
	}
	return shown
}

// isNothing reports whether a cell says that it is empty, or that the spreadsheet could not calculate
// it.
func isNothing(text string) bool { return site.EmptyWord(text) || site.SpreadsheetError(text) }

func (f *file) quantityCell(r *sheet.Row, c *Column, m *Meaning, cell *sheet.Cell) string {
	text := quantityText(cell)
	if isNothing(text) {
		f.convert(c, r, "left empty", text)
		return ""
	}
	if shown := clean(cell.Shown); cell.Kind == sheet.Number && text == shown && text != cell.Raw && shownNumber.FindString(shown) == shown {
		f.convert(c, r, fmt.Sprintf("shown differs from the stored number, such as %s: the shown one is used", cell.Raw), shown)
	}
	out, ok := f.quantity(m, text)
	if ok && f.maybeThousands(c, m, text) {
		out, ok = unread(text), false
	}
	switch {
	case !ok && isStated(m.Name):
		return text // avoid contact, not specified
	case !ok:
		f.convert(c, r, "cannot be read reliably and stop their labels", text)
	case out != text && !strings.HasSuffix(out, " "+m.Unit.NamedUnit.Symbol()):
		f.convert(c, r, "written with a decimal point, or in another spelling, such as "+out, text)
	}
	return out
}

// merged is the text of the merged cell that a cell belongs to, in a column where it counts for each
// row.
func (f *file) merged(r *sheet.Row, c *Column) string {
	for _, m := range f.sheet.Merges {
		if m.Left != c.At || m.Right != c.At || r.Number <= m.Top || r.Number > m.Bottom {
			continue
		}
		i, ok := slices.BinarySearchFunc(f.sheet.Rows, m.Top, func(x sheet.Row, top int) int { return x.Number - top })
		if !ok {
			return ""
		}
		text := cellAt(&f.sheet.Rows[i], c.At)
		if text == "" {
			return ""
		}
		all := f.study.Filled
		if n := len(all); n > 0 && all[n-1].Heading == c.Heading && all[n-1].Text == text {
			all[n-1].Rows = append(all[n-1].Rows, r.Number)
		} else {
			f.study.Filled = append(all, Filled{c.Heading, []int{r.Number}, text})
		}
		return text
	}
	return ""
}

// convert counts a way in which cells were not taken unchanged.
func (f *file) convert(c *Column, r *sheet.Row, what, text string) {
	all := f.study.Converted
	kind := func(what string) string { before, _, _ := strings.Cut(what, ", such as "); return before }
	i := slices.IndexFunc(all, func(x Converted) bool { return x.Heading == c.Heading && kind(x.What) == kind(what) })
	if i < 0 {
		f.study.Converted = append(all, Converted{c.Heading, what, 1, text, r.Number})
		return
	}
	all[i].Count++
}
