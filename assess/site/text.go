package site

import (
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"
)

// longest is how many characters a text of a label may have; an id has fewer.
const (
	longestText = 200
	longestID   = 40
	longestNote = 2000
	// of a site's own wording: the guide has whole sentences
	longestWording = 600
)

// cleanText folds every run of white space, line breaks included, into one
// blank, as a cell that was broken over lines is meant.
func cleanText(s string) string { return strings.Join(strings.Fields(s), " ") }

// textFault says what is wrong with a text, or "" where a label can show it.
func (o Options) textFault(s string, longest int) (found, expected string) {
	if !utf8.ValidString(s) {
		return "bytes that are not UTF-8", "text in UTF-8"
	}
	for _, r := range s {
		switch {
		case unicode.IsControl(r):
			return fmt.Sprintf("the control character U+%04X", r), "printable text"
		case unicode.Is(unicode.Cf, r):
			return fmt.Sprintf("the invisible character U+%04X", r), "text that reads as it is stored; direction marks and the like are refused"
		}
	}
	if n := utf8.RuneCountInString(s); n > longest {
		return fmt.Sprintf("%d characters", n), fmt.Sprintf("at most %d", longest)
	}
	if o.Missing != nil {
		if miss := o.Missing(s); len(miss) > 0 {
			return fmt.Sprintf("%q with %q, which the label's font does not have", s, string(miss)), "Latin letters, digits and common signs"
		}
	}
	return "", ""
}
