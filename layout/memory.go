package layout

import "slices"

// memory is how texts were broken into lines. Most texts of a label are on many labels of a
// job, at the same few scales. Whoever draws has a memory of its own.
type memory struct {
	texts map[textIn]textLines
}

// textIn is a text in a width.
type textIn struct {
	font
	text string
	w    float64
}

type textLines struct {
	lines []string
	ok    bool
}

// mostTexts bounds a memory: about a megabyte.
const mostTexts = 4096

// wrap is [font.wrap].
func (m *memory) wrap(f font, text string, w float64) ([]string, bool) {
	key := textIn{f, text, w}
	set, known := m.texts[key]
	if !known {
		set.lines, set.ok = f.wrap(text, w)
		set.lines = slices.Clip(set.lines) // so that nobody appends to what others have
		if m.texts == nil || len(m.texts) == mostTexts {
			m.texts = map[textIn]textLines{}
		}
		m.texts[key] = set
	}
	return set.lines, set.ok
}
