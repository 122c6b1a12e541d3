package report

import (
	"strings"
	"unicode"
	"unicode/utf8"

	"vouchmark/assess"
)

// Printable replaces every character that a terminal would act on or not show
// with a mark.
func Printable(s string) string {
	return strings.Map(func(r rune) rune {
		if assess.Unseen(r) {
			return unicode.ReplacementChar
		}
		return r
	}, s)
}

// After is a text with its lead in front; "" if there is no text.
func After(lead, text string) string {
	if text == "" {
		return ""
	}
	return lead + text
}

// Wrap breaks a text into lines of at most width characters where possible. The
// first line begins with head, the others with indent; each ends with a newline.
func Wrap(text, head, indent string, width int) string {
	var b strings.Builder
	line, words := head, 0
	for _, word := range strings.Fields(text) {
		word = Printable(word)
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
