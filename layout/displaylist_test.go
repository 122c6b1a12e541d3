package layout

import (
	"fmt"
	"strings"
)

// overBaseline is how far capitals and digits reach above their baseline, as a share
// of the type size, for the tests of overlap.
const overBaseline = 0.74

// Box is the rectangle which o covers.
func (o *Op) Box() (x0, y0, x1, y1 float64) {
	switch o.Kind {
	case Text:
		return o.X, o.Y - overBaseline*o.Size, o.X + o.W, o.Y + underBaseline*o.Size
	case QR:
		return o.X, o.Y, o.X + o.W, o.Y + o.W
	case Path:
		x0, y0, x1, y1 = o.Path[0].X, o.Path[0].Y, o.Path[0].X, o.Path[0].Y
		for _, p := range o.Path {
			x0, y0, x1, y1 = min(x0, p.X), min(y0, p.Y), max(x1, p.X), max(y1, p.Y)
		}
		return x0, y0, x1, y1
	}
	return min(o.X, o.X+o.W), min(o.Y, o.Y+o.H), max(o.X, o.X+o.W), max(o.Y, o.Y+o.H)
}

var inkNames = [...]string{"none", "black", "white", "tint", "signal"}

// String writes the drawing one operation to a line, for golden files and for a
// reader who looks for what has moved.
func (d *Drawing) String() string {
	var b strings.Builder
	fmt.Fprintf(&b, "label %.1f x %.1f, %s, scale %.3f\n", d.Size.W, d.Size.H, d.Signal.Name, d.Scale)
	block := -1
	for i := range d.Ops {
		o := &d.Ops[i]
		if o.Block != block {
			block = o.Block
			k := d.Blocks[block]
			fmt.Fprintf(&b, "%s %.1f %.1f %.1f %.1f\n", k.Name, k.X, k.Y, k.W, k.H)
		}
		switch o.Kind {
		case Text:
			fmt.Fprintf(&b, "  text %.1f %.1f w%.1f %s %.2f %s %q\n",
				o.X, o.Y, o.W, o.Face.Name, o.Size, inkNames[o.Ink], o.Text)
		case Line:
			fmt.Fprintf(&b, "  line %.1f %.1f %.1f %.1f %s %.2f\n",
				o.X, o.Y, o.X+o.W, o.Y+o.H, inkNames[o.Ink], o.Stroke)
		case Rect:
			fmt.Fprintf(&b, "  rect %.1f %.1f %.1f %.1f fill %s line %s %.2f corners %.1f %.1f\n", o.X, o.Y, o.W, o.H,
				inkNames[o.Fill], inkNames[o.Ink], o.Stroke, o.Corners.Top, o.Corners.Bottom)
		case Path:
			fmt.Fprintf(&b, "  path fill %s line %s %.2f", inkNames[o.Fill], inkNames[o.Ink], o.Stroke)
			for _, p := range o.Path {
				if p.Curve {
					fmt.Fprintf(&b, " (%.1f %.1f)", p.CX, p.CY)
				}
				fmt.Fprintf(&b, " %.1f,%.1f", p.X, p.Y)
			}
			b.WriteByte('\n')
		case QR:
			fmt.Fprintf(&b, "  qr %.1f %.1f %.1f version %d\n", o.X, o.Y, o.W, o.Matrix.Version())
		}
	}
	return b.String()
}
