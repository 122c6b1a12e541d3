package layout

import "slices"

// codeSide is the side of the QR code with its quiet zone: room for the
// largest code that a link of the tool's form needs, in modules of at least
// the least width, growing with the label's scale.
func codeSide(c *canvas) float64 {
	modules := float64(max(reservedModules, c.code.Side()) + 2*quietZone)
	return modules * minModule * max(1, min(c.unit, 1.25))
}

// quietWidth is the width of the quiet zone of the code at hand.
func quietWidth(c *canvas, side float64) float64 {
	return quietZone * side / float64(c.code.Side()+2*quietZone)
}

// blankCode keeps the place of the QR code on a label that has none.
var blankCode = &Matrix{side: reservedModules}

// blockQR is the QR code. Its quiet zone serves as the margin around it. In its
// place a preview has a square that is crossed out, or says that it is one where
// the label has no room for the strip.
func blockQR(c *canvas, w, _ float64) float64 {
	if c.label.Preview {
		quiet := quietWidth(c, w)
		side := w - 2*quiet
		c.box(quiet, quiet, side, side, 0, None, Black, c.hair)
		if !slices.ContainsFunc(c.Blocks, func(b Block) bool { return b.Name == "interim" }) {
			p := c.passage()
			lines, _ := c.body.balanced([]string{c.words.Interim}, "", side-2*c.unit)
			p.add(c.body, lines...)
			p.draw(quiet+1.5*c.unit, quiet+(side-p.foot)/2, Black)
			return w
		}
		c.line(quiet, quiet, side, side, c.hair, Black)
		c.line(quiet, quiet+side, side, -side, c.hair, Black)
		return w
	}
	c.add(Op{Kind: QR, W: w, Matrix: c.code})
	return w
}
