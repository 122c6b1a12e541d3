package layout

import (
	"bytes"
	"encoding/xml"
	"fmt"
	"math"
	"strconv"

	"vouchmark/fonts"
)

// SVG is a drawing for a screen, from the same list of operations as the PDF. Lengths
// are in points. If the viewer lacks the label's typeface, textLength keeps every line
// as wide as it was measured, so that nothing can overlap. title and description are
// for screen readers.
func SVG(d *Drawing, title, description string) []byte {
	s := &svg{}
	r, g, b := d.Signal.rgb()
	s.signal = fmt.Sprintf("#%02x%02x%02x", r, g, b)
	fmt.Fprintf(&s.b, `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 %s %s" role="img" `+
		`font-family="'Roboto Condensed', 'Arial Narrow', sans-serif">`, num(d.Size.W), num(d.Size.H))
	s.element("title", title)
	s.element("desc", description)
	fmt.Fprintf(&s.b, `<rect width="%s" height="%s" fill="#fff"/>`, num(d.Size.W), num(d.Size.H))
	for i := range d.Ops {
		s.op(&d.Ops[i])
	}
	s.b.WriteString("</svg>\n")
	return s.b.Bytes()
}

type svg struct {
	b      bytes.Buffer
	signal string
}

// num writes a coordinate with two decimals, as in the PDF.
func num(x float64) string {
	return strconv.FormatFloat(math.Round(x*100)/100, 'f', -1, 64)
}

func (s *svg) element(name, text string) {
	if text == "" {
		return
	}
	fmt.Fprintf(&s.b, "<%s>", name)
	s.escape(text)
	fmt.Fprintf(&s.b, "</%s>", name)
}

// escape writes text that cannot become markup. Writing to a bytes.Buffer never fails.
func (s *svg) escape(text string) { xml.EscapeText(&s.b, []byte(text)) }

func (s *svg) ink(ink Ink) string {
	switch ink {
	case White:
		return "#fff"
	case Tint:
		level := 255 * (100 - TintPercent) / 100
		return fmt.Sprintf("#%02x%02x%02x", level, level, level)
	case Signal:
		return s.signal
	case Black:
		return "#000"
	}
	return "none"
}

func (s *svg) op(o *Op) {
	switch o.Kind {
	case Text:
		fmt.Fprintf(&s.b, `<text x="%s" y="%s" font-size="%s" fill="%s" textLength="%s" lengthAdjust="spacingAndGlyphs"`,
			num(o.X), num(o.Y), num(o.Size), s.ink(o.Ink), num(o.W))
		if weight := map[*fonts.Face]int{fonts.Medium: 500, fonts.Bold: 700}[o.Face]; weight > 0 {
			fmt.Fprintf(&s.b, ` font-weight="%d"`, weight)
		}
		s.b.WriteByte('>')
		s.escape(o.Text)
		s.b.WriteString("</text>")
	case Line:
		fmt.Fprintf(&s.b, `<path d="M%s %sL%s %s" stroke="%s" stroke-width="%s"/>`,
			num(o.X), num(o.Y), num(o.X+o.W), num(o.Y+o.H), s.ink(o.Ink), num(o.Stroke))
	case Rect:
		fmt.Fprintf(&s.b, `<path d="%s"`, rectPath(o))
		s.paint(o)
	case Path:
		s.b.WriteString(`<path d="`)
		for i, p := range o.Path {
			switch {
			case i == 0:
				fmt.Fprintf(&s.b, "M%s %s", num(p.X), num(p.Y))
			case p.Curve:
				fmt.Fprintf(&s.b, "Q%s %s %s %s", num(p.CX), num(p.CY), num(p.X), num(p.Y))
			default:
				fmt.Fprintf(&s.b, "L%s %s", num(p.X), num(p.Y))
			}
		}
		s.b.WriteString(`Z"`)
		s.paint(o)
	case QR:
		s.qr(o)
	}
}

func (s *svg) paint(o *Op) {
	fmt.Fprintf(&s.b, ` fill="%s"`, s.ink(o.Fill))
	if o.Ink != None {
		fmt.Fprintf(&s.b, ` stroke="%s" stroke-width="%s"`, s.ink(o.Ink), num(o.Stroke))
	}
	s.b.WriteString("/>")
}

// rectPath is a rectangle whose upper and lower corners may be rounded.
func rectPath(o *Op) string {
	t, u := o.Corners.Top, o.Corners.Bottom
	x0, y0, x1, y1 := o.X, o.Y, o.X+o.W, o.Y+o.H
	if t == 0 && u == 0 {
		return fmt.Sprintf("M%s %sH%sV%sH%sZ", num(x0), num(y0), num(x1), num(y1), num(x0))
	}
	arc := func(r, x, y float64) string {
		return fmt.Sprintf("A%s %s 0 0 1 %s %s", num(r), num(r), num(x), num(y))
	}
	return fmt.Sprintf("M%s %sH%s%sV%s%sH%s%sV%s%sZ", num(x0+t), num(y0), num(x1-t), arc(t, x1, y0+t),
		num(y1-u), arc(u, x1-u, y1), num(x0+u), arc(u, x0, y1-u), num(y0+t), arc(t, x0+t, y0))
}

// qr is the code as one shape on white, including its quiet zone.
func (s *svg) qr(o *Op) {
	m := o.Matrix
	side := m.Side() + 2*quietZone
	fmt.Fprintf(&s.b, `<g transform="translate(%s %s) scale(%s)" shape-rendering="crispEdges">`+
		`<path d="M0 0H%dV%dH0Z" fill="#fff"/><path d="`,
		num(o.X), num(o.Y), strconv.FormatFloat(o.W/float64(side), 'f', 5, 64), side, side)
	m.Rects(func(x, y, w, h int) {
		fmt.Fprintf(&s.b, "M%d %dh%dv%dh%dz", x+quietZone, y+quietZone, w, h, -w)
	})
	s.b.WriteString(`"/></g>`)
}
