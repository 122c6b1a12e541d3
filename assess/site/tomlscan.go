package site

import (
	"fmt"
	"strings"

	"vouchmark/assess/infile"
)

// The TOML library makes a table for every level of a key, remembers each with the names of all
// that it is in, and calls itself for every list within a list. So a few bytes of a hostile file may
// ask for very much memory. This scan looks for such places before the library sees the text.

// The limits of a TOML text. What a site folder needs is three levels deep.
const (
	deepestTOML = 16              // tables and lists within each other
	longestKey  = 1000            // bytes of a key, with its dots
	mostNames   = 32 * infile.MiB // bytes of all names, each with those it is in
	perLevel    = 32              // and what each level counts for besides its name
)

// A tomlFault is the first place of a text that is beyond a limit.
type tomlFault struct {
	line            int
	found, expected string
}

// scanTOML looks for the first place beyond a limit; nil for none. A text that is not TOML may have
// one that the library would not reach.
func scanTOML(text string) *tomlFault {
	var s tomlScan
	for at, token := range tokens(text) {
		if found, expected := s.take(at, token); found != "" {
			return &tomlFault{1 + strings.Count(text[:at], "\n"), found, expected}
		}
	}
	return nil
}

// tomlScan is a scan in progress. It follows the grammar; where a text breaks it, the library stops
// too.
type tomlScan struct {
	reads reading
	start int        // of the key or heading that is read
	dots  int        // in it so far
	table tomlPlace  // the heading above
	key   tomlPlace  // the key of the value that is read
	open  []tomlOpen // brackets that are open within that value
	names int        // see mostNames
}

type reading int

const (
	aKey reading = iota
	aHeading
	aValue
)

// tomlPlace is a place in the tree of tables: its levels, and the bytes of their names.
type tomlPlace struct{ depth, bytes int }

// tomlOpen is an open bracket and what is in it.
type tomlOpen struct {
	tomlPlace
	bracket string
}

// take takes the next token, and says what is beyond a limit.
func (s *tomlScan) take(at int, token string) (found, expected string) {
	n := len(s.open)
	in := tomlOpen{tomlPlace: s.table}
	if n > 0 {
		in = s.open[n-1]
	}
	switch {
	case token == "\n" && (n == 0 || s.reads == aKey):
		s.begin(aKey, at)
	case s.reads == aValue && (token == "[" || token == "{"):
		to := s.key
		if in.bracket == "[" {
			to = in.tomlPlace
		}
		if in.bracket == "[" || token == "[" { // else it is the table of its key
			to.depth++
		}
		s.open = append(s.open, tomlOpen{to, token})
		if token == "{" {
			s.begin(aKey, at)
		}
		return s.count(to, 1)
	case n > 0 && (token == "]" || token == "}"):
		s.open, s.reads = s.open[:n-1], aValue
	case in.bracket == "{" && token == ",":
		s.begin(aKey, at)
	case s.reads == aKey && token == "[":
		s.begin(aHeading, at)
	case s.reads != aValue && token == ".":
		s.dots++
	case s.reads == aHeading && token == "]":
		s.table, found, expected = s.name(at, tomlPlace{})
	case s.reads == aKey && token == "=":
		s.key, found, expected = s.name(at, in.tomlPlace)
	}
	return found, expected
}

// begin begins to read a key or a heading after a token of one byte.
func (s *tomlScan) begin(what reading, at int) { s.reads, s.start, s.dots = what, at+1, 0 }

// name ends a key or a heading, and gives its place within another.
func (s *tomlScan) name(end int, in tomlPlace) (to tomlPlace, found, expected string) {
	bytes, parts := end-s.start, s.dots+1
	s.reads = aValue
	if bytes > longestKey {
		return in, fmt.Sprintf("a key of %d bytes", bytes), fmt.Sprintf("at most %d", longestKey)
	}
	to = tomlPlace{in.depth + parts, in.bytes + bytes}
	found, expected = s.count(to, parts)
	return to, found, expected
}

// count counts the levels that end at a place.
func (s *tomlScan) count(to tomlPlace, levels int) (found, expected string) {
	s.names += levels * (to.bytes + to.depth*perLevel)
	switch {
	case to.depth > deepestTOML:
		return fmt.Sprintf("more than %d tables and lists within each other", deepestTOML), fmt.Sprintf("at most %d", deepestTOML)
	case s.names > mostNames:
		return fmt.Sprintf("more than %s of names, each with those that it is in", infile.Size(mostNames)), "at most that"
	}
	return "", ""
}
