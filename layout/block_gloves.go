package layout

// blockGloves says which rubber gloves, and where they are asked for.
func blockGloves(c *canvas, w, h float64) float64 {
	if c.words.Gloves == "" && c.words.GlovesNote == "" {
		return 0
	}
	gloves := c.fitted("gloves", c.words.Gloves, c.strong, w, 1)
	note := c.fitted("gloves note", c.words.GlovesNote, c.body, w, 1)
	need := 2*c.pad + textHeight(c, c.strong, len(gloves)+len(note))
	y := c.pad + max(0, h-need)/2 + c.strong.caps()
	if len(gloves) > 0 {
		y = c.lines(0, y, c.strong, Black, gloves) + c.lead
	}
	c.lines(0, y, c.body, Black, note)
	return need
}
