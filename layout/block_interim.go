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
	word, why    *passage
	indent, need float64
}

func newInterimPart(c *canvas, t *label.Words, w float64) interimPart {
	p := interimPart{word: c.passage(), why: c.passage(), indent: c.head.width(t.Interim) + c.gap}
	p.word.add(c.head, c.fitted("interim", t.Interim, c.head, w, 1)...)
	p.why.add(c.medium, c.fitted("interim reason", t.Doubt, c.medium, w-p.indent, 2)...)
	p.need = c.pad + max(p.why.foot+c.below(c.medium), c.head.caps()+c.below(c.head))
	return p
}

func (p *interimPart) draw(c *canvas, y float64) {
	p.word.draw(0, y+c.pad, White)
	p.why.draw(p.indent, y+c.pad, White)
}
