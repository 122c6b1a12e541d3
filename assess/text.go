package assess

import (
	"slices"
	"strings"
	"unicode"
)

// Unseen reports whether a character cannot be seen in a line of text: a control
// character, which a terminal may act on, or one that is invisible or changes the
// direction of what follows (Unicode's Cf, such as direction marks, and its separators of
// lines and paragraphs, Zl and Zp). A label, a ledger and a terminal show none of them.
func Unseen(r rune) bool {
	if ' ' <= r && r <= '~' {
		return false // as nearly all are
	}
	return unicode.IsControl(r) || unicode.In(r, unicode.Cf, unicode.Zl, unicode.Zp)
}

// nothings are words that people enter in a required field instead of an answer, without
// their signs: also "N/A".
var nothings = []string{"na", "none", "no", "nil", "null", "tbd", "tba", "todo"}

// Says reports whether a name or a reason says anything: signs alone and words for
// nothing do not.
func Says(text string) bool {
	said := strings.Map(func(r rune) rune {
		if unicode.IsLetter(r) || unicode.IsNumber(r) {
			return unicode.ToLower(r)
		}
		return -1
	}, text)
	return said != "" && !slices.Contains(nothings, said)
}
