package layout

import "vouchmark/label"

// drawOverlay draws the strip that covers a label which must not be used; stock is
// the strip's own (see [StripStock]), code is the QR code of the label below it. It
// has no signal word, since it does not restate the hazard.
//
//	/////////////////\\\\\\\\\\\\\\\\\\
//	 |x|  DO NOT USE THE LABEL BELOW
//	      LAPSED since 2031-03-15: ...
//	      Before any work, contact.   QR
//	      MCC-4 · covers 7K3M-...     QR
//	\\\\\\\\\\\\\\\\\/////////////////
//
// A text that does not fit in letters of the legible minimum is a [FitError], as for
// [Draw].
func drawOverlay(o *label.Overlay, stock Stock, code *Matrix, lines *memory) (*Drawing, error) {
	if err := smallFits("an overlay", o.ID, len(o.Words), stock); err != nil {
		return nil, err
	}
	k := overlay{o}
	s := newSmall(o.ID, o.QR, stock, code, lines)
	s.texts, s.plans = k.texts(), k.plans(stock)
	s.frame = func(c *canvas) { c.boxed(0) }
	return s.draw()
}

type overlay struct{ *label.Overlay }

func (k overlay) texts() []field {
	all := []field{{"equipment id", k.ID}, {"code", k.Code}}
	for _, w := range k.Words {
		all = append(all, field{"title", w.Title}, field{"reason", w.Why}, field{"what it covers", w.Covers})
		for _, d := range w.Do {
			all = append(all, field{"what to do", d})
		}
	}
	return all
}

// plans are the arrangements: on a low strip the mark is next to all the text, on a
// high one next to the first heading; without room for it there is none.
func (k overlay) plans(stock Stock) [][]node {
	upper := leaf{name: "upper band", draws: func(c *canvas, w, h float64) float64 { return c.band(w, false) }}
	lower := leaf{name: "lower band", draws: func(c *canvas, w, h float64) float64 { return c.band(w, true) }}
	nth := [...]string{"", " in the second language"}
	heading := func(i, lines int) node {
		return leaf{name: "heading" + nth[i], grow: 1, draws: func(c *canvas, w, h float64) float64 {
			return k.heading(c, i, lines, w, h)
		}}
	}
	what := func(i int) node {
		return leaf{name: "what to do" + nth[i], grow: 1, draws: func(c *canvas, w, h float64) float64 { return k.what(c, i, w, h) }}
	}
	last := len(k.Words) - 1
	// body is everything but the first heading; the code is next to its end.
	var body stack
	for i := range k.Words {
		if i > 0 {
			body = append(body, heading(i, 1))
		}
		if i < last {
			body = append(body, what(i))
		}
	}
	which := leaf{name: "which", draws: k.which, grow: 0.5}
	body = append(body, besideCode{stack{what(last), which}})

	low := besideMark{append(stack{heading(0, 1)}, body...)}
	high := append(stack{besideMark{heading(0, 2)}}, body...)
	bare := append(stack{heading(0, 2)}, body...)
	plans := [][]node{{stack{upper, low, lower}}, {stack{upper, high, lower}}, {stack{upper, bare, lower}}}
	if stock.Label.W < 2*stock.Label.H {
		return plans[1:]
	}
	return plans
}

// band is one of the two bands, from edge to edge.
func (c *canvas) band(w float64, downward bool) float64 {
	h := 7 * c.unit
	c.leanBand(-c.edgeLeft, 0, w+c.edgeLeft+c.edgeRight, h, downward)
	return h
}

// heading is the title in a language, as large as that number of lines allows, and
// the reason.
func (k overlay) heading(c *canvas, i, most int, w, h float64) float64 {
	t := k.Words[i]
	f := c.head
	var lines []string
	for larger := 2.2; ; larger -= 0.1 {
		f.size = max(1, larger) * c.head.size
		got, ok := c.lines.even(f, t.Title, w)
		if lines = got; ok && len(got) <= most || larger <= 1 {
			c.note("title", t.Title, len(got), most, ok)
			break
		}
	}
	p := c.passage()
	p.add(f, lines...)
	if t.Why != "" {
		p.skip(0.5*c.pad + 0.08*f.size)
		p.add(c.strong, c.even("reason", c.strong, w, 2, t.Why)...)
	}
	return p.fill(h, 1.2*c.pad, 0.6*c.below(c.strong))
}

// what are the sentences that say what to do, in a language.
func (k overlay) what(c *canvas, i int, w, h float64) float64 {
	p := c.passage()
	for _, s := range k.Words[i].Do {
		p.add(c.body, c.even("what to do", c.body, w, 3, s)...)
	}
	return p.fill(h, 0.5*c.pad, c.below(c.body))
}

// which says for which label the strip is.
func (k overlay) which(c *canvas, w, h float64) float64 {
	p := c.passage()
	ids := c.fitted("equipment id", k.ID, c.head, w, 1)
	p.add(c.head, ids...)
	covers := distinct(k.Words, func(w *label.OverlayWords) string { return w.Covers })
	x := c.head.width(k.ID) + 1.5*c.gap
	if len(ids) == 1 && len(covers) == 1 && x+c.body.width(covers[0]) <= w {
		p.beside(x, c.body, covers[0])
	} else {
		for _, s := range covers {
			p.add(c.body, c.fitted("what it covers", s, c.body, w, 2)...)
		}
	}
	return p.fill(h, 0.4*c.pad, c.below(c.head))
}

// besideMark is a node with the crossed-out label to its left.
type besideMark struct{ node }

func (c *canvas) markSide() float64 { return 40 * c.unit }

func (n besideMark) measure(c *canvas, w float64) float64 {
	side := c.markSide()
	return max(side+2*c.pad, n.node.measure(c, w-side-c.gap))
}

func (n besideMark) draw(c *canvas, w, h float64) {
	least := c.markSide()
	side := c.grown(least, min(h-2*c.pad, 1.8*least), h, n.node, func(side float64) float64 { return w - side - c.gap })
	c.begin("mark", side, h)
	c.crossedLabel(0, (h-side)/2, side)
	was := c.place
	c.ox += side + c.gap
	c.edgeLeft = 0
	n.node.draw(c, w-side-c.gap, h)
	c.place = was
}
