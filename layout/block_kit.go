package layout

// blockKit draws the owner's ladder with its chosen rung, beside the energy and
// what to wear. A DANGER label has a black block in its place, and one below
// the energy that requires arc-rated clothing has no ladder.
func blockKit(c *canvas, w, h float64) float64 {
	if c.label.Danger {
		return c.padded(noWorkBlock, w, h)
	}
	if h > 0 {
		c.hatch(-c.edgeLeft, 0, w+c.edgeLeft+c.edgeRight, h, Black)
	}
	k := c.planKit(w)
	need := k.need + 2*c.pad
	if h > 0 {
		was := c.place
		inner := h - 2*c.pad - 0.4*max(0, h-need)
		c.oy += (h - inner) / 2
		k.draw(inner)
		c.place = was
	}
	return need
}

// kit is the block as it is planned: the ladder, at its right the energy, and
// the list below the energy or, where that is less high, below both.
type kit struct {
	*canvas
	ladder *ladder
	energy *passage
	lists  []list
	x      float64 // of the energy
	under  bool    // the list is below the ladder too
	rows   int     // of the lists
	need   float64
}

// planKit looks for the place of the list.
func (c *canvas) planKit(w float64) *kit {
	if l := newLadder(c, w, 1); !c.tight || l.width == 0 {
		return newKit(c, w, false)
	}
	var best, under *kit
	failed := c.tried(func() { best = newKit(c, w, false) })
	wide := c.tried(func() { under = newKit(c, w, true) })
	if !wide && (failed || best.need > under.need+0.01) {
		best, failed = under, false
	}
	if c.used != nil {
		return newKit(c, w, best.under) // which notes its texts
	}
	c.failed = c.failed || failed
	return best
}

// betweenLists is the white between two lists, in lines.
const betweenLists = 0.3

func newKit(c *canvas, w float64, under bool) *kit {
	most := mostRungs
	switch {
	case c.packed && under:
		most = 2
	case c.tight:
		most = 3
	}
	k := &kit{canvas: c, ladder: newLadder(c, w, most), under: under}
	if k.ladder.width > 0 {
		k.x = k.ladder.width + 1.3*c.gap
	}
	energy, led := c.energyLines(w - k.x)
	k.energy = energy
	room := w - k.x
	if under {
		room = w
	}
	k.lists = c.wearLists(room, !led)
	for _, l := range k.lists {
		k.rows += l.rows
	}
	k.need = k.energy.foot + c.below(c.body) - c.pad
	if k.rows > 0 {
		k.need = k.top() + (float64(k.rows)+betweenLists*float64(len(k.lists)-1))*c.lead +
			c.below(c.body) - c.pad
	}
	if c.packed && !under && k.ladder.height > k.need { // the text is less high than three rungs
		k.ladder = newLadder(c, w, 2)
	}
	if !under || k.rows == 0 {
		k.need = max(k.ladder.height, k.need)
	}
	return k
}

// top is where the lists begin: the baseline above their first line.
func (k *kit) top() float64 {
	if k.under {
		return max(k.energy.foot, k.ladder.height-k.lead+k.body.caps()+2*k.unit)
	}
	return k.energy.foot
}

func (k *kit) draw(h float64) {
	c := k.canvas
	spare := max(0, h-k.need)
	step := c.lead
	if k.rows > 0 {
		step = min(c.lead*1.25, c.lead+0.8*spare/float64(k.rows))
	}
	high := k.top() + (float64(k.rows)+betweenLists*float64(max(0, len(k.lists)-1)))*c.lead + (step-c.lead)*float64(k.rows)
	y := max(0, h-high-(c.below(c.body)-c.pad)) / 2
	if k.under {
		k.ladder.draw(k.ladder.height)
		y = 0
	} else {
		k.ladder.draw(h)
	}
	k.energy.draw(k.x, y, Black)
	x := k.x
	if k.under {
		x = 0
	}
	was := c.place
	c.ox += x
	y += k.top()
	for _, l := range k.lists {
		l.draw(c, y+c.lead, step)
		y += float64(l.rows)*step + betweenLists*c.lead
	}
	c.place = was
}

// padded is a block with white above and below it.
func (c *canvas) padded(block blockFunc, w, h float64) float64 {
	need := c.measured(block, w) + 2*c.pad
	if h > 0 {
		was := c.place
		c.oy += c.pad
		block(c, w, h-2*c.pad)
		c.place = was
	}
	return need
}
