package layout

import "vouchmark/label"

// blockReach is the reach drawing: to scale from the possible arc and the
// exposed part outward, a lane for the arc and a lane for shock.
//
//	       working distance 18 in
//	+--+          v
//	|  |##########|################ ARC-FLASH BOUNDARY 3 ft 10 in :
//	|  |==== restricted ====|--------- limited ---|               :
//	+--+  # RESTRICTED APPROACH 12 in      keep others beyond ... :
//
// A name stands in its lane where it fits, else to the right of its bar, else
// in the rows below with a swatch of its bar: so names never meet, whatever
// the boundaries.
func blockReach(c *canvas, w, h float64) float64 {
	r := c.label.Reach
	if r.Arc <= 0 && r.Limited <= 0 && r.Restricted <= 0 && c.words.Restricted == "" {
		return 0
	}
	d := reach{canvas: c, w: w, words: c.words}
	d.plan(r)
	d.captions()
	return d.draw(h)
}

// dwarfs is how many times the next length the longest may be before it is
// drawn with a break mark.
const dwarfs = 6

// nextShare is the share of the lane that the next length gets beside a
// broken one.
const nextShare = 0.36

// reach is the drawing as it is planned.
type reach struct {
	*canvas
	w     float64
	words *label.Words

	x0                  float64 // where the lanes begin
	clear               float64 // between a name and the end of its bar
	arcH, shkH          float64 // least heights of the lanes
	gapH                float64 // between them
	broken              bool
	breakAt             float64
	arc, lim, res, work float64 // ends of the bars, measured from x0; 0 is not drawn
	full                float64 // the longest of them

	inArc, inLim, inRes, inWork spot
	toScale                     spot
	top                         bool // there is a row above the lanes
	rows                        [][]caption
}

// spot is where a name stands in or beside its lane. Without ok it stands in
// the rows below.
type spot struct {
	x      float64
	ok     bool
	beside bool // on the ground, not on the bar
}

func (d *reach) plan(r label.Reach) {
	u := d.unit
	d.clear = 3.5 * u
	d.x0 = 19 * u
	d.arcH, d.shkH, d.gapH = 14*u, 12.5*u, 3*u
	if d.level.tight {
		d.x0, d.arcH, d.shkH, d.gapH = 15*u, 10.8*u, 10.4*u, 2*u
		d.clear = 2.5 * u
	}
	d.lengths(r)
	d.names()
}

// lengths scales the lengths to the lane.
func (d *reach) lengths(r label.Reach) {
	lane := d.w - d.x0
	longest, next := 0.0, 0.0
	for _, l := range [...]float64{r.Arc, r.Limited, r.Restricted, r.WorkingDistance} {
		if l > longest {
			longest, next = l, longest
		} else if l > next && l < longest {
			next = l
		}
	}
	if longest <= 0 {
		return
	}
	k := lane / longest
	if next > 0 && longest > dwarfs*next {
		d.broken = true
		k = lane * nextShare / next
		d.breakAt = lane * (nextShare + 0.06)
	}
	at := func(l float64) float64 {
		if l == longest {
			return lane
		}
		return l * k
	}
	d.arc, d.lim, d.res, d.work = at(r.Arc), at(r.Limited), at(r.Restricted), at(r.WorkingDistance)
	d.full = lane
}

// scaleNote is "to scale" in every language.
func (d *reach) scaleNote() string {
	note := ""
	for _, t := range d.label.Words {
		note = joined(" · ", note, t.ToScale)
	}
	return note
}

func (d *reach) nameWidth(name, length string) float64 {
	if name == "" {
		return 0
	}
	w := d.strong.width(name)
	if length != "" {
		w += d.strong.width(" " + length)
	}
	return w
}

