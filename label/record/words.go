package record

import (
	"errors"
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"

	"vouchmark/assess"
)

// A name in the ledger, and what somebody says, are at most so long.
const (
	LongestName   = 200
	LongestReason = 2000
)

// OneLine makes one line of what a person says for the ledger or the log:
// white space, line breaks included, becomes single blanks. It refuses what
// nobody could read there, and more than so many characters.
func OneLine(s string, longest int) (string, error) {
	text := strings.Join(strings.Fields(s), " ")
	if r, found := unprintable(text); found {
		if r == unicode.ReplacementChar {
			return "", errors.New("found bytes that are no text, expected text in UTF-8")
		}
		return "", fmt.Errorf("found the character U+%04X, which no label and no terminal shows; leave it out", r)
	}
	if n := utf8.RuneCountInString(text); n > longest {
		return "", fmt.Errorf("found %d characters, expected at most %d; say it in short", n, longest)
	}
	return text, nil
}

// unseen is the error for a text that the ledger does not take.
func unseen(text string) error {
	return fmt.Errorf("the text %q has characters that no label and no terminal shows; leave them out", text)
}

// unprintable is the first character of a text that cannot be seen: a control
// character, a line end, a mark of direction, or bytes that are not text.
func unprintable(s string) (rune, bool) {
	for _, r := range s {
		if assess.Unseen(r) || r == unicode.ReplacementChar {
			return r, true
		}
	}
	return 0, false
}
