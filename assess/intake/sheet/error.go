package sheet

import (
	"fmt"
	"strconv"
	"strings"
)

// Problem is one reason why a file cannot be read.
type Problem struct {
	File     string `json:"file"`
	Sheet    string `json:"sheet,omitempty"`  // of a workbook
	Line     int    `json:"line,omitempty"`   // of a text file, or row of a sheet, from 1; 0 for all of it
	Column   string `json:"column,omitempty"` // "character 12" of a text file, "cell B7" of a sheet
	Found    string `json:"found"`
	Expected string `json:"expected,omitempty"`
	Do       string `json:"do,omitempty"` // what to do
}

// String is `file:line: sheet, column: found …, expected …; what to do`.
func (p Problem) String() string {
	s := legible(p.File)
	if p.Line > 0 {
		s += fmt.Sprintf(":%d", p.Line)
	}
	s += ": "
	if p.Sheet != "" {
		s += "sheet " + quote(p.Sheet) + ": "
	}
	if p.Column != "" {
		s += legible(p.Column) + ": "
	}
	s += "found " + legible(p.Found)
	if p.Expected != "" {
		s += ", expected " + legible(p.Expected)
	}
	if p.Do != "" {
		s += "; " + legible(p.Do)
	}
	return s
}

// Error is all that keeps a file from being read.
type Error []Problem

func (e Error) Error() string {
	lines := make([]string, len(e))
	for i, p := range e {
		lines[i] = p.String()
	}
	return strings.Join(lines, "\n")
}

// How much of the file's text a message shows.
const longestPiece = 60

// quote shows a piece of the file's text in a message: quoted, and short.
func quote(s string) string {
	if r := []rune(s); len(r) > longestPiece {
		return fmt.Sprintf("%q…", string(r[:longestPiece]))
	}
	return fmt.Sprintf("%q", s)
}

// legible makes visible what a terminal would act on.
func legible(s string) string {
	var b strings.Builder
	for _, r := range s {
		if r == ' ' || strconv.IsPrint(r) {
			b.WriteRune(r)
		} else {
			b.WriteString(strings.Trim(strconv.QuoteRune(r), "'"))
		}
	}
	return b.String()
}

// plural is a count with its noun.
func plural(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, many)
}
