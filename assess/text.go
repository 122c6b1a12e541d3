package assess

import "unicode"

// Unseen reports whether a character is one that nobody can see in a line of text: a control
// character, which a terminal may act upon, or one that is invisible or turns what follows it
// (Unicode's Cf, such as marks of direction, and its separators of lines and paragraphs, Zl
// and Zp). A label, a ledger and a terminal show none of them.
func Unseen(r rune) bool {
	return unicode.IsControl(r) || unicode.In(r, unicode.Cf, unicode.Zl, unicode.Zp)
}
