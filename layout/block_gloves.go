package layout

import "vouchmark/label"

// blockGloves says which rubber gloves, and where they are asked for, in each
// language.
func blockGloves(c *canvas, w, h float64) float64 {
	rows := c.bilingual(w, func(t *label.Words) []line {
		return []line{{c.strong, "gloves", t.Gloves, 0}, {c.body, "gloves note", t.GlovesNote, 0}}
	}, false)
	if rows == nil {
		return 0
	}
	need := 2*c.pad + textHeight(c, c.strong, len(rows))
	y := c.pad + max(0, h-need)/2 + c.strong.caps()
	for _, row := range rows {
		for _, l := range row {
			c.text(l.x, y, l.font, Black, l.text)
		}
		y += c.lead
	}
	return need
}
