package sheet

import (
	"cmp"
	"encoding/xml"
	"fmt"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"
)

// grid is a sheet that is being read.
type grid struct {
	*workbook
	*stream
	to          Sheet
	row, column int // of the cell that is being read, or the last one; column from 0
	hidden      []span
	counts      struct{ unsaved, covered, unseen int }
	firsts      struct{ unsaved, covered, unseen string } // cells
	marks       []mark                                    // of the row that is being read
}

// span is a run of hidden columns, from 0, both ends in it.
type span struct{ from, to int }

// mark is a cell of the row that is being read whose number format is still to
// be applied.
type mark struct {
	column int
	look   look
}

// errReported says that reading ended with a problem that is reported.
var errReported = fmt.Errorf("reported")

// readSheet reads the cells of a sheet (18.3.1.99).
func (w *workbook) readSheet(of sheetPart) Sheet {
	g := &grid{workbook: w, to: Sheet{Name: of.name, Hidden: of.hidden}}
	err := w.walk(of.part, func(s *stream) error {
		g.stream = s
		return s.each(func(xml.StartElement) error {
			return s.each(func(e xml.StartElement) error {
				switch e.Name.Local {
				case "cols":
					return s.each(g.readColumn)
				case "sheetData":
					return s.each(g.readRow)
				case "mergeCells":
					return s.each(g.readMerge)
				}
				return nil
			})
		})
	})
	if err == nil {
		err = w.show()
	}
	if late := w.allShown(); err == nil {
		err = late
	}
	switch {
	case err == errReported:
	case err != nil:
		w.partFault(of.name, of.part, err)
	default:
		g.uncover()
		g.finish()
	}
	return g.to
}

// refuse reports a cell or row that cannot exist.
func (g *grid) refuse(column, found, expected, do string) error {
	g.report(g.to.Name, g.row, column, found, expected, do)
	return errReported
}

// readColumn reads whether columns are hidden (18.3.1.13).
func (g *grid) readColumn(e xml.StartElement) error {
	width, err := strconv.ParseFloat(attr(e, "width"), 64)
	from, _ := strconv.Atoi(attr(e, "min"))
	to, _ := strconv.Atoi(attr(e, "max"))
	if (yes(e, "hidden") || err == nil && width == 0) && 1 <= from && from <= to && len(g.hidden) < g.limits.columns {
		g.hidden = append(g.hidden, span{from - 1, to - 1})
	}
	return nil
}

// readRow reads a row (18.3.1.73).
func (g *grid) readRow(e xml.StartElement) error {
	if e.Name.Local != "row" {
		return nil
	}
	next := g.row + 1
	if r := attr(e, "r"); r != "" {
		n, err := strconv.Atoi(r)
		if err != nil || n < next {
			return g.refuse("", fmt.Sprintf("a damaged sheet: row %s behind row %d", quote(r), g.row), "rows in order", saveAgain)
		}
		next = n
	}
	g.row = next
	if g.row > g.limits.rows {
		return g.refuse("", fmt.Sprintf("more than %d rows", g.limits.rows), fmt.Sprintf("at most %d", g.limits.rows), onlySheet)
	}
	height, err := strconv.ParseFloat(attr(e, "ht"), 64)
	row := Row{Number: g.row, Hidden: yes(e, "hidden") || err == nil && height == 0}
	g.column, g.marks = -1, g.marks[:0]
	if err := g.each(g.readCell); err != nil || len(g.cells) == 0 {
		return err
	}
	row.Cells = g.rowCells()
	g.to.Rows = append(g.to.Rows, row)
	for _, m := range g.marks {
		g.pending = append(g.pending, unshown{&row.Cells[m.column], m.look})
	}
	if len(g.pending) >= showAtOnce {
		return g.show()
	}
	return nil
}

// name is the cell that is being read, such as B7.
func (g *grid) name() string { return columnName(g.column) + strconv.Itoa(g.row) }

