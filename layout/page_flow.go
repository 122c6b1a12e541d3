package layout

import (
	"strings"

	"vouchmark/fonts"
)

// Running text on pages. It continues on the next page, and it may hold anything,
// even bytes of a damaged file.

const (
	sectionGap  = 15.0 // above a section
	sectionRule = 1.4  // the rule above its heading
)

// printable is text on one line, with a question mark for what the typeface
// cannot show.
func printable(text string) string {
	text = strings.Join(strings.Fields(strings.ToValidUTF8(text, "?")), " ")
	for _, m := range fonts.Missing(text) {
		text = strings.ReplaceAll(text, string(m), "?")
	}
	return text
}

// lines are the lines of any text, none wider than w.
func (f font) lines(text string, w float64) []string {
	if text = printable(text); text == "" {
		return nil
	}
	return f.cell(text, w)
}

// cut is text, or as much of its beginning as fits in w: for a place that repeats
// what is written in full elsewhere.
func (f font) cut(text string, w float64) string {
	for whole := []rune(text); f.width(text) > w && len(whole) > 0; {
		whole = whole[:len(whole)-1]
		text = strings.TrimSpace(string(whole)) + "…"
	}
	return text
}

// flow sets a text from x on. No single line of it is left at the foot or at the top
// of a page.
func (s *sheetOf) flow(x, w float64, f font, text string) {
	lines := f.lines(text, w)
	for i, l := range lines {
		keep := 1
		if len(lines) > 1 && (i == 0 || i == len(lines)-2) {
			keep = 2
		}
		s.room(float64(keep) * f.lead())
		s.text(x, s.y+f.size*firstLine, f, Black, l)
		s.y += f.lead()
	}
}

// items sets texts with a mark before each.
func (s *sheetOf) items(texts []string) {
	const indent, side = 13.0, 3.6
	for _, text := range texts {
		if printable(text) == "" {
			continue
		}
		s.room(2 * paperLead)
		base := s.y + paperBody.size*firstLine
		s.rect(s.left()+1, base-paperBody.caps()/2-side/2, side, side, Black)
		s.flow(s.left()+indent, s.width()-indent, paperBody, text)
		s.y += 3
	}
}

// sectionAt is a heading from x on, with a rule above it.
func (s *sheetOf) sectionAt(x, w, stroke float64, title string) {
	s.line(x, s.y, w, 0, stroke, Black)
	s.y = s.put(x, s.y+5, w, paperHead, title) + titlePad - 5
}
