package report

import (
	"strings"

	"github.com/clipperhouse/displaywidth"
)

// Width is how many columns of a terminal a text takes. A letter and the accent
// that combines with it take one column together.
func Width(s string) int { return displaywidth.String(s) }

// padded fills a text with blanks up to a width.
func padded(s string, width int) string {
	return s + strings.Repeat(" ", max(0, width-Width(s)))
}

// cut shortens a text to a width.
func cut(s string, width int) string { return displaywidth.TruncateString(Printable(s), width, "…") }

// bound keeps a blank from being a place to break a line: between a number and its unit.
const bound = "\u00a0"

// unbroken keeps a value with its unit, and breaks only before a second value in parentheses.
func unbroken(s string) string { return strings.NewReplacer(" (", " (", " ", bound).Replace(s) }

// withUnit keeps a number with its unit, and breaks before it: above / 40 cal/cm².
func withUnit(s string) string {
	return strings.NewReplacer(" cal/cm²", bound+"cal/cm²", " J/cm²", bound+"J/cm²").Replace(s)
}

// folded breaks a text at blanks into lines of at most width columns. A word that is
// wider than a line is broken between two characters.
func folded(s string, width int) []string {
	var lines []string
	line, used := "", 0
	for word := range strings.SplitSeq(s, " ") {
		n := Width(word)
		if n == 0 {
			continue
		}
		if used > 0 && used+1+n <= width {
			line, used = line+" "+word, used+1+n
			continue
		}
		if used > 0 {
			lines = append(lines, line)
		}
		for n > width {
			head := displaywidth.TruncateString(word, width, "")
			if head == "" { // one character is wider than the line
				break
			}
			lines, word = append(lines, head), word[len(head):]
			n = Width(word)
		}
		line, used = word, n
	}
	if used > 0 || lines == nil {
		lines = append(lines, line)
	}
	return lines
}
