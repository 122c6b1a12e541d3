package layout

import "vouchmark/label"

// blockInterim is the strip on a label that is printed though it does not
// hold: white on black from edge to edge, its word in letters larger than those
// of the energy, so that nobody takes it for an ordinary one. Other labels have
// none.
func blockInterim(c *canvas, w, h float64) float64 {
	if c.words.Interim == "" {
		return 0
	}
	need := 0.0
	parts := make([]interimPart, len(c.label.Words))
	for i := range parts {
		parts[i] = newInterimPart(c, &c.label.Words[i], w, i == 0)
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

// interimPart is the strip's text in one language: the word, and beside it or
// below it the reason.
type interimPart struct {
	word, why    *passage
	indent, down float64 // of the reason
	need         float64
}

func newInterimPart(c *canvas, t *label.Words, w float64, first bool) interimPart {
	big := c.head
	if first {
		big = c.energy.at(1.12 * c.energy.size)
	}
	if c.label.Preview { // it says no more than its word
		big = c.head
	}
	p := interimPart{word: c.passage(), why: c.passage(), indent: big.width(t.Interim) + 1.5*c.gap}
	p.word.add(big, c.fitted("interim", t.Interim, big, w, 1)...)
	below := p.indent > 0.5*w
	if below {
		p.indent, p.down = 0, p.word.foot+0.5*c.lead
	}
	p.why.add(c.medium, c.fitted("interim reason", t.Doubt, c.medium, w-p.indent, 3)...)
	p.need = c.pad + max(p.word.foot+c.below(big), p.down+p.why.foot+c.below(c.medium))
	return p
}

func (p *interimPart) draw(c *canvas, y float64) {
	p.word.draw(0, y+c.pad, White)
	p.why.draw(p.indent, y+c.pad+p.down, White)
}
