package layout

// blockGloves says which rubber gloves, and where they are asked for, in each
// language.
func blockGloves(c *canvas, w, h float64) float64 {
	type line struct {
		font
		text string
	}
	var lines []line
	for _, t := range c.label.Words {
		for _, s := range c.fitted("gloves", t.Gloves, c.strong, w, 1) {
			lines = append(lines, line{c.strong, s})
		}
		for _, s := range c.fitted("gloves note", t.GlovesNote, c.body, w, 1) {
			lines = append(lines, line{c.body, s})
		}
	}
	if lines == nil {
		return 0
	}
	need := 2*c.pad + textHeight(c, c.strong, len(lines))
	y := c.pad + max(0, h-need)/2 + c.strong.caps()
	for _, l := range lines {
		c.text(0, y, l.font, Black, l.text)
		y += c.lead
	}
	return need
}