// readCell reads a cell (18.3.1.4).
func (g *grid) readCell(e xml.StartElement) error {
	if e.Name.Local != "c" {
		return nil
	}
	var ref, style, kind string
	for _, a := range e.Attr {
		switch a.Name.Local {
		case "r":
			ref = a.Value
		case "s":
			style = a.Value
		case "t":
			kind = a.Value
		}
	}
	before := g.column
	g.column++
	if ref != "" {
		column, r, ok := cellAt(ref)
		if !ok || r != g.row || column <= before {
			return g.refuse("cell "+ref, fmt.Sprintf("a damaged sheet: a cell %s behind cell %s%d", quote(ref), columnName(before), g.row),
				"cells in order", saveAgain)
		}
		g.column = column
	}
	if g.column >= g.limits.columns {
		return g.refuse("", fmt.Sprintf("more than %d columns", g.limits.columns), fmt.Sprintf("at most %d", g.limits.columns), onlySheet)
	}
	value, stored, formula, inline := "", false, false, ""
	err := g.each(func(e xml.StartElement) (err error) {
		switch e.Name.Local {
		case "v":
			value, err = g.text()
			stored = true
		case "f":
			formula = true
		case "is":
			inline, err = g.richText()
		}
		return err
	})
	if err != nil {
		return err
	}
	c, as, err := g.cell(kind, style, value, inline)
	switch {
	case err != nil:
		return g.refuse("cell "+g.name(), err.Error(), "a cell that can be read", saveAgain)
	case formula && (g.recalculate || value == "" && !(stored && kind == "str")):
		// A formula whose result is the empty text has an empty value of the type str.
		c, as = Cell{Kind: Unsaved}, look{}
		g.count(&g.counts.unsaved, &g.firsts.unsaved)
	case c.Kind == Empty:
		return nil
	}
	if n := utf8.RuneCountInString(c.Shown); n > g.limits.chars {
		return g.refuse("cell "+g.name(), plural(n, "character", "characters"), fmt.Sprintf("at most %d in a cell", g.limits.chars), "")
	}
	if !g.add(g.column, c) {
		g.tooMany(g.to.Name, g.row)
		return errReported
	}
	if as != (look{}) {
		g.marks = append(g.marks, mark{g.column, as})
	}
	return nil
}

// count counts a cell for a note.
func (g *grid) count(n *int, first *string) {
	if *n++; *n == 1 {
		*first = g.name()
	}
}

// cell is a cell's kind and value by its type (18.18.11). For a number with a number
// format, as says what its Shown will be made from.
func (g *grid) cell(kind, style, value, inline string) (c Cell, as look, err error) {
	text := value
	if kind != "str" {
		value = strings.TrimSpace(value)
	}
	switch kind {
	case "", "n":
		return g.number(value, style)
	case "b":
		switch value {
		case "0":
			return Cell{Shown: "FALSE", Kind: Truth}, look{}, nil
		case "1":
			return Cell{Shown: "TRUE", Kind: Truth}, look{}, nil
		}
	case "e":
		if value != "" {
			return Cell{Shown: blanks(value), Kind: Fault}, look{}, nil
		}
	case "d":
		if m := isoDay.FindStringSubmatch(value); m != nil {
			return Cell{Shown: m[1], Raw: m[1], Kind: Day}, look{}, nil
		}
	case "s":
		if value == "" {
			return Cell{}, look{}, nil
		}
		n, err := strconv.Atoi(value)
		if err != nil || n < 0 || n >= len(g.strings) {
			return Cell{}, look{}, fmt.Errorf("the shared string %s of %d", quote(value), len(g.strings))
		}
		text = g.strings[n]
	case "inlineStr":
		text = inline
	case "str":
		text = unescape(value)
	default:
		return Cell{}, look{}, fmt.Errorf("the type %s", quote(kind))
	}
	if text = blanks(text); text == "" {
		return Cell{}, look{}, nil
	}
	if strings.ContainsRune(text, utf8.RuneError) {
		return Cell{}, look{}, fmt.Errorf("the sign U+FFFD, in place of a character that was lost: %s", quote(text))
	}
	return Cell{Shown: text, Kind: Text}, look{}, nil
}

var isoDay = regexp.MustCompile(`^(\d{4}-\d{2}-\d{2})(?:T00:00(?::00(?:\.0*)?)?Z?)?$`)

