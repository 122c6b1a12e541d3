package layout

import "strings"

// The only way in which text is fitted: it is measured and broken into lines of a
// width. If there are too many lines, the whole label is tried at a smaller scale
// (see [Draw]); no text is ever shrunk on its own below the legible minimum.

// flow breaks parts into lines no wider than w. Parts on one line are separated by
// sep, which is omitted at the end of a line. Lines end between parts if that does
// not cost an extra line, otherwise between words. It reports false when a single
// word is wider than w; the lines then exceed the width.
func (f font) flow(parts []string, sep string, w float64) (lines []string, ok bool) {
	if len(parts) == 1 && f.width(parts[0]) <= w {
		return parts, true
	}
	whole := make([]unit, 0, len(parts))
	split := make([]unit, 0, 12)
	for _, p := range parts {
		if p != "" {
			whole = append(whole, unit{sep, p})
			split = f.words(split, sep, p, w)
		}
	}
	byParts, fits := f.fill(whole, w)
	if fits && len(byParts) <= 1 {
		return byParts, true
	}
	byWords, ok := f.fill(split, w)
	if fits && len(byParts) <= len(byWords) {
		return byParts, true
	}
	return byWords, ok
}

// wrap is flow for a text made by the program, whose parts are separated by middle
// dots.
func (f font) wrap(s string, w float64) ([]string, bool) {
	const dot = " · "
	if f.width(s) <= w {
		return []string{s}, true
	}
	return f.flow(strings.Split(s, dot), dot, w)
}

// unit is text that stays together on a line, and the separator between it and the
// unit before when both are on one line.
type unit struct{ sep, text string }

// words appends the words of s. A number stays with its unit ("18 in") and a short
// number with its word ("class 00"), unless that is wider than w; a word that is
// wider than w on its own may break after a hyphen or a slash.
func (f font) words(units []unit, sep, s string, w float64) []unit {
	words := strings.Fields(s)
	for i := 0; i < len(words); {
		text := words[i]
		j := i + 1
		for j < len(words) && sticks(words[j-1], words[j]) && f.width(text+" "+words[j]) <= w {
			text += " " + words[j]
			j++
		}
		i = j
		if f.width(text) <= w {
			units = append(units, unit{sep, text})
		} else {
			for text != "" {
				cut := strings.IndexAny(text, "-/") + 1
				if cut == 0 {
					cut = len(text)
				}
				units = append(units, unit{sep, text[:cut]})
				text, sep = text[cut:], ""
			}
		}
		sep = " "
	}
	return units
}

// sticks reports whether a line should not end between the words a and b.
func sticks(a, b string) bool {
	endsInDigit := a[len(a)-1] >= '0' && a[len(a)-1] <= '9'
	beginsWithDigit := b[0] >= '0' && b[0] <= '9'
	letters := strings.TrimRight(b, ".,;:)")
	switch {
	case endsInDigit && !beginsWithDigit && len(letters) <= 8: // a unit; "cal/cm²" is 8 bytes
		return true
	case beginsWithDigit && len(b) <= 3: // class 00, rev 1, 3 ft 10 in
		return true
	case b == ":" || b == ";" || b == "»" || a == "«": // French sets white there
		return true
	}
	return a == "+" || a == "&" || a == "–" || a == "max." || (a == "V" || a == "kV") && len(b) == 2 // V AC, V DC
}

// fill puts units on lines, as many on each as fit.
func (f font) fill(units []unit, w float64) (lines []string, ok bool) {
	ok = true
	line, width := "", 0.0
	for i, u := range units {
		uw := f.width(u.text)
		if uw > w {
			ok = false
		}
		if sw := f.width(u.sep); i > 0 && width+sw+uw <= w {
			line += u.sep + u.text
			width += sw + uw
			continue
		}
		if i > 0 {
			lines = append(lines, line)
		}
		line, width = u.text, uw
	}
	if line != "" {
		lines = append(lines, line)
	}
	return lines, ok
}

// balanced is flow with lines of nearly equal length, for centered text.
func (f font) balanced(parts []string, sep string, w float64) ([]string, bool) {
	lines, ok := f.flow(parts, sep, w)
	if !ok || len(lines) < 2 {
		return lines, ok
	}
	narrow := w / float64(len(lines))
	for step := 0; step < 12 && narrow < w; step++ {
		if l, ok := f.flow(parts, sep, narrow); ok && len(l) == len(lines) {
			return l, true
		}
		narrow += w / 24
	}
	return lines, true
}
