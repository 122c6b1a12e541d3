package site

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"regexp"
	"slices"
	"strings"
	"unicode/utf8"

	"vouchmark/assess"
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
	decimals decimals

	row   row              // being read
	to    *assess.Location // that it becomes
	bad   map[string]bool  // columns of it that cannot be read
	hertz float64          // of it: converts cycles to milliseconds

	whole  bool // a cell that cannot be read is a problem of the file, not of one location
	cycles bool // a duration in cycles was read

	empty map[string]*emptyWords // by column: words for "empty", such as N/A
}

type row struct {
	line  int
	cells []string
}

// readTable reads a CSV file: UTF-8 with or without byte-order mark, lines ended by LF or CRLF,
// separated by comma, semicolon or tab. Blank lines and rows of empty cells are skipped. A file
// without headings is nil; for missing, see [reader.file].
func (r *reader) readTable(file string, missing func()) *table {
	data, ok := r.file(file, missing)
	if !ok {
		return nil
	}
	t := &table{reader: r, file: file, comma: delimiter(data), hertz: r.hertz}
	in := csv.NewReader(bytes.NewReader(hideMarks(data, t.comma)))
	in.Comma = t.comma
	in.FieldsPerRecord = -1
	for {
		cells, err := in.Read()
		if err == io.EOF {
			break
		}
		if err != nil {
			t.syntax(err)
			break // what follows a bad quotation mark cannot be separated from it
		}
		if slices.ContainsFunc(cells, func(c string) bool { return strings.TrimSpace(c) != "" }) {
			line, _ := in.FieldPos(0)
			if len(t.rows) == mostRows {
				t.report(file, line, "", fmt.Sprintf("more than %d rows", mostRows), fmt.Sprintf("at most %d", mostRows),
					"nothing from this line on was read")
				t.broken = true
				break
			}
			showMarks(cells)
			t.rows = append(t.rows, row{line, cells})
		}
	}
	if len(t.rows) == 0 {
		if !t.broken {
			t.report(file, 0, "", "no heading line", "a first line that names the columns", "")
		}
		return nil
	}
	last := t.rows[len(t.rows)-1]
	t.heading, t.rows = t.rows[0], t.rows[1:]
	if len(last.cells) < len(t.heading.cells) && !bytes.HasSuffix(data, []byte("\n")) {
		t.report(file, last.line, "", fmt.Sprintf("%d cells and no end of line", len(last.cells)),
			fmt.Sprintf("%d cells, as in the heading line", len(t.heading.cells)), "the file seems to be cut off; save it again")
	}
	return t
}

// headingFault reports a problem of the heading line.
func (t *table) headingFault(column, found, expected, do string) {
	t.report(t.file, t.heading.line, column, found, expected, do)
}

func (t *table) syntax(err error) {
	t.broken = true
	e := &csv.ParseError{}
	errors.As(err, &e) // a file in memory gives no other error
	found := "a stray quotation mark"
	if e.Line != e.StartLine {
		found = fmt.Sprintf("a quotation mark that opens here and is not closed properly up to line %d", e.Line)
	}
	t.report(t.file, e.StartLine, fmt.Sprintf("character %d", e.Column), found,
		`a cell in quotation marks, with each one inside it doubled ("")`, "nothing below this line was read")
}

var quoted = regexp.MustCompile(`"[^"]*"?`)

// delimiter looks only at the heading line, so that a semicolon inside a cell stays data.
func delimiter(data []byte) rune {
	line, _, _ := bytes.Cut(bytes.TrimLeft(data, "\r\n"), []byte("\n"))
	line = quoted.ReplaceAll(line, nil)
	best, most := ',', 0
	for _, d := range ",;\t" {
		if n := bytes.Count(line, []byte(string(d))); n > most {
			best, most = d, n
		}
	}
	return best
}

// decodeUTF8 removes a byte-order mark and refuses every other encoding.
func (r *reader) decodeUTF8(file string, data []byte) ([]byte, bool) {
	data = bytes.TrimPrefix(data, []byte("\xef\xbb\xbf"))
	bad := badByte(data)
	found, line, column := "text that is not UTF-8", 0, ""
	switch {
	case bytes.HasPrefix(data, []byte("\xff\xfe")), bytes.HasPrefix(data, []byte("\xfe\xff")):
		found = "text in UTF-16"
	case bytes.HasPrefix(data, []byte("PK\x03\x04")):
		found = "a workbook"
	case bad < 0:
		return data, true
	default:
		if bytes.IndexByte(data, 0) >= 0 {
			found = "a file with zero bytes"
		}
		before := data[:bad]
		line = 1 + bytes.Count(before, []byte("\n"))
		column = fmt.Sprintf("character %d", 1+utf8.RuneCount(before[1+bytes.LastIndexByte(before, '\n'):]))
	}
	advice := `save it from the spreadsheet as "CSV UTF-8"`
	if strings.HasSuffix(file, ".toml") {
		advice = "save it from the editor as UTF-8"
	}
	r.report(file, line, column, found, "text in UTF-8", advice)
	return nil, false
}

// badByte is the place of the first byte that is zero or not UTF-8, or -1.
func badByte(data []byte) int {
	if utf8.Valid(data) && bytes.IndexByte(data, 0) < 0 {
		return -1
	}
	for i, r := range string(data) {
		if r == 0 || r == utf8.RuneError && !bytes.HasPrefix(data[i:], []byte(string(r))) {
			return i
		}
	}
	return -1
}