// within looks for the place of a name nw wide in a bar that goes from x0 to
// x1, right-aligned and clear of a break, or beside the bar.
func (d *reach) within(nw, x0, x1 float64) spot {
	from := max(x0, d.whole(x1))
	switch {
	case nw == 0:
		return spot{}
	case x1-from >= nw+2.4*d.clear:
		return spot{x: x1 - 1.4*d.clear - nw, ok: true}
	case d.full-x1 >= nw+2*d.clear:
		return spot{x: x1 + d.clear, ok: true, beside: true}
	}
	return spot{}
}

// whole is where a bar that ends at x1 is free for a name: behind its break.
func (d *reach) whole(x1 float64) float64 {
	if d.broken && x1 == d.full {
		return d.breakAt + 6*d.unit
	}
	return 0
}

func (d *reach) names() {
	t := d.words
	if d.arc > 0 {
		d.inArc = d.within(d.nameWidth(t.Arc, t.ArcLength), 0, d.arc)
	}
	if d.lim > 0 {
		d.inLim = d.within(d.nameWidth(t.Limited, t.LimitedLength), d.res, max(d.lim, d.res))
	}
	if nw := d.nameWidth(t.Restricted, t.RestrictedRule); d.res > 0 && nw > 0 && d.res-d.whole(d.res) >= nw+2*d.clear {
		d.inRes = spot{x: d.res - d.clear - nw, ok: true}
	}

	// The working distance is named above its marker; a tight label has it in
	// the arc lane, right of the marker, where it and the boundary's name fit.
	if ww := d.body.width(t.WorkingDistance); d.work > 0 && ww > 0 {
		x := min(max(d.x0+d.work-ww/2, 0), d.w-ww)
		d.inWork = spot{x: x, ok: true, beside: true}
		d.top = true
		free := d.arc
		if d.inArc.ok && !d.inArc.beside {
			free = d.inArc.x
		}
		if d.broken && d.arc == d.full {
			free = min(free, d.breakAt-4*d.unit)
		}
		if d.level.tight && d.work+4*d.unit+ww+d.clear <= free {
			d.inWork = spot{x: d.x0 + d.work + 4*d.unit, ok: true}
			d.top = false
		}
	}

	// "to scale" stands where the row above is free, at the right or the left.
	if d.broken || t.ToScale == "" {
		return
	}
	tw := d.body.width(d.scaleNote())
	ww := d.body.width(t.WorkingDistance)
	switch {
	case !d.top:
	case d.inWork.x+ww+d.gap <= d.w-tw:
		d.toScale = spot{x: d.w - tw, ok: true}
	case tw+d.gap <= d.inWork.x:
		d.toScale = spot{x: 0, ok: true}
	default:
		// The other name moves aside as long as it stays over its marker.
		x, mark := d.w-tw-d.gap-ww, d.x0+d.work
		if x >= 0 && mark <= x+ww-3*d.unit {
			d.inWork.x = x
			d.toScale = spot{x: d.w - tw, ok: true}
		}
	}
}

// need is the least height.
func (d *reach) need() float64 {
	n := 2*d.canvas.pad + d.arcH
	if rows := len(d.rows); rows > 0 {
		n += d.under() + d.strong.caps() + float64(rows-1)*d.lead
	}
	if d.top {
		n += d.lead + 1.5*d.unit
	}
	if d.hasShock() {
		n += d.gapH + d.shkH
	}
	return n
}

// under is the white between the lanes and the capitals below them.
func (d *reach) under() float64 { return d.lead - d.strong.caps() + 0.4*d.canvas.pad }

