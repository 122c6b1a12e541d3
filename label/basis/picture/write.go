package picture

import (
	"bytes"
	"encoding/xml"
	"fmt"
	"unicode"

	"vouchmark/label/report"
)

// typefaces are those of the reader's own system. The drawing's widths leave room
// for wide ones.
const typefaces = `system-ui, -apple-system, 'Segoe UI', Roboto, 'Noto Sans', Arial, sans-serif`

// writer writes SVG. Writing to a bytes.Buffer never fails.
type writer struct{ bytes.Buffer }

// add writes markup.
func (w *writer) add(format string, a ...any) { fmt.Fprintf(w, format, a...) }

// element writes an element of text, which can neither become markup nor reverse
// the direction of the line; attributes are markup.
func (w *writer) element(name, attributes, text string) {
	w.add("<%s%s>", name, attributes)
	w.escape(text)
	w.add("</%s>", name)
}

func (w *writer) escape(text string) { xml.EscapeText(w, []byte(report.Printable(text))) }

// textWidth is the most that a line of text takes, in the drawing's unit: the
// reader's typeface is not known, so a wide one is assumed.
func textWidth(text string, size float64, bold bool) int {
	sum := 0.0
	for _, r := range report.Printable(text) {
		sum += runeWidth(r)
	}
	if bold {
		sum *= 1.1
	}
	return int(sum*size) + 2
}

// runeWidth is a fraction of the type size. DejaVu Sans and Verdana, the widest
// of the usual screen faces, have digits of 0.64.
func runeWidth(r rune) float64 {
	switch r {
	case 'm', 'w', '@', '%':
		return 1
	case ' ', '.', ',', ':', ';', '\'', '|', '/', '-', 'i', 'j', 'l', 'f', 't', 'r', '·':
		return 0.42
	}
	switch {
	case r > 0xFF && (unicode.In(r, unicode.Han, unicode.Hiragana, unicode.Katakana, unicode.Hangul) ||
		r >= 0x1F000 || r >= 0xFF00 && r < 0xFF61):
		return 1.1
	case r > 0xFF && unicode.IsLetter(r), unicode.IsUpper(r):
		return 0.8
	case r > 0xFF:
		return 1
	}
	return 0.65
}
