package report

import (
	"strings"
	"unicode/utf8"
)

// Wrap breaks a text into lines of at most width characters where it can. The
// first line begins with head, the others with indent; a newline ends each.
func Wrap(text, head, indent string, width int) string {
	var b strings.Builder
	line, words := head, 0
	for _, word := range strings.Fields(text) {
		if words > 0 && utf8.RuneCountInString(line)+1+utf8.RuneCountInString(word) > width {
			b.WriteString(line + "\n")
			line, words = indent, 0
		}
		if words > 0 {
			line += " "
		}
		line += word
		words++
	}
	b.WriteString(line + "\n")
	return b.String()
}
