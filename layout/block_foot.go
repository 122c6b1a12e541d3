package layout

import (
	"slices"
	"strings"

	"vouchmark/label"
)

// blockFoot says why the label holds and until when: the dates, the source,
// the record's code, and the box for the day on which it was put up.
func blockFoot(c *canvas, w, h float64) float64 {
	head := c.bilingual(w, func(t *label.Words) []line {
		return []line{{font: c.strong, field: "dates", text: t.Dates}, {font: c.body, field: "study", text: t.Source},
			{font: c.strong, field: "rating", text: t.Rated}}
	}, true)
	applied := c.inEach(" / ", func(t *label.Words) string { return t.Applied })
	scan := strings.Join(distinct(c.label.Words, func(t *label.Words) string { return t.Scan }), " / ")

	// The code and the box share a line where there is room for a date written
	// by hand, about 20 mm.
	on := c.words.AppliedOn
	boxLeast := MM(19)
	if on != "" {
		boxLeast = c.medium.width(on) + 8*c.unit
	}
	codeWidth := c.body.width(c.label.Code)
	c.note("code", c.label.Code, 1, 1, codeWidth <= w)
	x := codeWidth + c.gap*1.6 // of what names the box
	rows := len(head) + 1
	apart := x+c.body.width(applied)+4*c.unit+boxLeast > w
	if apart {
		x = 0
		rows++
	}
	boxHeight := c.body.caps() + 5*c.unit
	if c.tight {
		boxHeight = c.body.caps() + 3.4*c.unit
	}
	over := (boxHeight - c.body.caps()) / 2 // the box reaches beyond its line
	drop := over * 0.8                      // so its line stands lower
	need := 2*c.pad + textHeight(c, c.strong, rows) + over + drop
	spare := max(0, h-need)
	step := c.lead + spare*0.5/float64(rows)
	y := c.pad + spare*0.25 + c.strong.caps()

	var ends []Point // of the lines
	for _, row := range head {
		end := 0.0
		for _, l := range row {
			end = l.x + c.text(l.x, y, l.font, Black, l.text)
		}
		ends = append(ends, Point{X: end, Y: y})
		y += step
	}
	if !apart {
		y += drop
	}
	c.text(0, y, c.body, Black, c.label.Code)
	if apart {
		ends = append(ends, Point{X: codeWidth, Y: y})
		y += step + drop
	}
	x += c.text(x, y, c.body, Black, applied) + 4*c.unit
	wide := min(w-x, max(boxLeast, MM(30)))
	c.box(x, y-c.body.caps()-over, wide, boxHeight, 0, White, Black, c.hair)
	c.centre(x+wide/2, y, c.medium, Black, on)
	ends = append(ends, Point{X: x + wide, Y: y})
	if !c.scanNote(w, scan, ends) {
		c.scanNote(w, c.words.Scan, ends)
	}
	return need
}

// scanNote says what the QR code is for: at the right end of the lowest line
// that has room for it; the code is to the right of that.
func (c *canvas) scanNote(w float64, note string, ends []Point) bool {
	x := w - c.body.width(note) - 0.5*c.gap
	for _, end := range slices.Backward(ends) {
		if end.X+1.5*c.gap <= x {
			c.text(x, end.Y, c.body, Black, note)
			return true
		}
	}
	return false
}
