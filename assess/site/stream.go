package site

import (
	"bufio"
	"bytes"
	"errors"
	"fmt"
	"io"
	"strings"
	"unicode/utf8"

	"vouchmark/assess/infile"
)

// tableText is the text of a CSV file, line by line: UTF-8, with the quotation marks hidden that
// the CSV reader would trip over, and with no cell and no row beyond its limit, so that the CSV
// reader never keeps more of the file than a row. Reading ends with a *textFault where it cannot
// go on.
type tableText struct {
	in    *bufio.Reader
	marks *marks
	line  int    // the number of the line that was read last
	ready []byte // of that line, to be handed on
	ended bool   // that line has a line end
	long  []byte // a line that is longer than the buffer
	cells []byte // of the last plain row, to be used again
	err   error
}

// textFault is a place in a file where it cannot be read on.
type textFault struct {
	line                        int
	column, found, expected, do string
}

func (f *textFault) Error() string { return f.found }

// longestLine is the most bytes of a line: all cells of a row.
const longestLine = mostColumns * (longestCell + len(`"",`))

// newTableText reads up to the heading line, and finds what separates its cells.
func newTableText(from io.Reader) (*tableText, rune) {
	t := &tableText{in: bufio.NewReaderSize(from, 64*infile.KiB)}
	var line []byte
	for t.err == nil {
		if line = t.next(); len(bytes.TrimRight(line, "\r\n")) > 0 {
			break
		}
	}
	comma := delimiter(line)
	t.marks = newMarks(comma)
	t.hand(line)
	return t, comma
}

func (t *tableText) Read(p []byte) (int, error) {
	for len(t.ready) == 0 && t.err == nil {
		t.hand(t.next())
	}
	if len(t.ready) == 0 {
		return 0, t.err
	}
	n := copy(p, t.ready)
	t.ready = t.ready[n:]
	return n, nil
}

// plain is the next line as a row, if that needs no CSV reader; see [plainRow]. A blank line has no
// cells. Where it is false, the CSV reader reads the next row.
func (t *tableText) plain() (r row, ok bool) {
	if len(t.ready) > 0 || t.err != nil || t.marks.quoted || t.marks.asIs {
		return row{}, false
	}
	t.hand(t.next())
	if len(t.ready) == 0 || t.marks.quoted || t.marks.asIs {
		return row{}, false
	}
	line := bytes.TrimSuffix(bytes.TrimSuffix(t.ready, []byte("\n")), []byte("\r"))
	if len(line) == 0 {
		t.ready = nil
		return row{}, true
	}
	if r, t.cells, ok = plainRow(t.line, line, t.marks.comma, t.cells); ok {
		t.ready = nil
	}
	return r, ok
}

// next is the next line; after the last one, or where it cannot go on, it is nil and err says so.
func (t *tableText) next() []byte {
	if t.line == 0 {
		t.begin()
	}
	if t.err != nil {
		return nil
	}
	t.line++
	line, err := t.in.ReadSlice('\n')
	if errors.Is(err, bufio.ErrBufferFull) {
		t.long = append(t.long[:0], line...)
		for errors.Is(err, bufio.ErrBufferFull) && len(t.long) <= longestLine && bytes.IndexByte(line, 0) < 0 {
			line, err = t.in.ReadSlice('\n')
			t.long = append(t.long, line...)
		}
		line = t.long
	}
	if zero := bytes.IndexByte(line, 0); zero >= 0 {
		t.notText(line, zero)
		return nil
	}
	switch {
	case len(line) > longestLine:
		t.fault("", "a line of more than "+infile.Size(longestCell)+" for each of the columns that a file may have", "rows of cells")
		return nil
	case err != nil && (err != io.EOF || len(line) == 0):
		t.err = err
		return nil
	}
	t.ended = bytes.HasSuffix(line, []byte("\n"))
	if at := badByte(line); at >= 0 {
		t.notText(line, at)
		return nil
	}
	return line
}

// begin removes a byte-order mark, and refuses other kinds of files by their first bytes.
func (t *tableText) begin() {
	first, _ := t.in.Peek(4) // an error comes again
	switch found := otherThanText(first); {
	case found != "":
		t.err = &textFault{0, "", found, "text in UTF-8", saveAsCSV}
	case bytes.HasPrefix(first, byteOrderMark):
		t.in.Discard(len(byteOrderMark))
	}
}

// notText refuses a line with a byte that is not text.
func (t *tableText) notText(line []byte, at int) {
	found := "text that is not UTF-8"
	if line[at] == 0 {
		found = "a file with zero bytes"
	}
	t.err = &textFault{t.line, fmt.Sprintf("character %d", 1+utf8.RuneCount(line[:at])), found, "text in UTF-8", saveAsCSV}
}

func (t *tableText) fault(column, found, expected string) {
	t.err = &textFault{t.line, column, found, expected, "correct this line; the file was not read"}
}

// hand makes a line ready for the CSV reader, unless it has a cell or a row beyond its limit.
func (t *tableText) hand(line []byte) {
	if len(line) == 0 {
		return
	}
	m := t.marks
	m.hide(line)
	switch {
	case m.longest > longestCell && m.quoted:
		t.fault("", fmt.Sprintf("a cell of more than %s: a quotation mark that opens above and is not closed up to here",
			infile.Size(longestCell)), "at most that")
	case m.longest > longestCell:
		t.fault("", "a cell of more than "+infile.Size(longestCell), "at most that")
	case m.columns > mostColumns:
		t.fault("", fmt.Sprintf("%d columns", m.columns), fmt.Sprintf("at most %d", mostColumns))
	default:
		t.ready = line
	}
}

// report reports why reading a table ended, unless it is its end or wrong quotation marks.
func (r *reader) textFault(file string, err error) bool {
	var f *textFault
	var in *infile.Error
	switch {
	case errors.As(err, &f):
		r.report(file, f.line, f.column, f.found, f.expected, f.do)
	case errors.As(err, &in):
		r.report(file, 0, "", in.Found, in.Expected, in.Do)
	default:
		return false
	}
	return true
}

var byteOrderMark = []byte("\xef\xbb\xbf")

const saveAsCSV = `save it from the spreadsheet as "CSV UTF-8"`

// otherThanText is what a file is by its first bytes, if it is not text in UTF-8.
func otherThanText(data []byte) string {
	switch {
	case bytes.HasPrefix(data, []byte("\xff\xfe")), bytes.HasPrefix(data, []byte("\xfe\xff")):
		return "text in UTF-16"
	case bytes.HasPrefix(data, []byte("PK\x03\x04")):
		return "a workbook"
	}
	return ""
}

// decodeUTF8 removes a byte-order mark and refuses every other encoding.
func (r *reader) decodeUTF8(file string, data []byte) ([]byte, bool) {
	data = bytes.TrimPrefix(data, byteOrderMark)
	advice := saveAsCSV
	if strings.HasSuffix(file, ".toml") {
		advice = "save it from the editor as UTF-8"
	}
	found, line, column := otherThanText(data), 0, ""
	if found == "" {
		bad := badByte(data)
		if bad < 0 {
			return data, true
		}
		found = "text that is not UTF-8"
		if bytes.IndexByte(data, 0) >= 0 {
			found = "a file with zero bytes"
		}
		before := data[:bad]
		line = 1 + bytes.Count(before, []byte("\n"))
		column = fmt.Sprintf("character %d", 1+utf8.RuneCount(before[1+bytes.LastIndexByte(before, '\n'):]))
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
