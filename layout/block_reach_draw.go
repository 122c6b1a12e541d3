package layout

// draw draws what was planned, in a height of h or what it needs.
func (d *reach) draw(h float64) float64 {
	need := d.need()
	spare := max(0, h-need)
	c, u := d.canvas, d.unit
	grow := min(spare*0.6, 0.7*(d.arcH+d.shkH)) / (d.arcH + d.shkH)
	arcH, shkH, gapH := d.arcH*(1+grow), d.shkH*(1+grow), d.gapH*(1+grow)
	if !d.hasShock() {
		shkH, gapH = 0, 0
	}
	pad := d.pad + (spare-grow*(d.arcH+d.shkH)-grow*d.gapH)/2

	c.rect(-c.edgeLeft, 0, d.w+c.edgeLeft+c.edgeRight, max(h, need), Tint)

	arcY := pad
	if d.top {
		arcY += c.lead + 1.5*u
	}
	shkY := arcY + arcH + gapH
	end := shkY + shkH
	onArc, onTop := Black, pad+c.body.caps()
	if c.label.Danger {
		onArc = White
	}

	// Bars first, then what stands on them.
	if d.arc.end > 0 {
		d.sample(Signal, d.x0, arcY, d.arc.end, arcH, 1.4)
	}
	if d.lim.end > d.res.end {
		d.sample(White, d.x0, shkY, d.lim.end, shkH, 0)
	}
	if d.res.end > 0 {
		d.sample(Black, d.x0, shkY, d.res.end, shkH, 0)
	}
	if d.broken && d.arc.end == d.full {
		d.breakMark(arcY, arcH)
	}
	if d.broken && max(d.lim.end, d.res.end) == d.full {
		d.breakMark(shkY, shkH)
	}
	// The outermost boundary's line stands over both lanes. Where the working
	// distance lies beyond all boundaries there is none to draw.
	if max(d.arc.end, d.res.end, d.lim.end) == d.full {
		c.line(d.x0+d.full-c.rule/2, arcY-2*u, 0, end-arcY+3.2*u, c.rule, Black)
	}

	// The equipment: where the arc may be and the exposed part.
	out := 1.5 * u
	c.box(c.thick/2, arcY-out, d.x0-c.thick/2, end-arcY+2*out, 1.5*u, White, Black, c.thick)
	bh := min((end-arcY)*0.74, 1.1*(d.x0-4*u)*2)
	c.path((d.x0+c.thick/2)/2-bh/4, (arcY+end-bh)/2, bh/2, Black, bolt)

	if d.inWork.ok {
		d.marker(arcY, arcH, onArc)
		ty, ink := onTop, Black
		if !d.inWork.beside {
			ty, ink = arcY+(arcH+c.body.caps())/2, onArc
		}
		c.text(d.inWork.x, ty, c.body, ink, d.words.WorkingDistance)
	}
	if d.toScale.ok {
		c.text(d.toScale.x, onTop, c.body, Black, d.scaleNote())
	}
	d.name(d.arc, arcY, arcH, onArc)
	d.name(d.res, shkY, shkH, White)
	d.name(d.lim, shkY, shkH, Black)

	y, side := end+d.under()+c.strong.caps(), c.strong.caps()
	for _, row := range d.rows {
		for _, it := range row {
			if it.swatch != None {
				d.sample(it.swatch, it.x, y-side, side, side, 1.2)
			}
			c.text(it.x+it.indent, y, it.font, Black, it.text)
		}
		y += c.lead
	}
	return need
}

// sample is a bar, or a sample of it. The arc lane is told from the shock lane
// in black alone too: white with a heavy outline, or on a DANGER label black
// with a white line in it.
func (d *reach) sample(ink Ink, x, y, w, h, heavy float64) {
	outlined := func(fill, ink Ink, in, stroke float64) {
		d.box(x+in, y+in, w-2*in, h-2*in, 0, fill, ink, stroke)
	}
	if ink == White {
		outlined(White, Black, d.hair/2, d.hair)
		return
	}
	d.rect(x, y, w, h, ink)
	switch {
	case ink != Signal || !d.mono:
	case d.label.Danger:
		outlined(None, White, 0.75*d.thick, d.hair)
	default:
		outlined(White, Black, d.thick/2, heavy*d.thick)
	}
}

// name sets a boundary's name and length on its lane.
func (d *reach) name(b bar, y, h float64, ink Ink) {
	if b.beside {
		ink = Black
	}
	if b.ok {
		d.text(d.x0+b.x, y+(h+d.strong.caps())/2, d.strong, ink, b.text)
	}
}

// marker points at the working distance; its line crosses the lane unless a
// name stands there.
func (d *reach) marker(y, h float64, onArc Ink) {
	u := d.unit
	x := d.x0 + d.work
	half := 3.2 * u
	top, ink := y-3.4*u, Black
	if !d.inWork.beside {
		top, ink = y, onArc
	}
	d.path(x, top, half, ink, []Point{{X: -1, Y: 0}, {X: 1, Y: 0}, {X: 0, Y: 1.25}})
	if d.arc.ok && d.work >= d.arc.x-1.5*u && d.work <= d.arc.x+d.strong.width(d.arc.text)+1.5*u {
		return
	}
	if d.work < d.arc.end {
		ink = onArc
	}
	d.line(x, y, 0, h, d.rule, ink)
}

// breakMark cuts a bar: what lies beyond is longer than drawn.
func (d *reach) breakMark(y, h float64) {
	u := d.unit
	x, lean, gap, over := d.x0+d.breakAt, 1.6*u, 2.4*u, 2.2*u
	top, bottom := y-over, y+h+over
	d.path(0, 0, 1, Tint, []Point{{X: x - gap + lean, Y: top}, {X: x + gap + lean, Y: top},
		{X: x + gap - lean, Y: bottom}, {X: x - gap - lean, Y: bottom}})
	for _, side := range [...]float64{-gap, gap} {
		d.line(x+side+lean, top, -2*lean, bottom-top, d.rule, Black)
	}
}
