package site

import (
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"
)

// Problem is one thing that is wrong in a site folder.
type Problem struct {
	File     string `json:"file"`             // within the site folder
	Line     int    `json:"line,omitempty"`   // from 1; 0 for the file as a whole
	Column   string `json:"column,omitempty"` // a CSV heading, a TOML key, or "character 12"
	Found    string `json:"found,omitempty"`
	Expected string `json:"expected,omitempty"`
	Do       string `json:"do,omitempty"`   // what to do
	More     int    `json:"more,omitempty"` // how many more of its kind are only counted
}

// String is `file:line: column: found …, expected …; what to do`.
func (p Problem) String() string {
	s := legible(p.File, longestFound)
	if p.Line > 0 {
		s += fmt.Sprintf(":%d", p.Line)
	}
	if p.Column != "" {
		s += ": " + legible(p.Column, longestName)
	}
	s += ": " + p.message()
	if p.More > 0 {
		s += fmt.Sprintf("; and %d more of this kind", p.More)
	}
	return s
}

// message is `found …, expected …; what to do`.
func (p Problem) message() string {
	s := "found " + legible(p.Found, longestFound)
	if p.Expected != "" {
		s += ", expected " + legible(p.Expected, longestFound)
	}
	if p.Do != "" {
		s += "; " + legible(p.Do, longestFound)
	}
	return s
}

// briefly is only what was found.
func (p Problem) briefly() string { return "found " + legible(p.Found, longestName) }

// The longest parts of a name and of a sentence in a message.
const longestName, longestFound = 60, 4000

// legible makes one short line of a piece of a message and shows what a terminal would act on: a
// heading or a key is the owner's text too, and may be anything.
func legible(s string, longest int) string {
	var b strings.Builder
	for i, r := range []rune(s) {
		switch {
		case i == longest:
			return b.String() + "…"
		case r == ' ' || strconv.IsPrint(r):
			b.WriteRune(r)
		default:
			b.WriteString(strings.Trim(strconv.QuoteRune(r), "'"))
		}
	}
	return b.String()
}

// Problems is all problems of a folder as one error.
type Problems []Problem

func (ps Problems) Error() string {
	lines := make([]string, len(ps))
	for i, p := range ps {
		lines[i] = p.String()
	}
	return strings.Join(lines, "\n")
}

// Files names the files with problems, in order.
func (ps Problems) Files() []string {
	var names []string
	for _, p := range ps {
		if !slices.Contains(names, p.File) {
			names = append(names, p.File)
		}
	}
	return names
}

// Join makes one report of several. An error that is not a Problems is returned alone.
func Join(errs ...error) error {
	var all Problems
	for _, err := range errs {
		var ps Problems
		if err != nil && !errors.As(err, &ps) {
			return err
		}
		all = append(all, ps...)
	}
	if all == nil {
		return nil
	}
	return all
}

// Count is how many problems there are, including those that are only counted.
func (ps Problems) Count() int {
	n := len(ps)
	for _, p := range ps {
		n += p.More
	}
	return n
}

// quote shows a piece of the owner's text in a message: quoted, and short.
func quote(s string) string {
	if r := []rune(s); len(r) > longestName {
		return fmt.Sprintf("%q…", string(r[:longestName]))
	}
	return fmt.Sprintf("%q", s)
}