func (d *reach) hasShock() bool { return d.lim > 0 || d.res > 0 }

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
	pad := d.canvas.pad + (spare-grow*(d.arcH+d.shkH)-grow*d.gapH)/2

	c.rect(-c.edgeLeft, 0, d.w+c.edgeLeft+c.edgeRight, max(h, need), Tint)

	y := pad
	if d.top {
		y += c.lead + 1.5*u
	}
	arcY, shkY := y, y+arcH+gapH
	end := shkY + shkH
	if !d.hasShock() {
		end = arcY + arcH
	}
	onArc, onTop := Black, pad+c.body.caps()
	if c.label.Danger {
		onArc = White
	}

	// Bars first, then what stands on them.
	if d.arc > 0 {
		c.rect(d.x0, arcY, d.arc, arcH, Signal)
		d.monoArc(d.x0, arcY, d.arc, arcH, 1.4)
	}
	if d.lim > d.res {
		c.box(d.x0+c.hair/2, shkY+c.hair/2, d.lim-c.hair, shkH-c.hair, 0, White, Black, c.hair)
	}
	if d.res > 0 {
		c.rect(d.x0, shkY, d.res, shkH, Black)
	}
	if d.broken {
		if d.arc == d.full {
			d.breakMark(arcY, arcH)
		}
		if d.hasShock() && (d.lim == d.full || d.res == d.full) {
			d.breakMark(shkY, shkH)
		}
	}
	// The outermost boundary's line stands over both lanes. Where the working
	// distance lies beyond all boundaries there is none to draw.
	if max(d.arc, d.lim, d.res) == d.full {
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
	d.name(d.inArc, arcY, arcH, onArc, d.words.Arc, d.words.ArcLength)
	d.name(d.inRes, shkY, shkH, White, d.words.Restricted, d.words.RestrictedRule)
	d.name(d.inLim, shkY, shkH, Black, d.words.Limited, d.words.LimitedLength)

	y = end + d.under() + c.strong.caps()
	side, indent := d.swatchWidth()
	for _, row := range d.rows {
		for _, it := range row {
			x := it.x
			switch it.swatch {
			case White:
				c.box(x+c.hair/2, y-side+c.hair/2, side-c.hair, side-c.hair, 0, White, Black, c.hair)
			case None:
			default:
				c.rect(x, y-side, side, side, it.swatch)
				if it.swatch == Signal {
					d.monoArc(x, y-side, side, side, 1.2)
				}
			}
			if it.swatch != None || it.indent {
				x += indent
			}
			c.text(x, y, it.font, Black, it.text)
		}
		y += c.lead
	}
	return need
}

// monoArc tells the arc lane (or a sample of it) from the shock lane in black
// alone: white with a heavy outline, or on a DANGER label black with a white
// line in it.
func (d *reach) monoArc(x, y, w, h, heavy float64) {
	switch {
	case !d.mono:
	case d.label.Danger:
		in := 0.75 * d.thick
		d.box(x+in, y+in, w-2*in, h-2*in, 0, None, White, d.hair)
	default:
		d.box(x+d.thick/2, y+d.thick/2, w-d.thick, h-d.thick, 0, White, Black, heavy*d.thick)
	}
}

// name sets a boundary's name and length on its lane.
func (d *reach) name(s spot, y, h float64, ink Ink, name, length string) {
	if !s.ok {
		return
	}
	if s.beside {
		ink = Black
	}
	if length != "" {
		name += " " + length
	}
	d.text(d.x0+s.x, y+(h+d.strong.caps())/2, d.strong, ink, name)
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
	nw := d.nameWidth(d.words.Arc, d.words.ArcLength)
	if !d.inArc.ok || d.work < d.inArc.x-1.5*u || d.work > d.inArc.x+nw+1.5*u {
		if d.work < d.arc {
			ink = onArc
		}
		d.line(x, y, 0, h, d.rule, ink)
	}
}

// breakMark cuts a bar: what lies beyond is longer than drawn.
func (d *reach) breakMark(y, h float64) {
	u := d.unit
	x, lean, gap, over := d.x0+d.breakAt, 1.6*u, 2.4*u, 2.2*u
	top, bottom := y-over, y+h+over
	d.path(0, 0, 1, Tint, []Point{{X: x - gap + lean, Y: top}, {X: x + gap + lean, Y: top},
		{X: x + gap - lean, Y: bottom}, {X: x - gap - lean, Y: bottom}})
	d.line(x-gap+lean, top, -2*lean, bottom-top, d.rule, Black)
	d.line(x+gap+lean, top, -2*lean, bottom-top, d.rule, Black)
}
