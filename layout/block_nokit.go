package layout

import (
	"strings"

	"vouchmark/label"
)

// noKitBox is the black box of a DANGER label.
func noKitBox(c *canvas, w, h float64) float64 {
	pad := 6 * c.unit
	if c.tight {
		pad = 4 * c.unit
	}
	room := w - 2*pad
	big, title := c.noKitTitle(room)
	p := c.passage()
	p.add(big, title...)
	p.skip(0.3 * c.lead)
	var rest [][]string
	for i := range c.label.Words {
		energy, why := splitWhy(&c.label.Words[i])
		p.add(c.strong, c.even("energy", c.strong, room, 2, energy...)...)
		rest = append(rest, why)
	}
	for _, why := range rest {
		p.add(c.body, c.even("reason why no kit is allowed", c.body, room, 2, why...)...)
	}
	need := 2*pad + p.foot
	if h == 0 {
		return need
	}
	c.box(0, 0, w, h, 3*c.unit, Black, None, 0)
	spare := max(0, h-need)
	rows := len(p.lines) - len(title) // which share a half of what is left over
	for i := range p.lines {
		l := &p.lines[i]
		l.x = -l.width(l.text) / 2
		l.y += spare * 0.5 * float64(max(0, i-len(title)+1)) / float64(rows+1)
	}
	p.draw(w/2, pad+spare*0.25, White)
	return need
}

// noKitTitle sets the sentence of a DANGER label on one line where some size
// allows that, else on two, else on as many as it takes; in each language.
func (c *canvas) noKitTitle(w float64) (f font, lines []string) {
	set := func(f font) (ok bool) {
		lines, ok = nil, true
		for _, t := range c.label.Words {
			some, fits := f.balanced([]string{t.NoKit}, "", w)
			lines, ok = append(lines, some...), ok && fits
		}
		return ok
	}
	for most := 1; most <= 2; most++ {
		f, ok := c.noKit.fitting(func(f font) bool {
			return set(f) && len(lines) <= most*len(c.label.Words)
		}, 1, 0.92, 0.84, 0.76, 0.7)
		if ok {
			c.note("no-kit sentence", c.words.NoKit, most, 1, true)
			return f, lines
		}
	}
	ok := set(c.noKit)
	c.note("no-kit sentence", c.words.NoKit, len(lines), 1, ok)
	return c.noKit, lines
}

// splitWhy is what the black box says in bold, the energy, and what it says
// below. The reason may begin with the energy itself, which then is not said
// twice.
func splitWhy(t *label.Words) (bold, rest []string) {
	if len(t.NoKitWhy) > 0 && strings.HasPrefix(t.NoKitWhy[0], t.Energy) {
		return t.NoKitWhy[:1], t.NoKitWhy[1:]
	}
	return []string{joined(" ", t.Energy, t.EnergyNote)}, t.NoKitWhy
}
