package picture

import (
	"fmt"
	"strconv"
	"strings"
)

// The inks. Lines also differ in their dashes and markers in their form, and all
// are named. None is a signal color. Texts have a contrast of at least 4.5 on
// white.
const (
	inkText  = "#1a1a1a"
	inkCurve = "#1f4e8c"
	inkOther = "#5b3a7a" // the second curve
	inkRung  = "#767676"
)

// svg writes the drawing, with presentation attributes only: the pages' policy
// allows no style in them.
func (c *chart) svg() []byte {
	w := &writer{}
	h := px(c.height)
	w.add(`<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 %d %s" width="%d" height="%s" role="img" `+
		`aria-labelledby="curve-title" aria-describedby="curve-desc" `+
		`font-family="system-ui, sans-serif" font-size="%d" fill="%s">`+"\n",
		chartWidth, h, chartWidth, h, typeSize, inkText)
	w.element("title", ` id="curve-title"`, c.f.title)
	w.add("\n")
	w.element("desc", ` id="curve-desc"`, c.f.desc)
	w.add("\n<rect width=\"%d\" height=\"%s\" fill=\"#ffffff\"/>\n", chartWidth, h)
	for _, g := range c.grid {
		w.path(gridForm[g.kind], point{plotLeft, g.y}, point{plotRight, g.y})
	}
	const plain = `stroke="` + inkText + `"`
	for _, s := range c.stems {
		w.path(plain+` stroke-dasharray="4 3"`, s.a, s.b)
	}
	w.path(plain, point{plotLeft, c.top}, point{plotLeft, c.bottom}, point{plotRight, c.bottom})
	for _, x := range c.xTicks {
		w.path(plain, point{x, c.bottom}, point{x, c.bottom + 5})
	}
	for _, y := range c.yTicks {
		w.path(plain, point{plotLeft - 5, y}, point{plotLeft, y})
	}
	for i, curve := range c.curves {
		form := `stroke="` + inkCurve + `" stroke-width="2.5" stroke-linejoin="round"`
		if i > 0 {
			form = `stroke="` + inkOther + `" stroke-width="2" stroke-dasharray="9 5" stroke-linejoin="round"`
		}
		w.path(form, curve...)
		from := c.legend[i]
		w.path(form, from, point{from.x + 30, from.y})
	}
	w.texts(c.texts)
	for _, m := range c.markers {
		w.marker(m)
	}
	w.add("</svg>\n")
	return w.Bytes()
}

var gridForm = map[string]string{
	"threshold": `stroke="` + inkText + `" stroke-dasharray="2 3"`,
	"cutoff":    `stroke="` + inkText + `" stroke-width="2" stroke-dasharray="12 4"`,
	"chosen":    `stroke="` + inkText + `" stroke-width="2"`,
	"rung":      `stroke="` + inkRung + `"`,
}

// texts writes texts with a white edge, so that lines behind them do not touch
// the letters.
func (w *writer) texts(all []text) {
	w.add("<g stroke=\"#ffffff\" stroke-width=\"4\" stroke-linejoin=\"round\" paint-order=\"stroke\">\n")
	for _, t := range all {
		form := ""
		if t.anchor != "start" {
			form = ` text-anchor="` + t.anchor + `"`
		}
		if t.bold {
			form += ` font-weight="bold"`
		}
		w.element("text", fmt.Sprintf(` x="%s" y="%s"%s`, px(t.at.x), px(t.at.y), form), t.s)
		w.add("\n")
	}
	w.add("</g>\n")
}

// path writes a broken line.
func (w *writer) path(form string, points ...point) {
	w.add(`<path fill="none" %s d="`, form)
	for i, p := range points {
		w.add("%c%s %s", "ML"[min(i, 1)], px(p.x), px(p.y))
	}
	w.add("\"/>\n")
}

// marker writes a dot for a recomputed energy, a diamond for the study's, a
// ring for the boundary.
func (w *writer) marker(m marker) {
	x, y := px(m.at.x), px(m.at.y)
	switch m.kind {
	case "boundary":
		w.add("<circle cx=\"%s\" cy=\"%s\" r=\"4.5\" fill=\"#ffffff\" stroke=\"%s\" stroke-width=\"2\"/>\n",
			x, y, inkText)
	case "study":
		w.add("<path d=\"M%s %sl6 6l-6 6l-6 -6z\"/>\n", x, px(m.at.y-6))
	default:
		w.add("<circle cx=\"%s\" cy=\"%s\" r=\"5.5\"/>\n", x, y)
	}
}

// px writes a coordinate with at most two decimals, the same on every machine.
func px(x float64) string {
	s := strings.TrimSuffix(strings.TrimRight(strconv.FormatFloat(x, 'f', 2, 64), "0"), ".")
	if s == "-0" {
		return "0"
	}
	return s
}
