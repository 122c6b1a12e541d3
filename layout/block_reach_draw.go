package layout

// draw draws what was planned, in a height of h or what it needs.
func (d *reach) draw(h float64) float64 {
	need := d.need()
	if d.dry {
		return need
	}
	c, u := d.canvas, d.unit
	h = max(h, need)
	c.rect(-c.edgeLeft, 0, d.w+c.edgeLeft+c.edgeRight, h, Tint)

	// What is left over goes to the bars, up to some share, to the list's steps,
	// and to the white around both.
	spare := h - need
	least := d.arcH + d.shkH
	grow := 1 + min(spare*0.5, 0.6*least)/least
	arcH, shkH, gapH := d.arcH*grow, d.shkH*grow, d.gapH*grow
	if !d.hasShock() {
		shkH, gapH = 0, 0
	}
	const out = 1.5 // of the equipment's box, beyond the bars
	barsH := arcH + gapH + shkH + out*u
	step := d.list.step(c)
	listH := d.list.height(c)
	more := 0.0 // of each step
	if n := float64(d.list.lineCount() - 1); n > 0 {
		switch d.place {
		case listBeside:
			more = min(0.35*step, max(0, d.rowAbove()+barsH-listH)/n)
		case listUnder:
			more = min(0.35*step, max(0, barsH-listH)/n)
		default:
			more = min(0.2*step, 0.25*spare/n)
		}
		step, listH = step+more, listH+more*n
	}
	inner := d.rowAbove() + barsH
	switch d.place {
	case listBeside:
		inner = max(inner, listH)
	case listUnder:
		inner = max(inner, d.rowAbove()+listH)
	default:
		inner += d.listGap() + listH
	}
	top := d.pad + max(0, h-d.pad-inner-d.keepHeight()-max(d.pad, underBaseline*d.body.size+0.9*u))*0.45
	arcY := top + d.rowAbove()
	high := inner - d.rowAbove() // of the bars' part
	var listX, listY float64
	switch d.place {
	case listBeside:
		listX, listY = d.w-d.list.w, top+(inner-listH)/2
		arcY += (high - barsH) / 2
	case listUnder:
		listX, listY = d.w-d.list.w, arcY+(high-listH)/2
		arcY += (high - barsH) / 2
	default:
		listY = top + inner - listH
	}
	above := arcY - d.rowAbove()
	if d.place == listUnder {
		above = top
	}
	d.drawBars(above+c.body.caps(), arcY, arcH, gapH, shkH)
	d.list.draw(d, listX, listY, step)

	y := h - max(d.pad, underBaseline*d.body.size+0.9*u) - 0.3*(top-d.pad)
	for i := range d.keep {
		c.text(0, y-float64(len(d.keep)-1-i)*c.medium.size*c.leading, c.medium, Black, d.keep[i])
	}
	return need
}

// drawBars draws the bars from arcY down, and the texts above them, with the first
// baseline at above.
func (d *reach) drawBars(above, arcY, arcH, gapH, shkH float64) {
	c, u := d.canvas, d.unit
	shkY := arcY + arcH + gapH
	end := shkY + shkH
	if d.arc > 0 {
		d.sample(Signal, d.x0, arcY, d.arc, arcH, 1.4)
	}
	if d.lim > d.res {
		d.sample(White, d.x0, shkY, d.lim, shkH, 0)
	}
	if d.res > 0 {
		d.sample(Black, d.x0, shkY, d.res, shkH, 0)
	}
	if d.broken && d.arc == d.full {
		d.breakMark(arcY, arcH)
	}
	if d.broken && max(d.lim, d.res) == d.full {
		d.breakMark(shkY, shkH)
	}

	// The equipment: where the arc may be and the exposed part.
	out := 1.5 * u
	c.box(c.thick/2, arcY-out, d.x0-c.thick/2, end-arcY+2*out, 1.5*u, White, Black, c.thick)
	bh := min((end-arcY)*0.74, 1.1*(d.x0-4*u)*2)
	c.path((d.x0+c.thick/2)/2-bh/4, (arcY+end-bh)/2, bh/2, Black, bolt)

	for i, name := range d.names {
		c.text(max(0, min(d.x0+d.work-c.medium.width(name)/2, d.workX)), above+float64(i)*c.lead, c.medium, Black, name)
	}
	if len(d.names) > 0 && d.work > 0 {
		d.marker(arcY, end)
	}
	c.text(d.scaleX, above, c.body, Black, d.scale)
}

// sample is a bar, or a sample of it. The arc's bar is told from the one for
// shock in black alone too: white with a heavy outline, or on a DANGER label
// black with a white line in it.
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

// marker is the working distance: a line through both bars, black in white so
// that it shows on any ground, with a point below its name.
func (d *reach) marker(y, end float64) {
	u := d.unit
	x := d.x0 + d.work
	d.rect(x-1.5*u, y, 3*u, end-y+u, White)
	d.rect(x-0.6*u, y-u, 1.2*u, end-y+2*u, Black)
	d.path(x, y-3.6*u, 3*u, Black, []Point{{X: -1, Y: 0}, {X: 1, Y: 0}, {X: 0, Y: 1.2}})
}

// breakMark cuts a bar: what lies beyond is longer than drawn.
func (d *reach) breakMark(y, h float64) {
	u := d.unit
	x, lean, gap, over := d.x0+d.breakAt, 1.6*u, 2.4*u, 1.2*u
	top, bottom := y-over, y+h+over
	d.path(0, 0, 1, Tint, []Point{{X: x - gap + lean, Y: top}, {X: x + gap + lean, Y: top},
		{X: x + gap - lean, Y: bottom}, {X: x - gap - lean, Y: bottom}})
	for _, side := range [...]float64{-gap, gap} {
		d.line(x+side+lean, top, -2*lean, bottom-top, d.rule, Black)
	}
}
