package sheet

import (
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"
)

// A quotation mark is also the mark of inches, and spreadsheets are written by hand
// too: 3'-4" is often in a cell without quotation marks around it. If one is mistaken
// for the beginning or the end of a cell, all cells after it are in wrong columns, so
// whatever may be such a mistake is refused.

const closeIt = `put a cell with delimiters or line breaks in quotation marks, with each one inside it doubled (""), or save the file as .xlsx`

// sound reports whether the quotation marks of a cell that begins at a place can
// be read in one way only, and notes in its row's width what only a
// comparison with the other rows can show.
func (t *table) sound(w *width, cell string, line, start int) bool {
	refuse := func(found, expected, do string) bool {
		in := 1 + utf8.RuneCountInString(t.text[t.starts[line-1]:start])
		t.report("", line, fmt.Sprintf("character %d", in), found, expected, do)
		return false
	}
	if t.text[start] != '"' {
		return asWritten(cell) || refuse("a quotation mark that opens inside a cell and does not close there: "+quote(cell),
			"quotation marks around the whole cell, or a number in front of the mark of inches", closeIt)
	}
	if !closes(t.text[start:], t.comma) {
		return refuse("a quotation mark that opens a cell and is not closed properly",
			"one in front of the delimiter or line end that follows the cell", closeIt)
	}
	commas := strings.Count(cell, string(t.comma))
	if strings.Contains(cell, "\n") {
		if commas > 0 {
			return refuse(fmt.Sprintf("a cell in quotation marks that holds a line break and a %s: %s", delimiterName(t.comma), quote(cell)),
				"at most one of the two, since this may be two rows in which a quotation mark was left open",
				"look at this line in a text editor; where the cell is right, save the file as .xlsx")
		}
		w.broken = cell
	}
	// Prose has a blank after a comma; a row has none after a delimiter.
	if commas > strings.Count(cell, string(t.comma)+" ") {
		w.joined, w.commas = cell, w.commas+commas
	}
	return true
}

// closes reports whether a cell in quotation marks at the beginning of a text is
// closed as RFC 4180 has it: by one in front of a delimiter or the end of the line, with
// each one inside doubled.
func closes(text string, comma rune) bool {
	for at := 1; ; {
		n := strings.IndexByte(text[at:], '"')
		if n < 0 {
			return false
		}
		at += n + 1
		rest := text[at:]
		switch next, _ := utf8.DecodeRuneInString(rest); {
		case rest == "", rest == "\r", next == comma, next == '\n', strings.HasPrefix(rest, "\r\n"):
			return true
		case next != '"':
			return false
		}
		at++
	}
}

// asWritten reports whether the quotation marks inside a cell can be read as they are.
// A cell that begins with a blank and a quotation mark was meant to be in quotation
// marks; and if a quotation opens inside one cell and closes in another, the delimiter
// may have been part of the text. Inch marks, after a number, open nothing.
func asWritten(cell string) bool {
	if strings.HasPrefix(strings.TrimSpace(cell), `"`) {
		return false
	}
	open := false
	for i, c := range cell {
		if before, _ := utf8.DecodeLastRuneInString(cell[:i]); c == '"' && !unicode.IsNumber(before) {
			open = !open
		}
	}
	return !open
}

// swallowed refuses rows in which a cell in quotation marks seems to hold
// several: one with a line break that makes its row wider than every other, and one
// with delimiters that its row lacks.
func (t *table) swallowed() {
	widest, usual := 0, usualWidth(t.widths)
	for _, w := range t.widths {
		if w.broken == "" {
			widest = max(widest, w.cells)
		}
	}
	for _, w := range t.widths {
		switch {
		case w.broken != "" && widest > 0 && w.cells > widest:
			t.report("", w.line, "", fmt.Sprintf("%d cells, one of them with a line break: %s", w.cells, quote(w.broken)),
				fmt.Sprintf("at most %d cells, as in the other rows: a quotation mark may have been left open", widest), closeIt)
		case w.joined != "" && w.cells < usual && w.cells+w.commas == usual:
			t.report("", w.line, "", fmt.Sprintf("%d cells, one of them with %s in it: %s", w.cells, delimiterName(t.comma), quote(w.joined)),
				fmt.Sprintf("%d cells, as in most rows: a quotation mark may have been left open", usual), closeIt)
		}
	}
}

// usualWidth is how many cells most rows have; of several such numbers the largest.
func usualWidth(widths []width) int {
	count := map[int]int{}
	for _, w := range widths {
		count[w.cells]++
	}
	usual := 0
	for n, rows := range count {
		if rows > count[usual] || rows == count[usual] && n > usual {
			usual = n
		}
	}
	return usual
}
