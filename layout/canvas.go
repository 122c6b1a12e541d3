package layout

import (
	"strings"

	"vouchmark/label"
)

// canvas is what a block draws on: a list of operations with a moving origin,
// and all that a block may want to know.
type canvas struct {
	*style
	label *label.Label
	words *label.Words
	code  *Matrix

	ops    []Op
	blocks []Block
	block  int
	x, y   float64

	// edgeLeft and edgeRight are how far a block's ground may reach beyond its
	// text: to the frame of the label, or to the next column.
	edgeLeft, edgeRight float64

	split struct{ of, left, height float64 } // see beside.split

	// uses lists what was fitted, when asked for: it tells which text takes
	// more room than a label has.
	uses   *[]use
	failed bool // a word was too wide
}

// use is a text that was set in lines, usual being how many there is room for
// on a label that fits, or whose longest word is too wide.
type use struct {
	field, text  string
	lines, usual int
	tooWide      bool
}

func (c *canvas) add(o Op) {
	o.X += c.x
	o.Y += c.y
	o.Block = c.block
	c.ops = append(c.ops, o)
}

// text sets s with its baseline at y, and returns its width.
func (c *canvas) text(x, y float64, f font, ink Ink, s string) float64 {
	if s == "" {
		return 0
	}
	o := f.op(x, y, ink, s)
	c.add(o)
	return o.W
}

func (c *canvas) right(x, y float64, f font, ink Ink, s string) {
	c.text(x-f.width(s), y, f, ink, s)
}

func (c *canvas) centre(x, y float64, f font, ink Ink, s string) {
	c.text(x-f.width(s)/2, y, f, ink, s)
}

// lines sets lines below each other from the baseline y on, and returns the
// baseline of the last.
func (c *canvas) lines(x, y float64, f font, ink Ink, lines []string) float64 {
	for i, l := range lines {
		if i > 0 {
			y += f.size * c.leading
		}
		c.text(x, y, f, ink, l)
	}
	return y
}

// under sets lines below the baseline y, and returns the baseline of the last.
func (c *canvas) under(y float64, f font, lines []string) float64 {
	for _, l := range lines {
		y += float64(f.size * c.leading)
		c.text(0, y, f, Black, l)
	}
	return y
}

func (c *canvas) line(x0, y0, x1, y1, stroke float64, ink Ink) {
	c.add(Op{Kind: Line, X: x0, Y: y0, W: x1 - x0, H: y1 - y0, Ink: ink, Stroke: stroke})
}

func (c *canvas) rect(x, y, w, h float64, fill Ink) {
	c.add(Op{Kind: Rect, X: x, Y: y, W: w, H: h, Fill: fill})
}

func (c *canvas) box(x, y, w, h, radius float64, fill, ink Ink, stroke float64) {
	c.add(Op{Kind: Rect, X: x, Y: y, W: w, H: h, Fill: fill, Ink: ink, Stroke: stroke,
		Corners: Corners{radius, radius}})
}

// path adds a shape whose points are moved by x, y and scaled by s.
func (c *canvas) path(x, y, s float64, fill Ink, shape []Point) {
	points := make([]Point, len(shape))
	for i, p := range shape {
		points[i] = Point{X: c.x + x + p.X*s, Y: c.y + y + p.Y*s,
			CX: c.x + x + p.CX*s, CY: c.y + y + p.CY*s, Curve: p.Curve}
	}
	c.ops = append(c.ops, Op{Kind: Path, Block: c.block, Fill: fill, Path: points})
}

// fitted breaks text for a field, and notes how many lines it takes where
// usual would be common.
func (c *canvas) fitted(field, text string, f font, w float64, usual int) []string {
	if text == "" {
		return nil
	}
	lines, ok := f.wrap(text, w)
	c.note(field, text, len(lines), usual, ok)
	return lines
}

// even is fitted for parts on lines of nearly equal length.
func (c *canvas) even(field string, f font, w float64, usual int, parts ...string) []string {
	text := strings.Join(parts, " ")
	if text == "" {
		return nil
	}
	lines, ok := f.balanced(parts, " ", w)
	c.note(field, text, len(lines), usual, ok)
	return lines
}

func (c *canvas) note(field, text string, lines, usual int, ok bool) {
	if c.uses != nil {
		*c.uses = append(*c.uses, use{field, text, lines, usual, !ok})
	} else if !ok {
		c.failed = true
	}
}
