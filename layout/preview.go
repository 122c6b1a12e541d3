package layout

import (
	"math"
	"slices"

	"vouchmark/fonts"
)

// across draws a text in outlined letters over a whole label, from its lower left to
// its upper right corner, as large as possible, so that every part that could be cut
// out shows some of it. The letters are above all shapes and below all texts, which
// must stay readable. Nothing is drawn for a blank text.
func (d *Drawing) across(text string) {
	f := font{face: fonts.Bold, size: 1}
	width, high := f.width(text), f.caps()
	if width == 0 {
		return
	}
	const edge = 0.04 // of the label, kept free on each side
	w, h := (1-2*edge)*d.Size.W, (1-2*edge)*d.Size.H
	size, sin, cos := diagonal(w, h, width, high)
	// Its middle is the middle of the label.
	x := d.Size.W/2 - size*(float64(width*cos)-float64(high*sin))/2
	y := d.Size.H/2 + size*(float64(width*sin)+float64(high*cos))/2
	turned := func(ax, ay float64) (float64, float64) {
		return x + size*(float64(ax*cos)+float64(ay*sin)), y + size*(float64(ay*cos)-float64(ax*sin))
	}
	d.Blocks = append(d.Blocks, Block{"preview", 0, 0, d.Size.W, d.Size.H})
	var letters []Op
	at := 0.0
	for _, r := range text {
		for _, contour := range f.face.Outline(r) {
			o := Op{Kind: Path, Block: len(d.Blocks) - 1, Fill: None}
			for _, p := range contour {
				q := Point{Curve: p.Curve}
				q.X, q.Y = turned((at+p.X)/1000, p.Y/1000)
				if p.Curve {
					q.CX, q.CY = turned((at+p.CX)/1000, p.CY/1000)
				}
				o.Path = append(o.Path, q)
			}
			o.Ink, o.Stroke = White, acrossUnder
			letters = append(letters, o)
			o.Ink, o.Stroke = Black, acrossStroke
			letters = append(letters, o)
		}
		at += float64(f.face.Advance(r))
	}
	var shapes, above []Op
	for _, o := range d.Ops {
		if o.Kind == Text || o.Kind == Line { // a line may cross a text out
			above = append(above, o)
		} else {
			shapes = append(shapes, o)
		}
	}
	d.Ops = slices.Concat(shapes, letters, above)
}

// The widths of the letters' lines in points: black lines, thin compared with the
// strokes of the smallest text, on wider white lines, which show on black.
const acrossStroke, acrossUnder = 0.6, 1.6

// diagonal is the largest size at which a line of text fits across w x h, and the sine
// and cosine of its slope; width and height are those of its capitals at size 1. The
// steeper the line, the more room the height of its letters takes: a few steps find
// the slope at which it ends in both corners.
func diagonal(w, h, width, high float64) (size, sin, cos float64) {
	dx, dy := w, h
	for range 8 {
		length := math.Hypot(dx, dy)
		sin, cos = dy/length, dx/length
		size = min(w/(float64(width*cos)+float64(high*sin)), h/(float64(width*sin)+float64(high*cos)))
		dx, dy = w-float64(size*high)*sin, h-float64(size*high)*cos
	}
	return size, sin, cos
}
