package layout

import "strings"

// blockMessage is the message panel: the hazard, its consequence and what to
// do about it (Z535.4).
func blockMessage(c *canvas, w, h float64) float64 {
	heading := c.fitted("hazard", c.words.Hazard, c.head, w, 1)
	var body []string
	if len(c.words.Message) > 0 {
		var ok bool
		body, ok = c.body.flow(c.words.Message, " ", w)
		c.note("message", strings.Join(c.words.Message, " "), len(body), 2, ok)
	}
	top := c.pad + c.thick/2
	need := top + textHeight(c, c.head, len(heading)) + lineGap(c, len(heading), len(body)) +
		textHeight(c, c.body, len(body))
	if len(body) > 0 {
		need += c.below(c.body)
	} else {
		need += c.below(c.head)
	}
	y := top + max(0, h-need)/2 + c.head.caps()
	if len(heading) == 0 {
		y += c.body.caps() - c.head.caps()
	} else {
		y = c.lines(0, y, c.head, Black, heading)
		y += c.lead
	}
	c.lines(0, y, c.body, Black, body)
	return need
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
