package site

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"strings"
	"unicode/utf8"
)

// table is a CSV file as it stands: headings and rows of cells, with lines.
type table struct {
	file    string
	comma   rune
	heading []string
	line    int // of the heading
	rows    []row
	broken  bool // a broken quotation ended the reading
}

type row struct {
	line  int
	cells []string
}

// readTable reads a CSV file: UTF-8 with or without byte-order mark, lines
// ended by LF or CRLF, parted by comma, semicolon or tab. Blank lines and
// rows of empty cells are passed over.
func readTable(file string, data []byte, ps *problems) *table {
	data, ok := decodeUTF8(file, data, ps)
	if !ok {
		return nil
	}
	t := &table{file: file, comma: delimiter(data)}
	r := csv.NewReader(bytes.NewReader(data))
	r.Comma = t.comma
	r.FieldsPerRecord = -1
	for {
		cells, err := r.Read()
		if err == io.EOF {
			break
		}
		if err != nil {
			t.syntax(err, ps)
			t.broken = true
			break // what follows a broken quotation cannot be told from it
		}
		line, _ := r.FieldPos(0)
		switch {
		case strings.TrimSpace(strings.Join(cells, "")) == "":
		case t.heading == nil:
			t.heading, t.line = cells, line
		default:
			t.rows = append(t.rows, row{line, cells})
		}
	}
	if n := len(t.rows); n > 0 && len(t.rows[n-1].cells) < len(t.heading) && !bytes.HasSuffix(data, []byte("\n")) {
		ps.add(Problem{File: file, Line: t.rows[n-1].line, Found: fmt.Sprintf("%d cells and no end of line", len(t.rows[n-1].cells)), Expected: fmt.Sprintf("%d cells, as in the heading line", len(t.heading)), Do: "the file seems cut off; save it again"})
	}
	if t.heading == nil && len(ps.list) == 0 {
		ps.add(Problem{File: file, Found: "no heading line", Expected: "a first line that names the columns"})
	}
	return t
}

func (t *table) syntax(err error, ps *problems) {
	var e *csv.ParseError
	if !errors.As(err, &e) {
		ps.add(Problem{File: t.file, Found: err.Error(), Expected: "a CSV file"})
		return
	}
	p := Problem{File: t.file, Line: e.StartLine, Column: fmt.Sprintf("character %d", e.Column), Found: "a stray quotation mark",
		Expected: `a cell in quotation marks, with each one inside it doubled ("")`, Do: "nothing below this line was read"}
	if e.Line != e.StartLine {
		p.Found = fmt.Sprintf("a quotation mark that opens here and is not closed properly up to line %d", e.Line)
	}
	ps.add(p)
}

// delimiter looks at the heading line alone, so that a semicolon inside a
// cell stays data.
func delimiter(data []byte) rune {
	data = bytes.TrimLeft(data, "\r\n")
	line, _, _ := bytes.Cut(data, []byte("\n"))
	best, most := ',', 0
	for _, d := range []rune{',', ';', '\t'} {
		count, quoted := 0, false
		for _, r := range string(line) {
			if r == '"' {
				quoted = !quoted
			} else if r == d && !quoted {
				count++
			}
		}
		if count > most {
			best, most = d, count
		}
	}
	return best
}

// decodeUTF8 takes off a byte-order mark and refuses every other encoding.
func decodeUTF8(file string, data []byte, ps *problems) ([]byte, bool) {
	data = bytes.TrimPrefix(data, []byte("\xef\xbb\xbf"))
	found := ""
	switch {
	case bytes.HasPrefix(data, []byte("\xff\xfe")), bytes.HasPrefix(data, []byte("\xfe\xff")):
		found = "text in UTF-16"
	case bytes.HasPrefix(data, []byte("PK\x03\x04")):
		found = "a workbook"
	case bytes.IndexByte(data, 0) >= 0:
		found = zeros
	case !utf8.Valid(data):
		found = noUTF8
	default:
		return data, true
	}
	advice := `save it from the spreadsheet as "CSV UTF-8"`
	if strings.HasSuffix(file, ".toml") {
		advice = "save it from the editor as UTF-8"
	}
	p := Problem{File: file, Found: found, Expected: "text in UTF-8", Do: advice}
	if found == noUTF8 || found == zeros {
		p.Line, p.Column = badPlace(data)
	}
	ps.add(p)
	return nil, false
}

const noUTF8, zeros = "text that is not UTF-8", "a file with zero bytes"

// badPlace is the line and the character of the first byte that is zero or not
// UTF-8.
func badPlace(data []byte) (line int, column string) {
	line, at := 1, 1
	for len(data) > 0 {
		r, n := utf8.DecodeRune(data)
		if r == 0 || r == utf8.RuneError && n == 1 {
			break
		}
		if at++; r == '\n' {
			line, at = line+1, 1
		}
		data = data[n:]
	}
	return line, fmt.Sprintf("character %d", at)
}
