package site

import (
	"bytes"
	"strings"
	"unicode"
	"unicode/utf8"
)

// A quotation mark is also the inch mark, and some files are written by hand: 12'-7" may be in a
// cell without quotation marks around it.

// markByte replaces a quotation mark inside such a cell while the file is split into cells. No
// text has a zero byte, see [badByte].
const markByte = 0

// marks hides quotation marks line by line, and measures the cells on the way.
type marks struct {
	comma  byte
	ends   string
	quoted bool // the next line begins within a cell in quotation marks
	asIs   bool // such a cell was not closed properly: the rest is left to the CSV reader

	columns int // of the row so far
	cell    int // bytes of the cell with which the line ended, if quoted
	longest int // bytes of the longest cell that the line has a part of
}

func newMarks(comma rune) *marks { return &marks{comma: byte(comma), ends: string(comma) + "\n"} }

// hide replaces the quotation marks inside cells that do not begin with one by markByte, in a line
// with its end. It leaves wrong quotation marks for the CSV reader to find, at the same place: no
// line changes its length.
func (m *marks) hide(line []byte) {
	m.longest = 0
	if !m.quoted {
		m.columns, m.cell = 1, 0
	}
	if m.asIs {
		return
	}
	for at := 0; at < len(line); at++ { // at the start of each cell, or within a quoted one
		if !m.quoted {
			next := bytes.IndexByte(line[at:], '"')
			if next < 0 {
				m.plain(line[at:])
				return
			}
			start := at + bytes.LastIndexAny(line[at:at+next], m.ends) + 1
			m.plain(line[at:start]) // cells without any need no further look
			at = start
			if line[at] != '"' {
				cell := line[at:]
				if n := bytes.IndexAny(cell, m.ends); n >= 0 {
					cell = cell[:n]
				}
				if asItStands(cell) {
					for i := range cell {
						if cell[i] == '"' {
							cell[i] = markByte
						}
					}
				}
				m.longest = max(m.longest, len(cell))
				at += len(cell)
				m.pass(line, at)
				continue
			}
			m.quoted, m.cell = true, 0
			at++
		}
		end := closing(line, at, m.ends)
		if end == notClosed {
			m.cell += len(line) - at
			m.longest = max(m.longest, m.cell)
			return
		}
		if end == closedBadly {
			m.quoted, m.asIs = false, true
			return
		}
		m.longest = max(m.longest, m.cell+end-at-len(`"`))
		m.quoted, m.cell = false, 0
		at = end
		m.pass(line, at)
	}
}

// pass counts the cell after the end of one.
func (m *marks) pass(line []byte, end int) {
	if end < len(line) && line[end] == m.comma {
		m.columns++
	}
}

// plain measures cells without quotation marks.
func (m *marks) plain(cells []byte) {
	m.columns += bytes.Count(cells, []byte{m.comma})
	if len(cells) <= m.longest {
		return
	}
	if len(cells) <= longestCell {
		m.longest = len(cells) // at most: only what is beyond the limit matters
		return
	}
	for cell := range bytes.SplitSeq(cells, []byte{m.comma}) {
		m.longest = max(m.longest, len(bytes.TrimRight(cell, "\r\n")))
	}
}

// What [closing] finds instead of an end.
const notClosed, closedBadly = -1, -2

// closing is the position after a cell in quotation marks whose text begins at a position, or goes
// on there.
func closing(data []byte, at int, ends string) int {
	for ; at < len(data); at++ {
		if data[at] != '"' {
			continue
		}
		at++
		rest := bytes.TrimPrefix(data[at:], []byte("\r"))
		switch {
		case len(rest) == 0 || rest[0] == '\n':
			return len(data) - len(rest)
		case strings.IndexByte(ends, data[at]) >= 0:
			return at
		case data[at] != '"':
			return closedBadly
		}
	}
	return notClosed
}

// asItStands reports whether the quotation marks inside a cell can be read literally. A cell that
// begins with a blank and a quotation mark was meant to be quoted; and a mark that opens inside
// one cell and closes in another may have had the delimiter in between, so that all later cells
// would be read in the wrong column. Inch marks, after a number, open nothing.
func asItStands(cell []byte) bool {
	if bytes.HasPrefix(bytes.TrimSpace(cell), []byte(`"`)) {
		return false
	}
	open := false
	for i, b := range cell {
		if before, _ := utf8.DecodeLastRune(cell[:i]); b == '"' && !unicode.IsNumber(before) {
			open = !open
		}
	}
	return !open
}

// showMarks undoes [marks.hide], byte by byte.
func showMarks(text string) string { return strings.ReplaceAll(text, string(rune(markByte)), `"`) }
