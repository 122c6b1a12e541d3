package layout

// blockPanel is the signal word panel: the alert symbol and the signal word on
// the signal colour, from edge to edge.
func blockPanel(c *canvas, w, h float64) float64 {
	least := c.panel
	h = max(h, least)
	_, letters := signalInk(c.label.Danger)
	c.add(Op{Kind: Rect, X: -c.edgeLeft, W: w + c.edgeLeft + c.edgeRight, H: h, Fill: Signal,
		Corners: Corners{Top: c.radius}})

	word := font{face: c.strong.face, size: 1, kern: true}
	const (
		capsShare   = 0.58 // of the panel's height
		symbolShare = 1.26 // height of the symbol over that of the letters
		gapShare    = 0.5
	)
	wide := word.width(c.words.Signal) / word.caps() // for capitals of height 1
	wide += symbolShare/alertHeight + gapShare
	caps := min(capsShare*h, 0.94*w/wide)
	c.note("signal word", c.words.Signal, 1, 1, caps >= c.signalLeast)
	word.size = caps / word.caps()

	x := (w - wide*caps) / 2
	symbol := symbolShare * caps
	// The symbol stands on the letters' baseline, its point above their tops;
	// the pair is centred by the letters and half of what the point overhangs.
	base := (h+caps)/2 + (symbol-caps)/4
	mark := Signal
	c.alert(x, base-symbol, symbol/alertHeight, letters, mark)
	c.text(x+symbol/alertHeight+gapShare*caps, base, word, letters, c.words.Signal)
	c.line(-c.edgeLeft, h, w+c.edgeRight, h, c.thick, Black)
	return least
}
