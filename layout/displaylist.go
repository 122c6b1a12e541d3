package layout

import (
	"vouchmark/assess"
	"vouchmark/fonts"
)

// Drawing is one label as a list of operations, in the order in which they are
// painted and in which a text layer is read. All writers and tests work from it.
type Drawing struct {
	Size   Size
	Signal Spot         // what the ink Signal stands for
	color  assess.Color // how Signal is printed
	Scale  float64
	Blocks []Block
	Ops    []Op
}

// Block is a part of the label: every operation belongs to one and stays inside it.
type Block struct {
	Name       string
	X, Y, W, H float64
}

// Kind is the kind of an operation.
type Kind uint8

const (
	// Text is a line of text: X, Y is the start of its baseline, W is its width.
	Text Kind = iota
	// Line goes from X, Y to X+W, Y+H, with width Stroke.
	Line
	// Rect is a rectangle with corners rounded by Corners, filled with Fill and
	// outlined with Ink of width Stroke.
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
	Kern bool // letters are kerned by the font's table
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

// underBaseline is how far the tails of letters reach below their baseline, as a
// share of the type size.
const underBaseline = 0.20
