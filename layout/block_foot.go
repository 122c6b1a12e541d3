package layout

import (
	"strings"

	"vouchmark/label"
)

// blockFoot says why the label holds and until when: the dates, the fault
// current and the study, what the QR code is for, the record's code, and the box
// for the day on which it was put up.
func blockFoot(c *canvas, w, h float64) float64 {
	head := c.bilingual(w, func(t *label.Words) []line {
		return []line{{font: c.strong, field: "dates", text: t.Dates},
			{font: c.body, field: "fault current", text: joined(" · ", t.Fault, c.studyOf(t))},
			{font: c.strong, field: "rating", text: t.Rated}}
	}, true)
	// Where height is short, the fault current goes beside the dates if it fits there.
	if len(head) > 1 && c.packed && len(c.label.Words) == 1 && len(head[0]) == 1 {
		first, second := head[0][0], head[1][0]
		if x := first.width(first.text) + 1.6*c.gap; second.text == c.words.Fault && x+second.width(second.text) <= w {
			second.x = x
			head = append([][]line{{first, second}}, head[2:]...)
		}
	}
	if c.notes {
		scan := strings.Join(distinct(c.label.Words, func(t *label.Words) string { return t.Scan }), " / ")
		for _, s := range [...]string{scan, c.words.ScanAsk} {
			head = append(head, c.broken(w, []line{{font: c.body, field: "scan note", text: s}})...)
		}
	}
	applied := c.inEach(" / ", func(t *label.Words) string { return t.Applied })

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
	drop := over * 0.8                      // so its line is lower
	need := 2*c.pad + textHeight(c, c.strong, rows) + over + drop
	if c.dry {
		return need
	}
	spare := max(0, h-need)
	step := c.lead + spare*0.5/float64(rows)
	y := c.pad + spare*0.25 + c.strong.caps()

	for _, row := range head {
		for _, l := range row {
			c.text(l.x, y, l.font, Black, l.text)
		}
		y += step
	}
	if !apart {
		y += drop
	}
	c.text(0, y, c.body, Black, c.label.Code)
	if apart {
		y += step + drop
	}
	x += c.text(x, y, c.body, Black, applied) + 4*c.unit
	wide := min(w-x, max(boxLeast, MM(30)))
	c.box(x, y-c.body.caps()-over, wide, boxHeight, 0, White, Black, c.hair)
	c.centre(x+wide/2, y, c.medium, Black, on)
	return need
}

// studyOf is the study's number, where there is room for it.
func (c *canvas) studyOf(t *label.Words) string {
	if c.brief {
		return ""
	}
	return t.Study
}
