package layout

import "vouchmark/label"

// blockInterim is the strip on a label that is printed though it does not
// hold: white on black from edge to edge, so that nobody takes it for an
// ordinary one. Other labels have none.
func blockInterim(c *canvas, w, h float64) float64 {
	if c.words.Interim == "" {
		return 0
	}
	need := 0.0
	parts := make([]interimPart, len(c.label.Words))
	for i := range parts {
		parts[i] = newInterimPart(c, &c.label.Words[i], w)
		need += parts[i].need
	}
	c.rect(-c.edgeLeft, 0, w+c.edgeLeft+c.edgeRight, max(h, need), Black)
	y := max(0, h-need) / 2
	for _, p := range parts {
		p.draw(c, y)
		y += p.need
	}
	return need
}

// interimPart is the strip's text in one language: the word, and beside it the
// reason.
type interimPart struct {
	word, why []string
	indent    float64
	need      float64
}

func newInterimPart(c *canvas, t *label.Words, w float64) interimPart {
	p := interimPart{word: c.fitted("interim", t.Interim, c.head, w, 1), indent: c.head.width(t.Interim) + c.gap}
	p.why = c.fitted("interim reason", t.Doubt, c.medium, w-p.indent, 2)
	p.need = c.pad + textHeight(c, c.medium, len(p.why)) + c.below(c.medium)
	p.need = max(p.need, c.pad+c.head.caps()+c.below(c.head))
	return p
}

func (p *interimPart) draw(c *canvas, y float64) {
	c.lines(0, y+c.pad+c.head.caps(), c.head, White, p.word)
	c.lines(p.indent, y+c.pad+c.medium.caps(), c.medium, White, p.why)
}
