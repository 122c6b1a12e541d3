package site

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"regexp"
	"slices"

	"vouchmark/assess"
	"vouchmark/assess/infile"
)

// table is a CSV file: headings and rows of unchanged cells, with their lines, and what the
// headings mean.
type table struct {
	*reader
	file    string
	comma   rune
	heading row
	rows    []row // below it
	broken  bool  // a bad quotation mark ended the reading

	columns  []column
	place    map[string]int // of each column that the file has
	order    []int          // the places of assess.Columns; -1 for those that it does not have
	decimals decimals

	row   row              // being read
	to    *assess.Location // that it becomes
	bad   map[string]bool  // columns of it that cannot be read
	hertz float64          // of it: converts cycles to milliseconds

	whole  bool // a cell that cannot be read is a problem of the file, not of one location
	cycles bool // a duration in cycles was read

	empty map[string]*emptyWords // by column: words for "empty", such as N/A
}

// readTable reads a CSV file: UTF-8 with or without byte-order mark, lines ended by LF or CRLF,
// separated by comma, semicolon or tab. Blank lines and rows of empty cells are skipped. A file
// without headings is nil; for missing, see [reader.file].
func (r *reader) readTable(file string, missing func()) *table {
	opened, err := infile.Open(r.folder, file, SizeLimit(file))
	if err != nil {
		r.unreadable(file, err, missing)
		return nil
	}
	defer opened.Close()
	text, comma := newTableText(opened)
	t := &table{reader: r, file: file, comma: comma, hertz: r.hertz}
	in := csv.NewReader(text)
	in.Comma = comma
	in.FieldsPerRecord, in.ReuseRecord = -1, true
	total := 0
	others := 0 // lines that the CSV reader did not see
	for {
		next, plain := text.plain()
		if !plain {
			begins := 0 // the line, if it was read already
			if len(text.ready) > 0 {
				begins = text.line
			}
			cells, err := in.Read()
			if err == io.EOF {
				break
			}
			if err != nil {
				if r.textFault(file, err) {
					return nil
				}
				t.syntax(err, begins, others)
				break // what follows a bad quotation mark cannot be separated from it
			}
			line, _ := in.FieldPos(0)
			if begins > 0 {
				others = begins - line
			}
			next = newRow(line+others, cells)
		}
		if next.blank() {
			continue
		}
		line := next.line
		if total += next.cells(); len(t.rows) > mostRows || total > mostCells {
			found, expected := fmt.Sprintf("more than %d rows", mostRows), fmt.Sprintf("at most %d", mostRows)
			if total > mostCells {
				found, expected = fmt.Sprintf("more than %d cells", mostCells), fmt.Sprintf("at most %d", mostCells)
			}
			t.report(file, line, "", found, expected, "nothing from this line on was read")
			t.broken = true
			break
		}
		if len(t.rows) == cap(t.rows) { // not by a quarter, as append does: that copies the rows of a large file often
			t.rows = slices.Grow(t.rows, len(t.rows)+1)
		}
		t.rows = append(t.rows, next)
	}
	if len(t.rows) == 0 {
		if !t.broken {
			t.report(file, 0, "", "no heading line", "a first line that names the columns", "")
		}
		return nil
	}
	last := t.rows[len(t.rows)-1]
	t.heading, t.rows = t.rows[0], t.rows[1:]
	if last.cells() < t.heading.cells() && !text.ended {
		t.report(file, last.line, "", fmt.Sprintf("%d cells and no end of line", last.cells()),
			fmt.Sprintf("%d cells, as in the heading line", t.heading.cells()), "the file seems to be cut off; save it again")
	}
	return t
}

// headingFault reports a problem of the heading line.
func (t *table) headingFault(column, found, expected, do string) {
	t.report(t.file, t.heading.line, column, found, expected, do)
}

// syntax reports a wrong quotation mark in the row that begins on a line; if that is 0, others are the
// lines that the CSV reader did not count.
func (t *table) syntax(err error, line, others int) {
	t.broken = true
	e := &csv.ParseError{}
	errors.As(err, &e) // a file in memory gives no other error
	if line == 0 {
		line = e.StartLine + others
	}
	found := "a stray quotation mark"
	if e.Line != e.StartLine {
		found = fmt.Sprintf("a quotation mark that opens here and is not closed properly up to line %d", line+e.Line-e.StartLine)
	}
	t.report(t.file, line, fmt.Sprintf("character %d", e.Column), found,
		`a cell in quotation marks, with each one inside it doubled ("")`, "nothing below this line was read")
}

var quoted = regexp.MustCompile(`"[^"]*"?`)

// delimiter looks only at the heading line, so that a semicolon inside a cell stays data.
func delimiter(line []byte) rune {
	line = quoted.ReplaceAll(line, nil)
	best, most := ',', 0
	for _, d := range ",;\t" {
		if n := bytes.Count(line, []byte(string(d))); n > most {
			best, most = d, n
		}
	}
	return best
}
