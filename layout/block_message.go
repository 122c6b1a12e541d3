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
		p.draw(c, y)
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
	return one, two, !tooWide && len(one.heading) < 2 && len(two.heading) < 2
}

func drawBeside(c *canvas, w, h float64, one, two messagePart) float64 {
	need := max(one.need, two.need)
	y := max(0, h-need) / 2
	one.draw(c, y)
	was := c.place
	c.ox += w/2 + c.gap
	two.draw(c, y)
	c.place = was
	c.line(w/2, 0, 0, max(h, need), c.hair, Black)
	return need
}

// messagePart is the message in one language.
type messagePart struct {
	heading, body []string
	top, need     float64
}

func newMessagePart(c *canvas, t *label.Words, w float64, first bool) messagePart {
	p := messagePart{heading: c.fitted("hazard", t.Hazard, c.head, w, 1), top: c.pad}
	if len(t.Message) > 0 {
		var ok bool
		p.body, ok = c.body.flow(t.Message, " ", w)
		c.note("message", strings.Join(t.Message, " "), len(p.body), 2, ok)
	}
	if first {
		p.top += c.thick / 2
	}
	p.need = p.top + textHeight(c, c.head, len(p.heading)) + lineGap(c, len(p.heading), len(p.body)) +
		textHeight(c, c.body, len(p.body))
	if len(p.body) > 0 {
		p.need += c.below(c.body)
	} else {
		p.need += c.below(c.head)
	}
	return p
}

func (p *messagePart) draw(c *canvas, y float64) {
	y += p.top + c.head.caps()
	if len(p.heading) == 0 {
		y += c.body.caps() - c.head.caps()
	} else {
		y = c.lines(0, y, c.head, Black, p.heading)
		y += c.lead
	}
	c.lines(0, y, c.body, Black, p.body)
}

// textHeight is the height of n lines from the top of the capitals to the last
// baseline.
func textHeight(c *canvas, f font, n int) float64 {
	if n == 0 {
		return 0
	}
	return f.caps() + float64(n-1)*f.size*c.leading
}

// lineGap is the white between the last baseline of n lines and the capitals
// of m lines of body text below, where there are both.
func lineGap(c *canvas, n, m int) float64 {
	if n == 0 || m == 0 {
		return 0
	}
	return c.lead - c.body.caps()
}

// below is the white below the last baseline of a block, set in f: it holds
// the tails of its letters.
func (c *canvas) below(f font) float64 { return max(c.pad, underBaseline*f.size) }
