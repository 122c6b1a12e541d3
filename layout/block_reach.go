package layout

import (
	"slices"

	"vouchmark/label"
)

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
	u := c.unit
	d := reach{canvas: c, w: w, clear: 3.5 * u, x0: 19 * u, arcH: 14 * u, shkH: 12.5 * u, gapH: 3 * u}
	if c.tight {
		d.x0, d.arcH, d.shkH, d.gapH = 15*u, 10.8*u, 10.4*u, 2*u
		d.clear = 2.5 * u
	}
	d.lengths(r)
	d.names()
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
	w float64

	x0               float64 // where the lanes begin
	clear            float64 // between a name and the end of its bar
	arcH, shkH, gapH float64 // least heights of the lanes, and between them
	broken           bool
	breakAt          float64
	arc, lim, res    bar
	work             float64 // measured from x0; 0 is not drawn
	full             float64 // the longest of all

	inWork, toScale spot
	top             bool // there is a row above the lanes
	rows            [][]caption
}

// bar is a boundary.
type bar struct {
	ink  Ink
	end  float64 // measured from x0; 0 is not drawn
	text string  // its name and length in the first language
	spot         // where that stands
}

// spot is where a name stands in or beside its lane. Without ok it stands in
// the rows below.
type spot struct {
	x      float64
	ok     bool
	beside bool // on the ground, not on the bar
}

// lengths scales the lengths to the lane.
func (d *reach) lengths(r label.Reach) {
	all := []float64{0, r.Arc, r.Limited, r.Restricted, r.WorkingDistance}
	slices.Sort(all)
	all = slices.Compact(all)
	last := len(all) - 1
	if last == 0 {
		return
	}
	longest, next := all[last], all[last-1]
	d.full = d.w - d.x0
	k := d.full / longest
	if next > 0 && longest > dwarfs*next {
		d.broken = true
		k = d.full * nextShare / next
		d.breakAt = d.full * (nextShare + 0.06)
	}
	at := func(l float64) float64 {
		if l == longest {
			return d.full
		}
		return l * k
	}
	t := d.words
	d.arc = bar{ink: Signal, end: at(r.Arc), text: joined(" ", t.Arc, t.ArcLength)}
	d.lim = bar{ink: White, end: at(r.Limited), text: joined(" ", t.Limited, t.LimitedLength)}
	d.res = bar{ink: Black, end: at(r.Restricted), text: joined(" ", t.Restricted, t.RestrictedRule)}
	d.work = at(r.WorkingDistance)
}

// scaleNote is "to scale" in every language.
func (d *reach) scaleNote() string {
	return d.inEach(" · ", func(t *label.Words) string { return t.ToScale })
}

// within looks for the place of a bar's name between x0 and x1, right-aligned
// and clear of a break, or beside the bar.
func (d *reach) within(b bar, x0, x1 float64) spot {
	nw := d.strong.width(b.text)
	switch {
	case nw == 0 || b.end <= 0:
	case x1-max(x0, d.whole(x1)) >= nw+2.4*d.clear:
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
	d.arc.spot = d.within(d.arc, 0, d.arc.end)
	d.lim.spot = d.within(d.lim, d.res.end, max(d.lim.end, d.res.end))
	nw := d.strong.width(d.res.text)
	if d.res.end > 0 && nw > 0 && d.res.end-d.whole(d.res.end) >= nw+2*d.clear {
		d.res.spot = spot{x: d.res.end - d.clear - nw, ok: true}
	}

	// The working distance is named above its marker; a tight label has it in
	// the arc lane, right of the marker, where it and the boundary's name fit.
	ww := d.body.width(d.words.WorkingDistance)
	if d.work > 0 && ww > 0 {
		d.inWork = spot{x: min(max(d.x0+d.work-ww/2, 0), d.w-ww), ok: true, beside: true}
		free := d.arc.end
		if d.arc.ok && !d.arc.beside {
			free = d.arc.x
		}
		if d.broken && d.arc.end == d.full {
			free = min(free, d.breakAt-4*d.unit)
		}
		if d.tight && d.work+4*d.unit+ww+d.clear <= free {
			d.inWork = spot{x: d.x0 + d.work + 4*d.unit, ok: true}
		}
		d.top = d.inWork.beside
	}

	// "to scale" stands where the row above is free, at the right or the left.
	if d.broken || d.words.ToScale == "" || !d.top {
		return
	}
	tw := d.body.width(d.scaleNote())
	right := spot{x: d.w - tw, ok: true}
	switch {
	case d.inWork.x+ww+d.gap <= right.x:
		d.toScale = right
	case tw+d.gap <= d.inWork.x:
		d.toScale = spot{x: 0, ok: true}
	default:
		// The other name moves aside as long as it stays over its marker.
		x, mark := right.x-d.gap-ww, d.x0+d.work
		if x >= 0 && mark <= x+ww-3*d.unit {
			d.inWork.x = x
			d.toScale = right
		}
	}
}

// need is the least height.
func (d *reach) need() float64 {
	n := 2*d.pad + d.arcH
	if d.hasShock() {
		n += d.gapH + d.shkH
	}
	if rows := len(d.rows); rows > 0 {
		n += d.under() + textHeight(d.canvas, d.strong, rows)
	}
	if d.top {
		n += d.lead + 1.5*d.unit
	}
	return n
}

func (d *reach) hasShock() bool { return d.lim.end > 0 || d.res.end > 0 }

// under is the white between the lanes and the capitals below them.
func (d *reach) under() float64 { return d.lead - d.strong.caps() + 0.4*d.pad }
