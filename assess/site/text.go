package site

import (
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"

	"github.com/agnivade/levenshtein"

	"vouchmark/assess"
)

// kind is what a text is for.
type kind struct {
	longest int  // characters
	prose   bool // it may have line breaks, which are joined
}

// The kinds of texts. A name has one line: with a line break it would be two names, or none. A
// description may have line breaks, as in spreadsheets.
var (
	kindText    = kind{longest: 200}
	kindNote    = kind{longest: 2000, prose: true}
	kindWording = kind{longest: 600, prose: true} // the guide has whole sentences
)

// cleanText turns every run of white space, line breaks included, into one blank, as is meant in
// a heading or a note with line breaks.
func cleanText(s string) string {
	if tidy(s) {
		return s
	}
	return strings.Join(strings.Fields(s), " ")
}

// tidy reports whether a text has only printable ASCII characters, and single blanks between
// words: nothing in it needs to be cleaned or refused. Nearly all cells are so.
func tidy(s string) bool {
	before := byte(' ')
	for i := range len(s) {
		b := s[i]
		if b < ' ' || b > '~' || b == ' ' && before == ' ' {
			return false
		}
		before = b
	}
	return before != ' ' || s == ""
}

// read makes one line of a text from a file, and says what is wrong with it; found is "" if a
// label can show it.
func (o Options) read(raw string, k kind) (text, found, expected string) {
	if tidy(raw) {
		return o.fits(raw, k)
	}
	text = cleanText(raw)
	if !utf8.ValidString(raw) {
		return "", "bytes that are not UTF-8", "text in UTF-8"
	}
	const oneLine = "a text of one line, without tabs"
	for _, r := range strings.Trim(raw, " \t\r\n") {
		switch {
		case k.prose && strings.ContainsRune("\n\r\t", r):
		case r == '\t':
			return "", "a tab", oneLine
		case r == '\n', r == '\r':
			return "", "a line break", oneLine
		case unicode.IsControl(r):
			return "", fmt.Sprintf("the control character U+%04X", r), "printable text"
		case assess.Unseen(r):
			return "", fmt.Sprintf("the invisible character U+%04X", r),
				"text that is shown as it is stored; direction marks and similar characters are not accepted"
		}
	}
	return o.fits(text, k)
}

// fits is read for a text without anything that needs to be cleaned.
func (o Options) fits(s string, k kind) (text, found, expected string) {
	if n := utf8.RuneCountInString(s); n > k.longest {
		return "", fmt.Sprintf("%d characters", n), fmt.Sprintf("at most %d", k.longest)
	}
	if o.Missing != nil {
		if miss := o.Missing(s); len(miss) > 0 {
			return "", fmt.Sprintf("%q with %q, which the label's font does not have", s, string(miss)),
				"Latin letters, digits and common signs"
		}
	}
	return s, "", ""
}

// nearest is the known name that is spelled most like s.
func nearest(s string, known []string) string {
	if r := []rune(s); len(r) > longestName { // the time for comparing depends on its length
		s = string(r[:longestName])
	}
	best, least := "", 0
	for _, k := range known {
		if d := levenshtein.ComputeDistance(s, k); best == "" || d < least {
			best, least = k, d
		}
	}
	return best
}
