package layout

import (
	"bytes"
	"fmt"
	"math"
	"strconv"

	"vouchmark/assess"
)

// put appends an operator after its coordinates, with two decimals (3.5 micrometers)
// like gofpdf.
func (p *pdfPage) put(operator string, v ...float64) {
	for _, x := range v {
		hundredths := int64(math.Round(x * 100))
		if hundredths < 0 {
			p.b = append(p.b, '-')
			hundredths = -hundredths
		}
		p.b = strconv.AppendInt(p.b, hundredths/100, 10)
		if f := hundredths % 100; f != 0 {
			p.b = append(p.b, '.', '0'+byte(f/10))
			if f%10 != 0 {
				p.b = append(p.b, '0'+byte(f%10))
			}
		}
		p.b = append(p.b, ' ')
	}
	p.b = append(p.b, operator...)
}

// paints is the operator that fills a shape, outlines it, or both.
func paints(o *Op) string {
	switch {
	case o.Ink == None:
		return "f\n"
	case o.Fill == None:
		return "S\n"
	}
	return "B\n"
}

// shape appends a rectangle or a path of a drawing whose corner is at x, y.
func (p *pdfPage) shape(o *Op, x, y float64) {
	points, k := o.Path, 2.0/3 // a quadratic curve as a cubic one, since PDF has no other
	if o.Kind == Rect {
		if o.Corners == (Corners{}) {
			p.put("re ", x+o.X, y-o.Y-o.H, o.W, o.H)
			return
		}
		points, k = o.rounded(), 0.5523 // a quarter of a circle as one cubic curve
	}
	var from Point
	for i, to := range points {
		toward := func(a, by float64) float64 { return a + k*(by-a) }
		switch {
		case i == 0:
			p.put("m ", x+to.X, y-to.Y)
		case !to.Curve:
			p.put("l ", x+to.X, y-to.Y)
		case to.X != from.X || to.Y != from.Y:
			p.put("c ", x+toward(from.X, to.CX), y-toward(from.Y, to.CY),
				x+toward(to.X, to.CX), y-toward(to.Y, to.CY), x+to.X, y-to.Y)
		}
		from = to
	}
	p.put("h ")
}

// rounded is a rectangle with rounded corners as a path.
func (o *Op) rounded() []Point {
	t, u := o.Corners.Top, o.Corners.Bottom
	x0, y0, x1, y1 := o.X, o.Y, o.X+o.W, o.Y+o.H
	return []Point{
		{X: x0 + t, Y: y0},
		{X: x1 - t, Y: y0}, {X: x1, Y: y0 + t, CX: x1, CY: y0, Curve: true},
		{X: x1, Y: y1 - u}, {X: x1 - u, Y: y1, CX: x1, CY: y1, Curve: true},
		{X: x0 + u, Y: y1}, {X: x0, Y: y1 - u, CX: x0, CY: y1, Curve: true},
		{X: x0, Y: y0 + t}, {X: x0 + t, Y: y0, CX: x0, CY: y0, Curve: true},
	}
}

// operator makes the PDF operator that chooses ink for filling.
func (p *pdfPage) operator(d *Drawing, ink Ink) {
	p.ink = p.ink[:0]
	switch ink {
	case White:
		p.ink = append(p.ink, "1 g"...)
	case Tint:
		p.share(100-TintPercent, 100)
		p.ink = append(p.ink, 'g')
	case Signal:
		s := d.Signal
		switch d.color {
		case assess.Process:
			for _, part := range [...]uint8{s.C, s.M, s.Y, s.K} {
				p.share(part, 100)
			}
			p.ink = append(p.ink, 'k')
		case assess.RGB:
			r, g, b := s.rgb()
			for _, part := range [...]uint8{r, g, b} {
				p.share(part, 255)
			}
			p.ink = append(p.ink, "rg"...)
		default:
			n := spotNumber(p.inks, s)
			p.used.spot(n)
			p.ink = fmt.Appendf(p.ink, "/CS%d cs 1 scn", n)
		}
	default:
		p.ink = append(p.ink, "0 g"...)
	}
}

// share appends a number from 0 to 1 to the operator being made.
func (p *pdfPage) share(part, whole uint8) {
	p.ink = append(strconv.AppendFloat(p.ink, float64(part)/float64(whole), 'f', -1, 32), ' ')
}

func (p *pdfPage) setFill(d *Drawing, ink Ink) {
	if ink == None {
		return
	}
	if p.operator(d, ink); !bytes.Equal(p.ink, p.fill) {
		p.fill = append(p.fill[:0], p.ink...)
		p.b = append(append(p.b, p.ink...), '\n')
	}
}

func (p *pdfPage) setStroke(d *Drawing, ink Ink, width float64) {
	if ink == None {
		return
	}
	p.operator(d, ink)
	for i, c := range p.ink { // capitals are for lines
		if 'a' <= c && c <= 'z' {
			p.ink[i] = c - 'a' + 'A'
		}
	}
	if !bytes.Equal(p.ink, p.stroke) {
		p.stroke = append(p.stroke[:0], p.ink...)
		p.b = append(append(p.b, p.ink...), '\n')
	}
	if width != p.width {
		p.width = width
		p.put("w\n", width)
	}
}

// code appends a QR code as one shape; x, y is the lower left corner of its quiet
// zone.
func (p *pdfPage) code(m *Matrix, x, y, side float64) {
	s := side / float64(m.side+2*quietZone)
	p.b = append(p.b, "q "...)
	for i, v := range [...]float64{s, 0, 0, -s, x + s*quietZone, y + side - s*quietZone} {
		if i == 1 || i == 2 {
			p.b = append(p.b, "0 "...)
			continue
		}
		p.b = append(strconv.AppendFloat(p.b, v, 'f', 4, 64), ' ')
	}
	p.b = append(p.b, "cm\n"...)
	m.Rects(func(x, y, w, h int) {
		for _, v := range [...]int{x, y, w, h} {
			p.b = append(strconv.AppendInt(p.b, int64(v), 10), ' ')
		}
		p.b = append(p.b, "re\n"...)
	})
	p.put("f Q\n")
}
