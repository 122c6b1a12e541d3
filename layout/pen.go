package layout

// pen adds operations to a drawing. Positions are measured from its origin.
type pen struct {
	*Drawing
	place
	dry bool // only measures: nothing is added
}

// place is the position of a pen.
type place struct {
	block  int     // the part of the drawing
	ox, oy float64 // the origin

	// edgeLeft and edgeRight are how far a block's ground may extend beyond its text:
	// to the frame of the label, or to the next column.
	edgeLeft, edgeRight float64

	plate Ink // what each text is backed with; None for nothing
}

func (p *pen) add(o Op) {
	if p.dry {
		return
	}
	o.X += p.ox
	o.Y += p.oy
	o.Block = p.block
	p.Ops = append(p.Ops, o)
}

// text sets s with its baseline at y, and returns its width.
func (p *pen) text(x, y float64, f font, ink Ink, s string) float64 {
	if s == "" {
		return 0
	}
	w := f.width(s)
	if p.dry {
		return w
	}
	p.onPlate(x, y, f, w)
	p.add(Op{Kind: Text, X: x, Y: y, W: w, Ink: ink, Face: f.face, Size: f.size, Kern: f.kern, Text: s})
	return w
}

// right is a text that ends at x.
func (p *pen) right(x, y float64, f font, ink Ink, s string) {
	p.text(x-f.width(s), y, f, ink, s)
}

// centre is a text with its middle at x.
func (p *pen) centre(x, y float64, f font, ink Ink, s string) {
	p.text(x-f.width(s)/2, y, f, ink, s)
}

// line goes from x, y to x+dx, y+dy.
func (p *pen) line(x, y, dx, dy, stroke float64, ink Ink) {
	p.add(Op{Kind: Line, X: x, Y: y, W: dx, H: dy, Ink: ink, Stroke: stroke})
}

func (p *pen) rect(x, y, w, h float64, fill Ink) {
	p.add(Op{Kind: Rect, X: x, Y: y, W: w, H: h, Fill: fill})
}

func (p *pen) box(x, y, w, h, radius float64, fill, ink Ink, stroke float64) {
	p.add(Op{Kind: Rect, X: x, Y: y, W: w, H: h, Fill: fill, Ink: ink, Stroke: stroke,
		Corners: Corners{radius, radius}})
}

// path adds a shape whose points are moved by x, y and scaled by s.
func (p *pen) path(x, y, s float64, fill Ink, shape []Point) {
	if p.dry {
		return
	}
	x, y = x+p.ox, y+p.oy
	points := make([]Point, len(shape))
	for i, q := range shape {
		points[i] = Point{X: x + q.X*s, Y: y + q.Y*s, CX: x + q.CX*s, CY: y + q.CY*s, Curve: q.Curve}
	}
	p.Ops = append(p.Ops, Op{Kind: Path, Block: p.block, Fill: fill, Path: points})
}
