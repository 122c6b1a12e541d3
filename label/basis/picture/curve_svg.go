package picture

import (
	"bytes"
	"encoding/xml"
	"fmt"
	"strconv"
	"strings"
)

// The inks. Nothing is told by colour alone: lines differ in their dashes,
// markers in their form, and all are named. Texts have a contrast of 4.5 and
// more on white.
const (
	inkText  = "#1a1a1a"
	inkCurve = "#a83a00"
	inkOther = "#1f4e8c" // the second curve
	inkRung  = "#767676"
)

// svg writes the drawing. It has presentation attributes only: the pages allow
// no style of their own in them.
func (c *chart) svg() []byte {
	var b bytes.Buffer
	b.Grow(6 << 10)
	h := px(c.height)
	fmt.Fprintf(&b, `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 %d %s" width="%d" height="%s" role="img" `+
		`aria-labelledby="curve-title" aria-describedby="curve-desc" `+
		`font-family="system-ui, sans-serif" font-size="%d" fill="%s">`,
		chartWidth, h, chartWidth, h, typeSize, inkText)
	b.WriteString("\n<title id=\"curve-title\">" + escape(c.f.title) + "</title>\n" +
		"<desc id=\"curve-desc\">" + escape(c.f.desc) + "</desc>\n")
	fmt.Fprintf(&b, "<rect width=\"%d\" height=\"%s\" fill=\"#ffffff\"/>\n", chartWidth, h)
	for _, g := range c.grid {
		c.path(&b, []point{{plotLeft, g.y}, {plotRight, g.y}}, gridForm[g.kind])
	}
	for _, s := range c.stems {
		c.path(&b, []point{s.a, s.b}, `stroke="`+inkText+`" stroke-dasharray="4 3"`)
	}
	c.path(&b, []point{{plotLeft, c.top}, {plotLeft, c.bottom}, {plotRight, c.bottom}}, `stroke="`+inkText+`"`)
	for _, x := range c.xTicks {
		c.path(&b, []point{{x, c.bottom}, {x, c.bottom + 5}}, `stroke="`+inkText+`"`)
	}
	for _, y := range c.yTicks {
		c.path(&b, []point{{plotLeft - 5, y}, {plotLeft, y}}, `stroke="`+inkText+`"`)
	}
	for i, curve := range c.curves {
		form := `stroke="` + inkCurve + `" stroke-width="2.5" stroke-linejoin="round"`
		if i > 0 {
			form = `stroke="` + inkOther + `" stroke-width="2" stroke-dasharray="9 5" stroke-linejoin="round"`
		}
		c.path(&b, curve, form)
		from := c.legend[i]
		c.path(&b, []point{from, {from.x + 30, from.y}}, form)
	}
	c.writeTexts(&b)
	for _, m := range c.markers {
		m.write(&b)
	}
	b.WriteString("</svg>\n")
	return b.Bytes()
}

var gridForm = map[string]string{
	"threshold": `stroke="` + inkText + `" stroke-dasharray="2 3"`,
	"cutoff":    `stroke="` + inkText + `" stroke-width="2" stroke-dasharray="12 4"`,
	"chosen":    `stroke="` + inkText + `" stroke-width="2"`,
	"rung":      `stroke="` + inkRung + `"`,
}

// writeTexts writes the texts with a white edge, so that lines behind them do
// not meet them.
func (c *chart) writeTexts(b *bytes.Buffer) {
	b.WriteString("<g stroke=\"#ffffff\" stroke-width=\"4\" stroke-linejoin=\"round\" paint-order=\"stroke\">\n")
	for _, t := range c.texts {
		fmt.Fprintf(b, `<text x="%s" y="%s"`, px(t.at.x), px(t.at.y))
		if t.anchor != "start" {
			fmt.Fprintf(b, ` text-anchor="%s"`, t.anchor)
		}
		if t.bold {
			b.WriteString(` font-weight="bold"`)
		}
		b.WriteString(">" + escape(t.s) + "</text>\n")
	}
	b.WriteString("</g>\n")
}

func (c *chart) path(b *bytes.Buffer, points []point, form string) {
	b.WriteString(`<path fill="none" ` + form + ` d="`)
	for i, p := range points {
		if i == 0 {
			b.WriteString("M")
		} else {
			b.WriteString("L")
		}
		b.WriteString(px(p.x) + " " + px(p.y))
	}
	b.WriteString("\"/>\n")
}

// write writes a marker: a disc for a recomputed energy, a diamond for the
// study's, a ring for the boundary.
func (m *marker) write(b *bytes.Buffer) {
	x, y := px(m.at.x), px(m.at.y)
	switch m.kind {
	case "boundary":
		fmt.Fprintf(b, "<circle cx=\"%s\" cy=\"%s\" r=\"4.5\" fill=\"#ffffff\" stroke=\"%s\" stroke-width=\"2\"/>\n",
			x, y, inkText)
	case "study":
		fmt.Fprintf(b, "<path d=\"M%s %sl6 6l-6 6l-6 -6z\"/>\n", x, px(m.at.y-6))
	default:
		fmt.Fprintf(b, "<circle cx=\"%s\" cy=\"%s\" r=\"5.5\"/>\n", x, y)
	}
}

// px writes a coordinate with two decimals at most, the same on every machine.
func px(x float64) string {
	s := strings.TrimSuffix(strings.TrimRight(strconv.FormatFloat(x, 'f', 2, 64), "0"), ".")
	if s == "-0" {
		return "0"
	}
	return s
}

// escape is text as XML and HTML both take it.
func escape(s string) string {
	var b bytes.Buffer
	xml.EscapeText(&b, []byte(s)) // a buffer does not fail
	return b.String()
}
