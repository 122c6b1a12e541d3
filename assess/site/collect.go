package site

import (
	"cmp"
	"slices"
	"strings"
)

// mostOfKind is how many problems of one kind a report lists, mostProblems how many of all kinds;
// the rest is counted.
const mostOfKind, mostProblems = 50, 1000

// Collected collects problems for a report: the first ones of each kind, and how many more there
// are. So a report stays short, whatever the files have.
type Collected struct {
	listed Problems
	kinds  map[kindOf]kindSeen
	beyond Problem // the problems of kinds that are not listed at all
}

// kindSeen is how many problems of a kind are listed, and where the last one is.
type kindSeen struct{ listed, last int }

// A kindOf is what problems of one kind share: the file, and the column and what was expected
// without their names and numbers.
type kindOf struct{ file, column, expected string }

func (p *Problem) kind() kindOf {
	expected, _, _ := strings.Cut(p.Expected, theNearest)
	return kindOf{p.File, general(p.Column), general(expected)}
}

// theNearest comes before a hint in what was expected.
const theNearest = "; the nearest is "

// general is a text without its numbers and quotations.
func general(s string) string {
	if !strings.ContainsAny(s, `"0123456789`) {
		return s
	}
	b := make([]byte, 0, len(s))
	quoted := false
	for i := range len(s) {
		switch c := s[i]; {
		case c == '"':
			quoted = !quoted
		case !quoted && (c < '0' || c > '9'):
			b = append(b, c)
		}
	}
	return string(b)
}

// Add adds a problem, and reports whether it is listed; else it is only counted.
func (c *Collected) Add(p Problem) bool {
	if c.kinds == nil {
		c.kinds = map[kindOf]kindSeen{}
	}
	kind := p.kind()
	k, known := c.kinds[kind]
	full := len(c.listed) == mostProblems
	switch {
	case known && (full || k.listed == mostOfKind):
		c.listed[k.last].More++
		return false
	case full && c.beyond.Found == "":
		c.beyond = Problem{File: p.File, Line: p.Line, Found: "one more problem", Do: "correct those that are listed first"}
		return false
	case full:
		c.beyond.More++
		return false
	}
	c.kinds[kind] = kindSeen{k.listed + 1, len(c.listed)}
	c.listed = append(c.listed, p)
	return true
}

// Full reports whether one more problem like this one would only be counted: what to say of it
// need not be found.
func (c *Collected) Full(p Problem) bool {
	k, known := c.kinds[p.kind()]
	return len(c.listed) == mostProblems || known && k.listed == mostOfKind
}

// All is what was collected, in the order of the files and of their lines.
func (c *Collected) All() Problems {
	all := slices.Clone(c.listed)
	if c.beyond.Found != "" {
		all = append(all, c.beyond)
	}
	all.sort(all.Files())
	return all
}

func (ps Problems) sort(files []string) {
	slices.SortStableFunc(ps, func(a, b Problem) int {
		return cmp.Or(slices.Index(files, a.File)-slices.Index(files, b.File), a.Line-b.Line)
	})
}

// report adds a problem of the folder.
func (r *reader) report(file string, line int, column, found, expected, do string) {
	r.faults++
	r.noteFile(file)
	r.problems.Add(Problem{File: file, Line: line, Column: column, Found: found, Expected: expected, Do: do})
}

// full reports whether a problem like one would only be counted, and counts it then.
func (r *reader) full(p Problem) bool {
	if !r.problems.Full(p) {
		return false
	}
	r.faults++
	r.problems.Add(p)
	return true
}

// err is the collected problems, or nil if there are only those of single cells.
func (r *reader) err() error {
	if r.faults == 0 {
		return nil
	}
	all := append(r.problems.All(), r.cells.All()...)
	all.sort(r.files)
	return all
}

// noteFile notes a file with a problem: a report has them in this order.
func (r *reader) noteFile(file string) {
	if n := len(r.files); n == 0 || r.files[n-1] != file && !slices.Contains(r.files, file) {
		r.files = append(r.files, file)
	}
}
