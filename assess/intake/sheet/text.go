package sheet

import (
	"encoding/csv"
	"fmt"
	"io"
	"regexp"
	"strings"
	"unicode/utf8"
)

// readText reads a text file of cells.
func (r *reader) readText(data []byte) {
	if r.Sheet != "" {
		r.report("", 0, "", "a text file, which has no sheets", "a workbook with the sheet "+quote(r.Sheet), "leave out the sheet")
		return
	}
	text, ok := r.decode(data)
	if !ok || r.markup(text) {
		return
	}
	if n := strings.Count(text, "\r") - strings.Count(text, "\r\n"); n > 0 {
		text = strings.ReplaceAll(strings.ReplaceAll(text, "\r\n", "\n"), "\r", "\n")
		r.notef("Carriage returns alone, read as the ends of lines: %d.", n)
	}
	comma, from := r.delimiter(text)
	if comma == 0 {
		return
	}
	r.book.Delimiter = comma
	t := &table{reader: r, text: text, comma: comma, starts: lineStarts(text)}
	t.read(from)
	if len(r.problems) > 0 {
		return
	}
	if len(t.rows) == 0 {
		r.report("", 0, "", "no filled cell", "a table", "ask for the file again")
		return
	}
	r.book.Sheets = []Sheet{{Rows: t.rows}}
}

// lineStarts are the places at which the lines of a text begin.
func lineStarts(text string) []int {
	starts := make([]int, 1, 2+strings.Count(text, "\n"))
	for at := 0; ; {
		n := strings.IndexByte(text[at:], '\n')
		if n < 0 {
			return starts
		}
		at += n + 1
		starts = append(starts, at)
	}
}

// tags are how a text of markup begins, which has no cells.
var tags = regexp.MustCompile(`(?i)^\s*(<\?xml|<!doctype|<html|<table|<svg|<!--|MIME-Version:)`)

// markup refuses a web page or another text that spreadsheets read although it
// has no cells, whatever its name ends in.
func (r *reader) markup(text string) bool {
	if !tags.MatchString(text) {
		return false
	}
	r.report("", 1, "", "a web page or another text in tags, not rows of cells", "a workbook (.xlsx) or a text file (.csv, .txt)", saveAs)
	return true
}

// table is a text file that is split with one delimiter.
type table struct {
	*reader
	text   string
	comma  rune
	starts []int // of the lines
	rows   []Row
	widths []width // of the rows
}

// width is how many cells a row of text has, empty ones at its end too.
type width struct {
	line, cells int
	broken      string // its cell in quotation marks that holds a line break; "" without
	joined      string // its cell in quotation marks that holds delimiters; "" without
	commas      int    // delimiters in joined
}

// newReader splits text into cells. A quotation mark inside a cell that does not begin
// with one, as in 3'-4", is data.
func newReader(text string, comma rune) *csv.Reader {
	in := csv.NewReader(strings.NewReader(text))
	in.Comma = comma
	in.LazyQuotes = true
	in.FieldsPerRecord = -1
	in.ReuseRecord = true
	return in
}

// read reads the rows from a line on (0 for the first).
func (t *table) read(from int) {
	in := newReader(t.text[t.starts[from]:], t.comma)
	for {
		cells, err := in.Read()
		if err == io.EOF {
			break
		}
		line, _ := in.FieldPos(0)
		line += from
		switch {
		case err != nil: // not known to happen with lazy quotation marks
			t.report("", line, "", err.Error(), "a row of cells", saveAsCSV)
			return
		case len(t.rows) == t.limits.rows:
			t.report("", line, "", fmt.Sprintf("more than %d rows", t.limits.rows), fmt.Sprintf("at most %d", t.limits.rows),
				"split the file")
			return
		case len(cells) > t.limits.columns:
			t.report("", line, "", plural(len(cells), "cell", "cells"), fmt.Sprintf("at most %d in a row", t.limits.columns),
				"name the delimiter, or split the file")
			return
		}
		w := width{line: line, cells: len(cells)}
		for i, c := range cells {
			at, column := in.FieldPos(i)
			start := t.starts[at+from-1] + column - 1
			if strings.Contains(t.text[start:min(start+1, len(t.text))]+c, `"`) && !t.sound(&w, c, at+from, start) {
				return
			}
			if c = blanks(c); c == "" {
				continue
			}
			if n := utf8.RuneCountInString(c); n > t.limits.chars {
				t.report("", line, fmt.Sprintf("cell %d", i+1), plural(n, "character", "characters"),
					fmt.Sprintf("at most %d in a cell", t.limits.chars), "")
				return
			}
			if !t.add(i, Cell{Shown: c, Kind: Text}) {
				t.tooMany("", line)
				return
			}
		}
		if len(t.cells) > 0 {
			t.rows = append(t.rows, Row{Number: line, Cells: t.rowCells(), Width: len(cells)})
			t.widths = append(t.widths, w)
		}
	}
	t.swallowed()
}
