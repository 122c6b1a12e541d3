package layout

import (
	"slices"
	"strings"

	"vouchmark/label"
)

// bilingual sets the lines that say makes from the words of each language: side by
// side if each of them then fits on one line, otherwise below each other, mixed line
// by line or one language after the other.
func (c *canvas) bilingual(w float64, say func(t *label.Words) []line, mixed bool) [][]line {
	words := c.label.Words
	one := say(&words[0])
	if len(words) == 1 {
		return c.broken(w, one)
	}
	two := say(&words[1])
	if rows := c.beside(w, one, two); rows != nil {
		return rows
	}
	if !mixed {
		return append(c.broken(w, one), c.broken(w, two)...)
	}
	var rows [][]line
	for i := range one {
		rows = append(append(rows, c.broken(w, one[i:i+1])...), c.broken(w, two[i:i+1])...)
	}
	return rows
}

// broken are the lines below each other; lines that are too wide are broken.
func (c *canvas) broken(w float64, lines []line) [][]line {
	var rows [][]line
	for _, l := range lines {
		for _, text := range c.fitted(l.field, l.text, l.font, w, 1) {
			rows = append(rows, []line{{font: l.font, text: text}})
		}
	}
	return rows
}

// beside are the lines of two languages in two columns, or nil if one of them would
// have to be broken.
func (c *canvas) beside(w float64, one, two []line) [][]line {
	x, wide := 0.0, 0.0
	for i := range one {
		x = max(x, one[i].width(one[i].text)+2.4*c.gap)
		wide = max(wide, two[i].width(two[i].text))
	}
	if x+wide > w {
		return nil
	}
	x = max(x, min(w/2, w-wide)) // the second column starts in the middle if it fits there
	var rows [][]line
	for i := range one {
		two[i].x = x
		row := slices.DeleteFunc([]line{one[i], two[i]}, func(l line) bool { return l.text == "" })
		if len(row) > 0 {
			rows = append(rows, row)
		}
	}
	return rows
}

// joined are the texts that are not empty, with sep between them.
func joined(sep string, texts ...string) string {
	return strings.Join(slices.DeleteFunc(texts, func(s string) bool { return s == "" }), sep)
}

// inEach is a text in each of the label's languages.
func (c *canvas) inEach(sep string, of func(t *label.Words) string) string {
	all := make([]string, len(c.label.Words))
	for i := range all {
		all[i] = of(&c.label.Words[i])
	}
	return joined(sep, all...)
}

// distinct are the texts of each language, without empty and repeated ones.
func distinct[W any](words []W, of func(*W) string) (all []string) {
	for i := range words {
		if t := of(&words[i]); t != "" && !slices.Contains(all, t) {
			all = append(all, t)
		}
	}
	return all
}
