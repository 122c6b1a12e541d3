package layout

import (
	"fmt"
	"strings"

	"vouchmark/assess"
	"vouchmark/fonts"
)

// Drawing is one label as a list of operations, in the order in which they
// are painted and in which a text layer is read. The writers (and the tests)
// all work from it.
type Drawing struct {
	Size     Size
	Signal   Spot // what the ink Signal stands for
	language string
	colour   assess.Colour // how Signal is printed
	Scale    float64
	Blocks   []Block
	Ops      []Op
}

// Block is a part of the label: every operation names one, and stays in it.
type Block struct {
	Name       string
	X, Y, W, H float64
}

// Kind is the kind of an operation.
type Kind uint8

const (
	// Text is a line of text: X, Y is the start of its baseline, W its width.
	Text Kind = iota
	// Line goes from X, Y to X+W, Y+H, of the width Stroke.
	Line
	// Rect is a rectangle, its corners rounded by Corners, filled with Fill and
	// outlined with Ink of the width Stroke.
	Rect
	// Path is a closed shape of Path, filled with Fill and outlined with Ink.
	Path
	// QR is a QR code with its quiet zone, W wide.
	QR
)

// Op is one operation.
type Op struct {
	Kind       Kind
	Block      int // index into the drawing's Blocks
	X, Y, W, H float64

	Ink    Ink     // of the text or the line
	Fill   Ink     // of the shape
	Stroke float64 // width of the line

	Face *fonts.Face
	Size float64
	Kern bool // letters are set closer by the font's kerning table
	Text string

	Corners Corners
	Path    []Point
	Matrix  *Matrix
}

// Corners are the radii of a rectangle's upper and lower corners.
type Corners struct{ Top, Bottom float64 }

// Point is a point of a path. A point whose Curve is set is reached by a
// quadratic curve with the control point CX, CY.
type Point struct {
	X, Y   float64
	CX, CY float64
	Curve  bool
}

// Shares of the type size that a line of text takes above and below its
// baseline, as the tests for overlap count them: capitals and figures above,
// descenders below.
const (
	overBaseline  = 0.74
	underBaseline = 0.20
)

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

// String writes the drawing one operation a line, for golden files and for a
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
			fmt.Fprintf(&b, "  text %.1f %.1f w%.1f %s %.2f %s %q\n", o.X, o.Y, o.W, o.Face.Name, o.Size, inkNames[o.Ink], o.Text)
		case Line:
			fmt.Fprintf(&b, "  line %.1f %.1f %.1f %.1f %s %.2f\n", o.X, o.Y, o.X+o.W, o.Y+o.H, inkNames[o.Ink], o.Stroke)
		case Rect:
			fmt.Fprintf(&b, "  rect %.1f %.1f %.1f %.1f fill %s line %s %.2f corners %.1f %.1f\n", o.X, o.Y, o.W, o.H, inkNames[o.Fill], inkNames[o.Ink], o.Stroke, o.Corners.Top, o.Corners.Bottom)
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
