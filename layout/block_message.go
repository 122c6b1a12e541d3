package layout

import (
	"strings"

	"vouchmark/label"
)

// blockMessage is the message panel: the hazard, its consequence and what to
// do about it (Z535.4). Each language has a panel of its own, the first
// language's first.
func blockMessage(c *canvas, w, h float64) float64 {
	parts := make([]messagePart, len(c.label.Words))
	need := 0.0
	for i := range parts {
		parts[i] = newMessagePart(c, &c.label.Words[i], w, i == 0)
		need += parts[i].need
	}
	y := max(0, h-need) / 2
	for i, p := range parts {
		if i > 0 {
			c.line(0, y, w, 0, c.hair, Black)
		}
		p.draw(y)
		y += p.need
	}
	return need
}

// blockMessages is blockMessage with the panels of two languages side by side
// where that is less high.
func blockMessages(c *canvas, w, h float64) float64 {
	if len(c.label.Words) == 2 {
		below := c.measured(blockMessage, w)
		if one, two, ok := messagesBeside(c, w); ok && max(one.need, two.need) < below {
			return drawBeside(c, w, h, one, two)
		}
	}
	return blockMessage(c, w, h)
}

// messagesBeside are the messages of two languages for a half of the width
// each, if no heading then takes two lines.
func messagesBeside(c *canvas, w float64) (one, two messagePart, ok bool) {
	room := (w - 2*c.gap) / 2
	tooWide := c.tried(func() {
		one = newMessagePart(c, &c.label.Words[0], room, true)
		two = newMessagePart(c, &c.label.Words[1], room, true)
	})
	return one, two, !tooWide && one.headings < 2 && two.headings < 2
}

func drawBeside(c *canvas, w, h float64, one, two messagePart) float64 {
	need := max(one.need, two.need)
	y := max(0, h-need) / 2
	one.draw(y)
	was := c.place
	c.ox += w/2 + c.gap
	two.draw(y)
	c.place = was
	c.line(w/2, 0, 0, max(h, need), c.hair, Black)
	return need
}

// messagePart is the message in one language.
type messagePart struct {
	*passage
	headings  int // lines of the heading
	top, need float64
}

func newMessagePart(c *canvas, t *label.Words, w float64, first bool) messagePart {
	heading := c.fitted("hazard", t.Hazard, c.head, w, 1)
	p := messagePart{passage: c.passage(), headings: len(heading), top: c.pad}
	p.add(c.head, heading...)
	last := c.head
	if len(t.Message) > 0 {
		body, ok := c.body.flow(t.Message, " ", w)
		c.note("message", strings.Join(t.Message, " "), len(body), 2, ok)
		p.add(c.body, body...)
		last = c.body
	}
	if first {
		p.top += c.thick / 2
	}
	p.need = p.top + p.foot + c.below(last)
	return p
}

func (p *messagePart) draw(y float64) { p.passage.draw(0, y+p.top, Black) }
