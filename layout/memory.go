package layout

import (
	"slices"
	"strings"
)

// memory is how texts were broken into lines, and lists into columns. Most texts of a label
// are on many labels of a job, at the same few scales. Whoever draws has a memory of its own.
// What it gives is only read.
type memory struct {
	texts map[textIn]textLines
	lists map[listIn]list
	ops   []Op // the room of a drawing that is no longer needed, for the next; nil for none
}

// textIn is a text in a width.
type textIn struct {
	way
	font
	text string
	w    float64
}

// way is how a text is broken.
type way byte

const (
	wrapped way = iota
	even
	flowing
)

type textLines struct {
	lines []string
	ok    bool
}

// mostTexts bounds a memory: about a megabyte.
const mostTexts = 4096

// lines are the lines of a text, which set makes unless they are known.
func (m *memory) lines(of textIn, set func() ([]string, bool)) ([]string, bool) {
	known, ok := m.texts[of]
	if !ok {
		known.lines, known.ok = set()
		known.lines = slices.Clip(known.lines) // so that nobody appends to what others have
		if m.texts == nil || len(m.texts) == mostTexts {
			m.texts = map[textIn]textLines{}
		}
		m.texts[of] = known
	}
	return known.lines, known.ok
}

// wrap is [font.wrap].
func (m *memory) wrap(f font, text string, w float64) ([]string, bool) {
	return m.lines(textIn{wrapped, f, text, w}, func() ([]string, bool) { return f.wrap(text, w) })
}

// even is [font.balanced] for a text that breaks between words alone.
func (m *memory) even(f font, text string, w float64) ([]string, bool) {
	return m.lines(textIn{even, f, text, w}, func() ([]string, bool) { return f.balanced([]string{text}, " ", w) })
}

// flow is [font.flow] for parts with a blank between them.
func (m *memory) flow(f font, parts []string, w float64) ([]string, bool) {
	return m.lines(textIn{flowing, f, strings.Join(parts, "\x00"), w}, func() ([]string, bool) { return f.flow(parts, " ", w) })
}

// listIn is a list in a width, and all else that decides how [canvas.newList] sets it.
type listIn struct {
	items string
	font
	w, gap    float64
	runs, two bool
}

// list is a list as set sets it, unless it is known.
func (m *memory) list(of listIn, set func() list) list {
	known, ok := m.lists[of]
	if !ok {
		known = set()
		if m.lists == nil || len(m.lists) == mostTexts {
			m.lists = map[listIn]list{}
		}
		m.lists[of] = known
	}
	return known
}