var isNumber = regexp.MustCompile(`^[+-]?([0-9]+\.?[0-9]*|\.[0-9]+)([eE][+-]?[0-9]+)?$`)

// number is a cell with a number, which its number format may make a date.
func (g *grid) number(value, style string) (c Cell, as look, err error) {
	if value == "" {
		return Cell{}, look{}, nil
	}
	x, err := strconv.ParseFloat(value, 64)
	if err != nil || !isNumber.MatchString(value) {
		return Cell{}, look{}, fmt.Errorf("the number %s", quote(value))
	}
	s := section{general: true}
	if len(g.formats) > 0 {
		n, err := strconv.Atoi(cmp.Or(style, "0"))
		if err != nil || n < 0 || n >= len(g.formats) {
			return Cell{}, look{}, fmt.Errorf("the cell style %s of %d", quote(style), len(g.formats))
		}
		s = g.formats[n].of(x)
	}
	c = Cell{Raw: plain(x), Kind: Number}
	if s.nothing {
		return c, look{}, nil
	}
	if s.general {
		if s.unsigned {
			x = math.Abs(x)
		}
		c.Shown = general(x)
		return c, look{}, nil
	}
	if s.day || s.clock {
		// A day with a time, or one too early to be the same in every program, is a text.
		c = Cell{Kind: Text}
		if iso, ok := dayOf(x, g.date1904); ok && s.day {
			c = Cell{Raw: iso, Kind: Day}
		}
	}
	return c, s.lookOf(x, value), nil
}

// plain is a number without an exponent: the shortest text that reads back as the same
// number.
func plain(x float64) string {
	if x == 0 {
		return "0" // also for -0
	}
	return strconv.FormatFloat(x, 'f', -1, 64)
}

// general is a number as it is shown without a number format: with at most 15 digits,
// which is as many as spreadsheets calculate with. In a narrow column they show fewer.
func general(x float64) string {
	rounded, err := strconv.ParseFloat(strconv.FormatFloat(x, 'g', 15, 64), 64)
	if err != nil { // the largest numbers of all
		return plain(x)
	}
	return plain(rounded)
}

// readMerge reads a block of merged cells (18.3.1.55).
func (g *grid) readMerge(e xml.StartElement) error {
	if e.Name.Local != "mergeCell" {
		return nil
	}
	ref := attr(e, "ref")
	from, to, _ := strings.Cut(ref, ":")
	left, top, ok := cellAt(from)
	right, bottom, ok2 := cellAt(to)
	if !ok || !ok2 || left > right || top > bottom {
		g.report(g.to.Name, 0, "", "a damaged sheet: the merged cells "+quote(ref), "merged cells such as A1:B2", saveAgain)
		return errReported
	}
	if len(g.to.Merges) == g.limits.merges {
		g.report(g.to.Name, 0, "", fmt.Sprintf("more than %d blocks of merged cells", g.limits.merges), "at most that", onlySheet)
		return errReported
	}
	g.to.Merges = append(g.to.Merges, Merge{top, left, bottom, right})
	return nil
}

// uncover deletes the values of cells that a merged cell covers: nobody sees them in
// the spreadsheet, and they may be years old.
func (g *grid) uncover() {
	slices.SortFunc(g.to.Merges, func(a, b Merge) int { return cmp.Or(a.Top-b.Top, a.Left-b.Left) })
	for _, m := range g.to.Merges {
		at, _ := slices.BinarySearchFunc(g.to.Rows, m.Top, func(r Row, top int) int { return r.Number - top })
		for ; at < len(g.to.Rows) && g.to.Rows[at].Number <= m.Bottom; at++ {
			row := &g.to.Rows[at]
			for column := m.Left; column <= m.Right && column < len(row.Cells); column++ {
				if (row.Number != m.Top || column != m.Left) && row.Cells[column].Kind != Empty {
					row.Cells[column] = Cell{}
					g.row, g.column = row.Number, column
					g.count(&g.counts.covered, &g.firsts.covered)
				}
			}
		}
	}
}

