package record

import (
	"errors"
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"

	"vouchmark/assess"
)

// The longest name and the longest reason in the ledger, in characters.
const (
	LongestName   = 200
	LongestReason = 2000
)

// OneLine makes one line from a person's text for the ledger or the log: white
// space, including line breaks, becomes single blanks. It refuses invisible
// characters and texts with more than longest characters.
func OneLine(s string, longest int) (string, error) {
	text := strings.Join(strings.Fields(s), " ")
	if r, found := unprintable(text); found {
		if r == unicode.ReplacementChar {
			return "", errors.New("found bytes that are not text, expected text in UTF-8")
		}
		return "", fmt.Errorf("found the character U+%04X, which no label and no terminal shows; remove it", r)
	}
	if n := utf8.RuneCountInString(text); n > longest {
		return "", fmt.Errorf("found %d characters, expected at most %d; shorten it", n, longest)
	}
	return text, nil
}

// unseen is the error for a text that the ledger does not accept.
func unseen(text string) error {
	return fmt.Errorf("the text %q has characters that no label and no terminal shows; remove them", text)
}

// unprintable is the first invisible character of a text: a control character, a
// line end, a direction mark, or bytes that are not text.
func unprintable(s string) (rune, bool) {
	for _, r := range s {
		if assess.Unseen(r) || r == unicode.ReplacementChar {
			return r, true
		}
	}
	return 0, false
}
