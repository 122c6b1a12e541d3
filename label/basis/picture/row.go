package picture

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"vouchmark/label/report"
)

// left is where a level starts.
func left(level int) int { return margin + level*indent }

// trunk is where the branches below a row of a level run.
func trunk(level int) int { return left(level) + glyph/2 }

// textX is where a row's text starts.
func (t *tree) textX(r *report.TreeRow) int {
	switch r.Kind {
	case report.HeadingRow:
		return left(r.Level)
	case report.ReferenceRow:
		return left(r.Level) + 4
	}
	return left(r.Level) + glyph + 8
}

// remarks come last in a row, since they may be long.
func remarks(r *report.TreeRow) string {
	parts := append([]string{r.Equipment, r.Area}, r.Notes()...)
	return strings.Join(slices.DeleteFunc(parts, func(s string) bool { return s == "" }), " · ")
}

func (t *tree) row(i int) {
	r := &t.rows[i]
	y := t.top() + i*pitch // of its upper edge
	middle := y + pitch/2
	base := middle + lift
	t.branches(r, y)
	x := t.textX(r)
	switch r.Kind {
	case report.HeadingRow:
		t.text(x, base, ` font-weight="700"`, r.Pointer())
		return
	case report.ReferenceRow:
		t.text(x, base, ` fill="`+gray+`"`, r.Pointer())
		return
	}
	// The hairline leads the eye from the id to the words.
	t.add(`<path d="M%d %dH%d" stroke="%s"/>`, x, y+pitch-1, t.width-margin, hair)
	t.sign(signOf(r), left(r.Level), middle-glyph/2)
	if href := t.link(r); href != "" {
		t.add(`<a href="`)
		t.escape(href)
		t.add(`">`)
		t.text(x, base, ` font-weight="700" fill="`+blue+`" text-decoration="underline"`, r.ID)
		t.add(`</a>`)
	} else {
		t.text(x, base, ` font-weight="700"`, r.ID)
	}
	t.text(t.columns[0], base, "", r.StandingWords())
	signal, rest := r.LabelWords()
	x = t.columns[1]
	if t.signals {
		t.signal(signal, x, middle)
		x += badge + 8
	}
	t.text(x, base, "", rest)
	t.text(t.columns[2], base, "", r.Supply)
	t.text(t.columns[3], base, ` fill="`+gray+`"`, remarks(r))
}

// signOf is the state of a row, or that its label is printed too low.
func signOf(r *report.TreeRow) string {
	if r.Standing != nil && r.Standing.TooLow {
		return Cover
	}
	return r.State
}

// sign is the sign of a state, in its color.
func (t *tree) sign(state string, x, y int) {
	t.add(`<g transform="translate(%d %d) scale(%.4f)" color="%s">%s</g>`,
		x, y, float64(glyph)/24, cmp.Or(colors[state], gray), Shape(state))
}

// branches draws the lines that lead to a row, past it, and down from it.
func (t *tree) branches(r *report.TreeRow, y int) {
	var d strings.Builder
	move := func(x, from, to int) { fmt.Fprintf(&d, "M%d %dV%d", x, from, to) }
	for k := 1; k < r.Level; k++ {
		if r.Runs(k) {
			move(trunk(k-1), y, y+pitch)
		}
	}
	middle := y + pitch/2
	if r.Level > 0 {
		x := trunk(r.Level - 1)
		if r.Last {
			move(x, y, middle)
		} else {
			move(x, y, y+pitch)
		}
		fmt.Fprintf(&d, "M%d %dH%d", x, middle, left(r.Level)-2)
	}
	if r.Down {
		move(trunk(r.Level), middle+glyph/2+1, y+pitch)
	}
	if d.Len() > 0 {
		t.add(`<path d="%s" fill="none" stroke="%s" stroke-width="1.5"/>`, d.String(), gray)
	}
}

// signal is a signal word in its panel: DANGER has pointed ends, WARNING rounded
// ones, so that no reader depends on the color.
func (t *tree) signal(word string, x, middle int) {
	if word == "" {
		return
	}
	fill, text := orange, ink
	panel := "M5 0H79A5 5 0 0 1 84 5V13A5 5 0 0 1 79 18H5A5 5 0 0 1 0 13V5A5 5 0 0 1 5 0Z"
	if word == "DANGER" {
		fill, text = red, "#ffffff"
		panel = "M7 0H77L84 9L77 18H7L0 9Z"
	}
	t.add(`<path transform="translate(%d %d)" d="%s" fill="%s"/>`, x, middle-9, panel, fill)
	t.text(x+badge/2, middle+4,
		fmt.Sprintf(` text-anchor="middle" font-size="%d" font-weight="700" fill="%s"`, small, text), word)
}
