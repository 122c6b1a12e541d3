package layout

// An INTERIM label is hatched where its energy and its kit are, since they may be too
// low. The strokes run through everything except the texts, which are on plates in the
// color of their ground, so that each stays legible.

// hatch strokes a rectangle on an interim label, in an ink on another ground.
func (c *canvas) hatch(x, y, w, h float64, ink Ink) {
	if c.words.Interim == "" || c.label.Preview {
		return
	}
	u := c.unit
	step, wide := 9*u, 1.5*u
	for at := x - h; at < x+w; at += step {
		stroke := clipX([]Point{{X: at, Y: y + h}, {X: at + wide, Y: y + h}, {X: at + wide + h, Y: y}, {X: at + h, Y: y}}, x, x+w)
		if len(stroke) > 2 {
			c.path(0, 0, 1, ink, stroke)
		}
	}
	c.plate = White
	if ink == White {
		c.plate = Black
	}
}

// onPlate draws the plate behind a text: from above its capitals to below its
// descenders.
func (p *pen) onPlate(x, y float64, f font, w float64) {
	if p.plate != None {
		side := 0.22 * f.size
		p.rect(x-side, y-f.caps()-side, w+2*side, f.caps()+side+underBaseline*f.size+0.04*f.size, p.plate)
	}
}