// finish removes what is empty by now, and adds the notes that a person must read.
func (g *grid) finish() {
	kept, columns := g.to.Rows[:0], 0
	var hidden []int
	for _, row := range g.to.Rows {
		n := len(row.Cells)
		for n > 0 && row.Cells[n-1].Kind == Empty {
			n--
		}
		if row.Cells = row.Cells[:n]; n == 0 {
			continue
		}
		kept, columns = append(kept, row), max(columns, n)
		if row.Hidden {
			hidden = append(hidden, row.Number)
		}
		for i, c := range row.Cells {
			if c.Kind == Number && c.Shown == "" {
				g.row, g.column = row.Number, i
				g.count(&g.counts.unseen, &g.firsts.unseen)
			}
		}
	}
	g.to.Rows = kept
	var names []string
	for column := range columns {
		if slices.ContainsFunc(g.hidden, func(s span) bool { return s.from <= column && column <= s.to }) {
			g.to.HiddenColumns = append(g.to.HiddenColumns, column)
			names = append(names, columnName(column))
		}
	}
	note := func(n int, what, where string) {
		if n > 0 {
			g.notef("Sheet %s: %s: %s.", quote(g.to.Name), what, where)
		}
	}
	first := func(n int, cell string) string { return fmt.Sprintf("%d, the first in %s", n, cell) }
	note(len(hidden), "hidden rows, read like the others", runs(hidden))
	note(len(names), "hidden columns", strings.Join(names, ", "))
	note(g.counts.unsaved, "formulas without a result that can be relied on (open the file in the spreadsheet program, save it, and read it again)",
		first(g.counts.unsaved, g.firsts.unsaved))
	note(g.counts.covered, "values that merged cells cover, which nobody sees, left out", first(g.counts.covered, g.firsts.covered))
	note(g.counts.unseen, "numbers that their number format does not show", first(g.counts.unseen, g.firsts.unseen))
}

// runs are numbers in ascending order, as "5, 9-12"; of very many, only the first.
func runs(numbers []int) string {
	var out []string
	for i := 0; i < len(numbers); {
		if len(out) == 20 {
			return strings.Join(out, ", ") + ", …"
		}
		to := i
		for to+1 < len(numbers) && numbers[to+1] == numbers[to]+1 {
			to++
		}
		if s := strconv.Itoa(numbers[i]); to == i {
			out = append(out, s)
		} else {
			out = append(out, s+"-"+strconv.Itoa(numbers[to]))
		}
		i = to + 1
	}
	return strings.Join(out, ", ")
}

// cellAt is the column (from 0) and row of a reference such as B7.
func cellAt(ref string) (column, row int, ok bool) {
	i := 0
	for ; i < len(ref) && i < 4 && 'A' <= ref[i] && ref[i] <= 'Z'; i++ {
		column = column*26 + int(ref[i]-'A') + 1
	}
	row, err := strconv.Atoi(ref[i:])
	return column - 1, row, i > 0 && err == nil && 0 < row && row <= math.MaxInt32 && ref[i] != '+'
}

// columnName is a column (from 0) as spreadsheets name it: A, …, Z, AA, …
func columnName(column int) string {
	s := ""
	for n := column + 1; n > 0; n = (n - 1) / 26 {
		s = string(rune('A'+(n-1)%26)) + s
	}
	return s
}

// richText is the text of a shared or inline string that was opened last: its own and
// that of its runs, without phonetic guides (18.4.8, 18.4.4, 18.4.6).
func (s *stream) richText() (string, error) {
	text := ""
	err := s.each(func(e xml.StartElement) error {
		switch e.Name.Local {
		case "t":
			t, err := s.text()
			text += t
			return err
		case "r":
			return s.each(func(e xml.StartElement) error {
				if e.Name.Local != "t" {
					return nil
				}
				t, err := s.text()
				text += t
				return err
			})
		}
		return nil
	})
	return unescape(text), err
}

var escaped = regexp.MustCompile(`_x([0-9A-Fa-f]{4})_`)

// unescape restores the characters that XML cannot contain (22.9.2.19).
func unescape(s string) string {
	if !strings.Contains(s, "_x") {
		return s
	}
	return escaped.ReplaceAllStringFunc(s, func(e string) string {
		n, _ := strconv.ParseUint(e[2:6], 16, 32) // four hexadecimal digits
		return string(rune(n))
	})
}
