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
		p.draw(0, y)
		y += p.need
	}
	return need
}

// blockMessages is blockMessage with the panels of two languages side by side
// where that is less high and no heading then takes two lines.
func blockMessages(c *canvas, w, h float64) float64 {
	if len(c.label.Words) != 2 {
		return blockMessage(c, w, h)
	}
	var one, two messagePart
	tooWide := c.tried(func() {
		one = newMessagePart(c, &c.label.Words[0], w/2-c.gap, true)
		two = newMessagePart(c, &c.label.Words[1], w/2-c.gap, true)
	})
	need := max(one.need, two.need)
	if tooWide || max(one.headings, two.headings) > 1 || need >= c.measured(blockMessage, w) {
		return blockMessage(c, w, h)
	}
	y := max(0, h-need) / 2
	one.draw(0, y)
	two.draw(w/2+c.gap, y)
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
	head, _ := c.head.fitting(func(f font) bool { return f.size <= c.strong.size || f.width(t.Hazard) <= w },
		1, 0.95, 0.9, 0.85, c.strong.size/c.head.size)
	heading := c.fitted("hazard", t.Hazard, head, w, 1)
	p := messagePart{passage: c.passage(), headings: len(heading), top: c.pad}
	p.add(head, heading...)
	last := head
	if len(t.Message) > 0 {
		body, ok := c.lines.flow(c.body, t.Message, w)
		c.note("message", strings.Join(t.Message, " "), len(body), 2, ok)
		p.add(c.body, body...)
		last = c.body
	}
	if first {
		p.top += c.thick / 2
	} else {
		p.top += 1.2 * c.unit // accents on capitals, clear of the rule
	}
	p.need = p.top + p.foot + c.below(last)
	return p
}

func (p *messagePart) draw(x, y float64) { p.passage.draw(x, y+p.top, Black) }
