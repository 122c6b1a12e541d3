package layout

// blockMaintenance is what holds with the maintenance switch on alone: a line
// below the kit, in the letters of the list and not in those of the energy, so
// that nobody takes it for what holds always. Most labels have none.
func blockMaintenance(c *canvas, w, h float64) float64 {
	p := c.passage()
	for i := range c.label.Words {
		t := &c.label.Words[i]
		p.add(c.medium, c.fitted("maintenance switch", t.Maintenance, c.medium, w, 2)...)
	}
	return p.fill(h, c.pad, c.below(c.medium))
}
