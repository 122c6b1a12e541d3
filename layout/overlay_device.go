package layout

import "math"

// The marks on an overlay: two bands of bars that lean toward the middle, and a
// crossed-out label. They are black on white, unmistakable without color, and unlike
// anything on a label below.

// leanBand draws a band of slanted bars, mirrored about its middle, in the rectangle
// x, y, w, h. The bars are as wide as the white between them.
func (c *canvas) leanBand(x, y, w, h float64, downward bool) {
	half := w / 2
	n := math.Max(2, math.Round(half/(1.9*h)))
	period := half / n
	bar := period / 2
	lean := h
	if downward {
		lean = -h
	}
	for i := -2.0; i <= n+1; i++ {
		// For the left half: the foot of the bar, then its top.
		foot := i*period - min(lean, 0)
		left := clipX([]Point{{X: foot, Y: h}, {X: foot + bar, Y: h}, {X: foot + bar + lean, Y: 0},
			{X: foot + lean, Y: 0}}, 0, half)
		if len(left) < 3 {
			continue
		}
		right := make([]Point, len(left))
		for j, p := range left {
			right[len(left)-1-j] = Point{X: w - p.X, Y: p.Y}
		}
		c.path(x, y, 1, Black, left)
		c.path(x, y, 1, Black, right)
	}
}

// clipX is the part of a convex shape between x0 and x1.
func clipX(shape []Point, x0, x1 float64) []Point {
	shape = clipHalf(shape, func(p Point) float64 { return p.X - x0 })
	return clipHalf(shape, func(p Point) float64 { return x1 - p.X })
}

// clipHalf is the part of a convex shape where inside is not negative.
func clipHalf(shape []Point, inside func(Point) float64) (kept []Point) {
	for i, b := range shape {
		a := shape[(i+len(shape)-1)%len(shape)]
		da, db := inside(a), inside(b)
		if (da < 0) != (db < 0) {
			t := da / (da - db)
			kept = append(kept, Point{X: a.X + float64(t*(b.X-a.X)), Y: a.Y + float64(t*(b.Y-a.Y))})
		}
		if db >= 0 {
			kept = append(kept, b)
		}
	}
	return kept
}

// crossedLabel is a label with its panel and lines, crossed out, in a square
// of side s.
func (c *canvas) crossedLabel(x, y, s float64) {
	line := 0.045 * s
	in := 0.12 * s
	w := s - 2*in
	c.box(x+in, y+in, w, w, 0.06*s, White, Black, line)
	c.rect(x+in, y+in, w, 0.2*w, Black)
	for i, share := range [...]float64{0.72, 0.72, 0.5} {
		c.rect(x+in+0.14*w, y+in+(0.36+0.2*float64(i))*w, share*w, 0.07*w, Black)
	}
	// The cross is wide with a white border, so that it appears to be on top.
	for _, stroke := range [...]struct {
		width float64
		ink   Ink
	}{{0.15 * s, White}, {0.09 * s, Black}} {
		e := 0.06 * s
		c.line(x+e, y+e, s-2*e, s-2*e, stroke.width, stroke.ink)
		c.line(x+s-e, y+e, 2*e-s, s-2*e, stroke.width, stroke.ink)
	}
}
