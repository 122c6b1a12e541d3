package layout

import (
	"strings"

	"vouchmark/label"
)

// blockPanel is the signal word panel: the alert symbol and the signal word on
// the signal color, from edge to edge.
func blockPanel(c *canvas, w, h float64) float64 {
	word := font{face: c.strong.face, size: 1, kern: true}
	room := 0.94 * w
	if c.mono && !c.label.Danger {
		room = 0.64 * w // between the strokes
	}
	lines := distinct(c.label.Words, func(t *label.Words) string { return t.Signal }) // English and French share DANGER
	if row := strings.Join(lines, "  "); len(lines) > 1 && panelWidth(word, row)*c.capsShare()*c.panel <= room {
		lines = []string{row} // a wide label has them side by side
	}
	least := c.panel * (1 + 0.45*float64(len(lines)-1))
	if c.preprinted {
		return c.panel
	}
	h = max(h, least)
	letters := letters(c.label.Danger)
	if over := c.bleed + c.inset; c.bleed > 0 {
		// To the cut and beyond it: a cut that is off by a hair shows no white.
		c.rect(-c.edgeLeft-over, -over, w+c.edgeLeft+c.edgeRight+2*over, h+over, Signal)
	} else {
		c.add(Op{Kind: Rect, X: -c.edgeLeft, W: w + c.edgeLeft + c.edgeRight, H: h, Fill: Signal,
			Corners: Corners{Top: c.radius}})
	}
	if c.mono && !c.label.Danger {
		c.monoWarning(w, h)
	}

	wide := 0.0 // of the longest line and the symbol, for capitals of height 1
	for _, l := range lines {
		wide = max(wide, panelWidth(word, l))
	}
	// The words are below each other, with the symbol next to all of them.
	const betweenWords = 0.42
	high := 1 + (1+betweenWords)*float64(len(lines)-1)
	if len(lines) > 1 {
		high *= 0.86 // two words fill a panel better than one
	}
	wide += symbolShare * (high - 1) / alertHeight
	caps := min(c.capsShare()*h/high, room/wide)
	c.note("signal word", strings.Join(lines, ", "), 1, 1, caps >= c.signalLeast)
	word.size = caps / word.caps()

	x := (w - wide*caps) / 2
	tall := caps * (1 + (1+betweenWords)*float64(len(lines)-1))
	symbol := symbolShare * caps * high
	// The symbol is on the letters' baseline, with its point above their tops; the
	// pair is centered by the letters and half of what the point overhangs.
	base := (h+tall)/2 + max(0, symbol-tall)/4
	c.alert(x, base-(tall-min(symbol, tall))/2-symbol, symbol/alertHeight, letters, Signal)
	for i := len(lines) - 1; i >= 0; i-- {
		c.text(x+symbol/alertHeight+gapShare*caps, base, word, letters, lines[i])
		base -= caps * (1 + betweenWords)
	}
	c.line(-c.edgeLeft, h, w+c.edgeLeft+c.edgeRight, 0, c.thick, Black)
	return least
}

// capsShare is the height of the letters over the panel's, for all lines.
func (c *canvas) capsShare() float64 {
	if c.compact {
		return 0.7
	}
	return 0.58
}

const (
	symbolShare = 1.26 // height of the symbol over that of the letters
	gapShare    = 0.5
)

// panelWidth is the width of a line and the symbol beside it, for capitals of
// height 1.
func panelWidth(word font, line string) float64 {
	return word.width(line)/word.caps() + symbolShare/alertHeight + gapShare
}

// monoWarning distinguishes the panel of a WARNING label in black only from that of a
// DANGER label, which is black with white letters: it has black letters on white
// between bars of slanted strokes, left and right. The design is our own; the standard
// does not say how to replace a color (from memory).
func (c *canvas) monoWarning(w, h float64) {
	u := c.unit
	x0, x1 := -c.edgeLeft, w+c.edgeRight
	wide := 0.17 * (x1 - x0)
	for _, x := range [...]float64{x0, x1 - wide} {
		for at := x + 2*u; at+4*u+h*0.5 <= x+wide-2*u; at += 8 * u {
			c.path(0, 0, 1, Black,
				[]Point{{X: at, Y: h}, {X: at + 4*u, Y: h}, {X: at + 4*u + h*0.5, Y: 0}, {X: at + h*0.5, Y: 0}})
		}
	}
}
