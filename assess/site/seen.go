package site

import (
	"strings"
	"unicode"

	"vouchmark/assess"
)

// seen is what the rows so far say of each location, so that one more row of a location does not
// need all of them.
type seen struct {
	lines      map[part]int  // of each case
	unreadable map[part]bool // columns, by name
}

// part is a case, folded, or a column, at the location with a number.
type part struct {
	location int
	name     string
}

// seenOf is what they say of one location.
type seenOf struct {
	*seen
	location int
}

func (s *seen) of(location int) seenOf { return seenOf{s, location} }

// add adds a row, which has one case, and its columns that cannot be read.
func (s seenOf) add(l *assess.Location, bad map[string]bool) {
	s.lines[part{s.location, foldCase(l.Cases[0].Name)}] = l.Cases[0].Line
	for column := range bad {
		s.seen.unreadable[part{s.location, column}] = true
	}
}

// line is the line of a case with this name in any letter case.
func (s seenOf) line(name string) (line int, known bool) {
	line, known = s.lines[part{s.location, foldCase(name)}]
	return line, known
}

// unreadable reports whether a column could not be read in a row: then nothing can disagree with it.
func (s seenOf) unreadable(column string) bool { return s.seen.unreadable[part{s.location, column}] }

// foldCase gives the same text for two that [strings.EqualFold] takes for equal, and only for those.
func foldCase(s string) string {
	return strings.Map(func(r rune) rune {
		least := r
		for next := unicode.SimpleFold(r); next != r; next = unicode.SimpleFold(next) {
			least = min(least, next)
		}
		return least
	}, s)
}
