package site

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
)

// Problem is one thing in a site folder that cannot be true on its own.
type Problem struct {
	File     string `json:"file"`             // within the site folder
	Line     int    `json:"line,omitempty"`   // from 1; 0 for the file as a whole
	Column   string `json:"column,omitempty"` // a CSV heading, a TOML key, or "character 12"
	Found    string `json:"found,omitempty"`
	Expected string `json:"expected,omitempty"`
	Do       string `json:"do,omitempty"` // what to do
}

// String is `file:line: column: found …, expected …; what to do`.
func (p Problem) String() string {
	var b strings.Builder
	b.WriteString(p.File)
	if p.Line > 0 {
		fmt.Fprintf(&b, ":%d", p.Line)
	}
	b.WriteString(": ")
	if p.Column != "" {
		b.WriteString(p.Column + ": ")
	}
	b.WriteString("found " + p.Found)
	if p.Expected != "" {
		b.WriteString(", expected " + p.Expected)
	}
	if p.Do != "" {
		b.WriteString("; " + p.Do)
	}
	return b.String()
}

// Problems are all problems of a folder, as one error.
type Problems []Problem

func (ps Problems) Error() string {
	lines := make([]string, len(ps))
	for i, p := range ps {
		lines[i] = p.String()
	}
	return strings.Join(lines, "\n")
}

// Files names the files that the problems are in, in their order.
func (ps Problems) Files() []string {
	var names []string
	for _, p := range ps {
		if !slices.Contains(names, p.File) {
			names = append(names, p.File)
		}
	}
	return names
}

// problems collects what is found while a file is read.
type problems struct{ list Problems }

func (ps *problems) add(p Problem) { ps.list = append(ps.list, p) }

// err is the collected problems in the order of the files read and of their
// lines, or nil.
func (ps *problems) err() error {
	if len(ps.list) == 0 {
		return nil
	}
	files := ps.list.Files()
	slices.SortStableFunc(ps.list, func(a, b Problem) int {
		return cmp.Or(cmp.Compare(slices.Index(files, a.File), slices.Index(files, b.File)), cmp.Compare(a.Line, b.Line))
	})
	return ps.list
}

// quote shows a piece of the owner's text in a message: quoted, and short.
func quote(s string) string {
	const most = 60
	if r := []rune(s); len(r) > most {
		return fmt.Sprintf("%q…", string(r[:most]))
	}
	return fmt.Sprintf("%q", s)
}
