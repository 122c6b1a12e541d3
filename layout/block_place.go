package layout

import "strings"

// blockPlace names the equipment: the id large, what supplies it at the right,
// what and where it is below.
func blockPlace(c *canvas, w, h float64) float64 {
	id := strings.ReplaceAll(c.label.ID, " ", "\u00a0")
	room := w - c.supply.width(c.words.Supply) - c.gap
	fits := func(f font) bool { return f.width(id) <= room }
	// A long id is set smaller, then on a line of its own: ids are short on most
	// labels and should be readable from farther away than the rest.
	idFont, beside := c.id.fitting(fits, 1, 0.86, 0.74)
	ids := []string{c.label.ID}
	if !beside {
		room = w
		var ok bool
		if idFont, ok = c.id.fitting(fits, 1, 0.86, 0.74, max(0.64, c.body.caps()/c.id.caps())); !ok {
			idFont = c.head
			ids = c.fitted("equipment id", c.label.ID, idFont, w, 1)
		}
	}
	where := c.fitted("equipment and place", c.placeText(w), c.body, w, 1)
	for _, t := range c.label.Words[1:] {
		where = append(where, c.fitted("supply", joined(" · ", t.Supply, t.Where), c.body, w, 1)...)
	}
	var supply []string
	if !beside {
		supply = c.fitted("supply", c.words.Supply, c.supply, w, 1)
	}

	p := c.equipment(w, idFont, ids, c.words.Supply, supply, where)
	if len(where)+len(supply) > 0 {
		return p.fill(h, c.pad, c.below(c.supply))
	}
	return p.fill(h, c.pad, c.below(idFont))
}

// equipment sets an id, its supply to the right or, if that is broken, below, and then
// where it is.
func (c *canvas) equipment(w float64, idFont font, ids []string, supply string, below, where []string) *passage {
	p := c.passage()
	p.add(idFont, ids...)
	if len(below) == 0 {
		p.beside(w-c.supply.width(supply), c.supply, supply)
	}
	if len(below)+len(where) > 0 {
		p.skip(0.05 * idFont.size) // large letters reach further down
	}
	p.add(c.supply, below...)
	p.add(c.body, where...)
	return p
}
