package layout

import "vouchmark/label"

// blockGloves says which rubber gloves, and where they are asked for, in each
// language.
func blockGloves(c *canvas, w, h float64) float64 {
	rows := c.bilingual(w, func(t *label.Words) []line {
		return []line{{font: c.strong, field: "gloves", text: t.Gloves},
			{font: c.body, field: "gloves note", text: t.GlovesNote}}
	}, false)
	p := c.passage()
	for _, row := range rows {
		p.row(row...)
	}
	return p.fill(h, c.pad, c.below(c.body))
}
