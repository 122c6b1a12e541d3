package layout

import (
	"strings"

	"vouchmark/label"
)

// noWorkBlock is the black block of a DANGER label, over its full width: no energized
// work, why, and how to make the equipment safe. It takes the place of the kit, so it
// comes as early in reading order.
func noWorkBlock(c *canvas, w, h float64) float64 {
	side, pad, skip := 4*c.unit, 6*c.unit, 0.3*c.lead
	if c.tight {
		side, pad = 3*c.unit, 4*c.unit
	}
	if c.runs {
		pad, skip = 3*c.unit, 0.15*c.lead
	}
	room := w - 2*side
	big, title := c.noWorkTitle(room)
	p := c.passage()
	p.add(big, title...)
	p.skip(skip)
	rows := len(p.lines)
	for i := range c.label.Words {
		p.add(c.strong, c.even("reason for no energized work", c.strong, room, 2, c.label.Words[i].NoWorkWhy)...)
	}
	for i := range c.label.Words {
		do := c.label.Words[i].NoWorkDo
		if c.runs {
			do = []string{strings.Join(do, " ")}
		}
		for _, sentence := range do {
			p.add(c.body, c.even("how to make it safe", c.body, room, 2, sentence)...)
		}
	}
	need := pad + p.foot + max(pad, c.below(c.body))
	if h == 0 {
		return need
	}
	c.box(0, 0, w, h, 3*c.unit, Black, None, 0)
	c.hatch(0, 0, w, h, White)
	spare := max(0, h-need)
	for i := range p.lines {
		l := &p.lines[i]
		l.x = -l.width(l.text) / 2
		l.y += spare * 0.5 * float64(max(0, i-rows+1)) / float64(len(p.lines)-rows+1)
	}
	p.draw(w/2, pad+spare*0.25, White)
	return need
}

// noWorkTitle sets the sentence of a DANGER label on one line where some size
// allows that, else on two, else on as many as it takes; in each language. Where all
// lines are close, those of two languages share one if they fit.
func (c *canvas) noWorkTitle(w float64) (f font, lines []string) {
	titles := distinct(c.label.Words, func(t *label.Words) string { return t.NoWork })
	shares := []float64{1.3, 1.15, 1, 0.92, 0.84, 0.76, 0.7}
	if c.runs {
		shares = shares[1:]
		if one := strings.Join(titles, " / "); c.noWork.width(one) <= w {
			titles = []string{one}
		}
	}
	set := func(f font) (ok bool) {
		lines, ok = nil, true
		for _, t := range titles {
			some, fits := f.balanced([]string{t}, "", w)
			lines, ok = append(lines, some...), ok && fits
		}
		return ok
	}
	for most := 1; most <= 2; most++ {
		f, ok := c.noWork.fitting(func(f font) bool {
			return set(f) && len(lines) <= most*len(titles)
		}, shares...)
		if ok {
			c.note("no-work sentence", c.words.NoWork, most, 1, true)
			return f, lines
		}
	}
	ok := set(c.noWork)
	c.note("no-work sentence", c.words.NoWork, len(lines), 1, ok)
	return c.noWork, lines
}
