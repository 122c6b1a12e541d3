package report

import (
	"strings"
	"unicode"

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

// Wrap breaks a text into lines of at most width columns where possible: a word that
// is wider, such as a link, stays whole, so that it can be copied. The first line begins
// with head, the others with indent; each ends with a newline.
func Wrap(text, head, indent string, width int) string {
	var b strings.Builder
	line, used, words := head, Width(head), 0
	room := width - Width(indent)
	for word := range strings.FieldsSeq(text) {
		word = Printable(word)
		n := Width(word)
		blank := min(words, 1)
		if used+blank+n > width && (words > 0 || n <= room && used > Width(indent)) {
			b.WriteString(strings.TrimRight(line, " ") + "\n")
			line, used, words, blank = indent, Width(indent), 0, 0
		}
		line += strings.Repeat(" ", blank) + word
		used += blank + n
		words++
	}
	b.WriteString(line + "\n")
	return b.String()
}
