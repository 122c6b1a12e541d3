package site

import (
	"bytes"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"
)

// A quotation mark is also the inch mark, and some files are written by hand: 12'-7" may be in a
// cell without quotation marks around it.

// markByte replaces a quotation mark inside such a cell while the file is split into cells. No
// text has a zero byte, see [reader.decodeUTF8].
const markByte = 0

// hideMarks replaces the quotation marks inside cells that do not begin with one by markByte. It
// leaves wrong quotation marks for the CSV reader to find, at the same place: no line changes
// its length.
func hideMarks(data []byte, comma rune) []byte {
	data = slices.Clone(data)
	ends := string(comma) + "\n"
	for at := 0; at < len(data); at++ { // at the start of each cell
		next := bytes.IndexByte(data[at:], '"')
		if next < 0 {
			break
		}
		at += bytes.LastIndexAny(data[at:at+next], ends) + 1 // cells without any need no look
		if data[at] == '"' {
			if at = closing(data, at, ends); at < 0 {
				break
			}
			continue
		}
		cell := data[at:]
		if n := bytes.IndexAny(cell, ends); n >= 0 {
			cell = cell[:n]
		}
		if asItStands(cell) {
			for i := range cell {
				if cell[i] == '"' {
					cell[i] = markByte
				}
			}
		}
		at += len(cell)
	}
	return data
}

// closing is the position after a cell in quotation marks that begins at a position; negative if
// it is not closed properly.
func closing(data []byte, at int, ends string) int {
	for at++; at < len(data); at++ {
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
			return -1
		}
	}
	return -1
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

// showMarks undoes [hideMarks] in a row of cells.
func showMarks(cells []string) {
	for i := range cells {
		cells[i] = strings.ReplaceAll(cells[i], string(rune(markByte)), `"`)
	}
}
