package layout

// passage has lines of text below each other, measured before they are drawn.
type passage struct {
	c     *canvas
	lines []line  // kept only where they are drawn
	any   bool    // there are lines
	foot  float64 // the last baseline, from the tops of the first line's capitals
}

// line is a text that is set in one line or broken into several.
type line struct {
	font
	field, text string
	x, y        float64
}

func (c *canvas) passage() *passage { return &passage{c: c} }

// row puts lines on one baseline, below what is there, at a distance given by the
// first one's font.
func (p *passage) row(lines ...line) {
	if f := lines[0].font; !p.any {
		p.foot = f.caps()
	} else {
		p.foot += f.size * p.c.leading
	}
	for _, l := range lines {
		l.y = p.foot
		p.put(l)
	}
}

func (p *passage) put(l line) {
	p.any = true
	if !p.c.dry {
		p.lines = append(p.lines, l)
	}
}

// add puts lines in f below what is there.
func (p *passage) add(f font, texts ...string) {
	for _, t := range texts {
		p.row(line{font: f, text: t})
	}
}

// beside puts a text on the last line, starting at x.
func (p *passage) beside(x float64, f font, text string) {
	p.put(line{font: f, text: text, x: x, y: p.foot})
}

// skip leaves white below what is there.
func (p *passage) skip(white float64) {
	if p.any {
		p.foot += white
	}
}

// draw draws the passage from the top y on.
func (p *passage) draw(x, y float64, ink Ink) {
	for _, l := range p.lines {
		p.c.text(x+l.x, y+l.y, l.font, ink, l.text)
	}
}

// fill draws the passage as a block in the middle of height h, with white above and
// below it. It returns the height that it needs; 0 without lines.
func (p *passage) fill(h, above, below float64) float64 {
	if !p.any {
		return 0
	}
	need := above + p.foot + below
	p.draw(0, above+max(0, h-need)/2, Black)
	return need
}

// textHeight is the height of n lines from the top of the capitals to the last
// baseline.
func textHeight(c *canvas, f font, n int) float64 {
	if n == 0 {
		return 0
	}
	return f.caps() + float64(n-1)*f.size*c.leading
}

// below is the white below the last baseline of a block set in f: room for the
// descenders.
func (c *canvas) below(f font) float64 { return max(c.pad, underBaseline*f.size+0.9*c.unit) }
