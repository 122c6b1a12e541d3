package sheet

import (
	"fmt"
	"math"
	"regexp"
	"strings"
	"unicode/utf8"
)

// delimiters are those that are tried, the most likely first.
const delimiters = ",;\t|"

// delimiterName is a delimiter's name in a message.
func delimiterName(d rune) string {
	switch d {
	case ',':
		return "comma"
	case ';':
		return "semicolon"
	case '\t':
		return "tab"
	case '|':
		return "vertical bar"
	}
	return fmt.Sprintf("delimiter %q", d)
}

// sampleRows is how many rows decide which delimiter a file has.
const sampleRows = 500

// tooClose is a share of the best score: another delimiter that scores at least that
// could be meant as well.
const tooClose = 0.9

// declared is a first line that names the delimiter, as some spreadsheets write.
var declared = regexp.MustCompile(`^(?i:sep)=(.)\r?\n`)

// delimiter finds the delimiter of a text, and the line on which its cells begin. The
// delimiter is 0 if it cannot be determined, which is then reported.
func (r *reader) delimiter(text string) (comma rune, from int) {
	m := declared.FindStringSubmatch(text)
	if m != nil {
		comma, _ = utf8.DecodeRuneInString(m[1])
		from = 1
	}
	if r.Delimiter != 0 {
		comma = r.Delimiter
	}
	if comma == 0 {
		comma = r.guess(text)
	}
	if strings.ContainsRune("\"\r\n\x00\ufffd", comma) && comma != 0 {
		r.report("", 0, "", fmt.Sprintf("the delimiter %q", comma), "comma, semicolon, tab, vertical bar or another sign", "")
		return 0, 0
	}
	return comma, from
}

// guess finds the delimiter. Titles above the table, and the heading line, are not
// enough to decide: the text is split with each delimiter, and the one that gives the
// most regular table wins.
func (r *reader) guess(text string) rune {
	best, second := ',', ','
	most, next := 0.0, 0.0
	for _, d := range delimiters {
		switch s := score(text, d); {
		case s > most:
			best, most, second, next = d, s, best, most
		case s > next:
			second, next = d, s
		}
	}
	switch {
	case most == 0:
		r.notef("The file has one column: no delimiter was found.")
	case next >= tooClose*most:
		r.report("", 0, "", fmt.Sprintf("rows that could be separated by %ss or by %ss", delimiterName(best), delimiterName(second)),
			"one delimiter", "name the delimiter")
		return 0
	}
	return best
}

// score says how regular a text is with a delimiter, from 0 to 1. It is the product of
// three numbers: how little the rows of its table differ in their number of cells
// (1/(1+2σ)), the share of the cells that have the most common type of their column,
// and the share of all lines that are rows of the table, since a wrong delimiter often
// makes one cell of many lines. The table goes from the first to the last row with the
// usual number of cells; what is above and below are titles and notes.
func score(text string, d rune) float64 {
	var rows [][]cellType
	lines := 0
	in := newReader(text, d)
	for len(rows) < sampleRows {
		cells, err := in.Read()
		if err != nil {
			break
		}
		row := make([]cellType, len(cells))
		filled := false
		for i, c := range cells {
			row[i] = typeOf(strings.TrimSpace(c), d)
			filled = filled || row[i] != blank
		}
		if filled {
			rows = append(rows, row)
			lines += 1 + strings.Count(strings.Join(cells, ""), "\n")
		}
	}
	usual := usualCells(rows)
	if usual == 0 {
		return 0
	}
	first, last := -1, 0
	for i, row := range rows {
		if len(row) == usual {
			if first < 0 {
				first = i
			}
			last = i
		}
	}
	inTable := rows[first : last+1]
	return float64(float64(orderly(inTable)*alike(inTable, usual))*float64(len(inTable))) / float64(lines)
}

// usualCells is the most common number of cells among the rows with several; 0 if no
// row has several.
func usualCells(rows [][]cellType) int {
	count := map[int]int{}
	for _, row := range rows {
		if len(row) > 1 {
			count[len(row)]++
		}
	}
	usual := 0
	for n, times := range count {
		if times > count[usual] || times == count[usual] && n > usual {
			usual = n
		}
	}
	return usual
}

// orderly is 1/(1+2σ) of the rows' numbers of cells.
func orderly(rows [][]cellType) float64 {
	sum, squares := 0.0, 0.0
	for _, row := range rows {
		n := float64(len(row))
		sum += n
		squares += float64(n * n)
	}
	mean := sum / float64(len(rows))
	return 1 / (1 + float64(2*math.Sqrt(max(0, squares/float64(len(rows))-float64(mean*mean)))))
}

// alike is the share of filled cells that have the most common type of their column,
// averaged over the columns.
func alike(rows [][]cellType, columns int) float64 {
	sum, counted := 0.0, 0
	for column := range columns {
		var of [types]int
		filled := 0
		for _, row := range rows {
			if column < len(row) && row[column] != blank {
				of[row[column]]++
				filled++
			}
		}
		if filled > 0 {
			of[odd] = 0
			most := 0
			for _, n := range of {
				most = max(most, n)
			}
			sum += float64(most) / float64(filled)
			counted++
		}
	}
	return sum / float64(max(1, counted))
}

// cellType is what a cell looks like.
type cellType uint8

const (
	blank cellType = iota
	number
	date
	words
	odd // it holds another delimiter without a blank after it
	types
)

var (
	looksNumber = regexp.MustCompile(`^[<>≤≥~±]?=?\s*[+-]?[0-9][0-9.,'\x{2019}\x{a0} ]*([eE][+-]?[0-9]+)?\s*%?$`)
	looksDate   = regexp.MustCompile(`^[0-9]{1,4}[-/.][0-9]{1,2}[-/.][0-9]{1,4}$`)
)

// typeOf is what a cell looks like in a text with a delimiter.
func typeOf(s string, d rune) cellType {
	switch {
	case s == "":
		return blank
	case looksDate.MatchString(s):
		return date
	case looksNumber.MatchString(s):
		return number
	}
	for i, c := range s {
		if c != d && strings.ContainsRune(delimiters, c) && !strings.HasPrefix(s[i+utf8.RuneLen(c):], " ") {
			return odd
		}
	}
	return words
}
