package layout

import (
	"slices"
	"strings"
)

// blockPlace names the equipment: the id large, what supplies it at the right,
// what and where it is below.
func blockPlace(c *canvas, w, h float64) float64 {
	id := strings.ReplaceAll(c.label.ID, " ", "\u00a0")
	supplyWidth := c.supply.width(c.words.Supply)
	room := w - supplyWidth - c.gap
	idFont := c.id
	beside := true
	// A long id is set smaller, then gets the line for itself: ids are short
	// on most labels and should be read from farther away than the rest.
	sizes := [...]float64{1, 0.86, 0.74, 0.64}
	fits := false
	for _, s := range sizes[:3] {
		idFont = c.id.at(c.id.size * s)
		if fits = idFont.width(id) <= room; fits {
			break
		}
	}
	if !fits {
		beside = false
		for _, s := range sizes {
			idFont = c.id.at(c.id.size * s)
			if fits = idFont.width(id) <= w; fits {
				break
			}
		}
	}
	ids := []string{c.label.ID}
	if !fits {
		idFont = c.head
		ids = c.fitted("equipment id", c.label.ID, idFont, w, 1)
	}
	where := c.fitted("equipment and place", c.words.Where, c.body, w, 1)
	for _, t := range c.label.Words[1:] {
		where = append(where, c.fitted("supply", joined(" · ", t.Supply, t.Where), c.body, w, 1)...)
	}
	var supply []string
	if !beside {
		supply = c.fitted("supply", c.words.Supply, c.supply, w, 1)
	}

	need := c.pad + textHeight(c, idFont, len(ids))
	if len(supply) > 0 {
		need += float64(len(supply)) * c.supply.size * c.leading
	}
	need += float64(len(where)) * c.lead
	if len(where)+len(supply) > 0 {
		need += idDrop(idFont) + c.below(c.supply)
	} else {
		need += c.below(idFont)
	}
	y := c.pad + max(0, h-need)/2 + idFont.caps()
	c.equipment(w, y, idFont, ids, c.words.Supply, supply, where)
	return need
}

// equipment sets an id from the baseline y on, its supply at the right or, where that is
// broken, below, and then where it stands.
func (c *canvas) equipment(w, y float64, idFont font, ids []string, supply string, below, where []string) {
	y = c.lines(0, y, idFont, Black, ids)
	if len(below) == 0 {
		c.right(w, y, c.supply, Black, supply)
	}
	y = c.under(y+idDrop(idFont), c.supply, below)
	c.under(y, c.body, where)
}

// idDrop is the white below an id: large letters reach further down.
func idDrop(f font) float64 { return 0.05 * f.size }

// joined are the texts that are not empty, with sep between them.
func joined(sep string, texts ...string) string {
	return strings.Join(slices.DeleteFunc(texts, func(s string) bool { return s == "" }), sep)
}

// distinct is a text of each language, without what is empty or said already.
func distinct[W any](words []W, of func(*W) string) (all []string) {
	for i := range words {
		if t := of(&words[i]); t != "" && !slices.Contains(all, t) {
			all = append(all, t)
		}
	}
	return all
}
