package layout

import "math"

// Our own drawing of the safety alert symbol that Z535.4 requires next to the signal
// word (a triangle with an exclamation mark), and of the arc.

// alertTriangle is a triangle with rounded corners in a box 1 wide and
// alertHeight high.
var alertTriangle = roundedTriangle(0.5, 0, 1, alertHeight, 0, alertHeight, 0.085)

// alertHeight is the height of the alert symbol of width 1.
const alertHeight = 0.875

// The exclamation mark in it: a stroke that tapers downward, and a dot, both
// centered on x 0.5.
var alertStroke = []Point{
	{X: 0.435, Y: 0.305},
	{X: 0.565, Y: 0.305, CX: 0.5, CY: 0.225, Curve: true},
	{X: 0.535, Y: 0.590},
	{X: 0.465, Y: 0.590, CX: 0.5, CY: 0.640, Curve: true},
}

const (
	alertDotY = 0.715
	alertDotR = 0.062
)

// bolt represents the arc: a jagged stroke in a box 1 wide and 2 high.
var bolt = []Point{
	{X: 0.66, Y: 0}, {X: 0.04, Y: 1.13}, {X: 0.43, Y: 1.13}, {X: 0.28, Y: 2},
	{X: 0.96, Y: 0.80}, {X: 0.55, Y: 0.80}, {X: 0.80, Y: 0},
}

// roundedTriangle has its corners cut off at distance r along the sides.
func roundedTriangle(x0, y0, x1, y1, x2, y2, r float64) []Point {
	corner := [3][2]float64{{x0, y0}, {x1, y1}, {x2, y2}}
	var path []Point
	for i, c := range corner {
		before, after := corner[(i+2)%3], corner[(i+1)%3]
		toward := func(p [2]float64) (x, y float64) {
			d := math.Sqrt(float64((p[0]-c[0])*(p[0]-c[0])) + float64((p[1]-c[1])*(p[1]-c[1])))
			return c[0] + float64((p[0]-c[0])*(r/d)), c[1] + float64((p[1]-c[1])*(r/d))
		}
		bx, by := toward(before)
		ax, ay := toward(after)
		path = append(path, Point{X: bx, Y: by}, Point{X: ax, Y: ay, CX: c[0], CY: c[1], Curve: true})
	}
	return path
}

// alert draws the symbol with its box's upper left corner at x, y.
func (c *canvas) alert(x, y, width float64, triangle, mark Ink) {
	c.path(x, y, width, triangle, alertTriangle)
	c.path(x, y, width, mark, alertStroke)
	r := alertDotR * width
	c.box(x+0.5*width-r, y+alertDotY*width-r, 2*r, 2*r, r, mark, None, 0)
}
