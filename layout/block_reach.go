package layout

import (
	"math"
	"slices"
	"strings"

	"vouchmark/label"
)

// blockReach is the reach drawing: to scale from the possible arc and the
// exposed part outward, a bar for the arc and a bar for shock, and the list of
// the boundaries, the farthest first.
//
//	   working distance 18 in
//	+--+      v                     # ARC-FLASH BOUNDARY    46 in
//	|  |######|##########           _ LIMITED APPROACH      42 in
//	|  |====--|--------|            = RESTRICTED APPROACH   12 in
//	+--+
//	Inside 46 in during energized work: everyone wears this PPE.
//
// The names are only in the list, next to the bars or below them: nothing is written in
// a bar, where it could be mistaken for something that ends there.
func blockReach(c *canvas, w, h float64) float64 {
	r := c.label.Reach
	if r.Arc <= 0 && r.Limited <= 0 && r.Restricted <= 0 && c.words.Restricted == "" {
		return 0
	}
	places := []listPlace{listBeside, listBelow}
	if c.packed { // no height for longer bars
		places = []listPlace{listBeside, listUnder, listBelow}
	}
	for _, place := range places {
		if d := newReach(c, w, place); d != nil {
			return d.draw(h)
		}
	}
	return 0
}

// listPlace is where the list of the boundaries is.
type listPlace int

const (
	listBeside listPlace = iota // beside the bars and the row above them
	listUnder                   // beside the bars, under a row above both
	listBelow                   // below the bars
)

// dwarfs is how many times the next length the longest may be before it is
// drawn with a break mark.
const dwarfs = 6

// nextShare is the share of the bar that the next length gets beside a broken
// one.
const nextShare = 0.36

// leastBars is the least share of the width that the bars get in each place of
// the list.
var leastBars = map[listPlace]float64{listBeside: 0.33, listUnder: 0.24}

// reach is the drawing as it is planned.
type reach struct {
	*canvas
	w    float64
	bars float64 // their width, with the equipment's

	x0               float64 // where the bars begin
	arcH, shkH, gapH float64 // least heights of the bars, and between them
	broken           bool
	breakAt          float64
	arc, lim, res    float64 // ends of the bars, measured from x0; 0 is not drawn
	work             float64 // likewise
	full             float64 // the longest of all

	names         []string // of the working distance, a line each, above the bars
	workX, scaleX float64  // where they are
	scale         string   // "to scale"; "" where it is not shown

	list  boundaryList
	place listPlace
	keep  []string
}

// newReach plans the drawing; nil where there is no room for its list in that
// place.
func newReach(c *canvas, w float64, place listPlace) *reach {
	u := c.unit
	d := &reach{canvas: c, w: w, bars: w, x0: 17 * u, arcH: 13 * u, shkH: 12 * u, gapH: 2.4 * u, place: place}
	if c.tight {
		d.x0, d.arcH, d.shkH, d.gapH = 15*u, 10.4*u, 9.6*u, 2*u
	}
	if place == listBelow {
		d.list = c.boundariesBelow(w)
	} else {
		d.list = c.boundariesBeside(c.boundariesOnALine(), math.Inf(1))
		if d.bars = w - d.list.w - 1.2*c.gap; d.bars < leastBars[place]*w {
			d.list = c.boundariesBeside(c.boundaries(), (1-leastBars[place])*w-1.2*c.gap)
			d.bars = w - d.list.w - 1.2*c.gap
		}
		// Lengths are read down one column: at most one of them may be below its name.
		if d.bars < max(leastBars[place]*w, 44*u) || d.list.split > len(c.label.Words) {
			return nil
		}
	}
	d.names = distinct(c.label.Words, func(t *label.Words) string { return t.WorkingDistance })
	if one := strings.Join(d.names, " / "); c.medium.width(one) <= d.above() && one != "" {
		d.names = []string{one}
	}
	if place != listBelow && d.namesWidth() > d.above() {
		return nil
	}
	d.lengths(c.label.Reach)
	d.nameAbove()
	for i := range c.label.Words {
		d.keep = append(d.keep, c.keepOut(c.label.Words[i].KeepOut, w)...)
	}
	return d
}

// keepOut sets what the boundaries ask for: two sentences on lines of their own
// where that costs no line more, one on lines of nearly equal length.
func (c *canvas) keepOut(text string, w float64) []string {
	if one, two, both := strings.Cut(text, ". "); both {
		lines, ok := c.lines.flow(c.medium, []string{one + ".", two}, w)
		c.note("keep-out sentence", text, len(lines), 2, ok)
		return lines
	}
	return c.even("keep-out sentence", c.medium, w, 2, text)
}

// lengths scales the lengths to the bars.
func (d *reach) lengths(r label.Reach) {
	all := []float64{0, r.Arc, r.Limited, r.Restricted, r.WorkingDistance}
	slices.Sort(all)
	all = slices.Compact(all)
	last := len(all) - 1
	if last == 0 {
		return
	}
	longest, next := all[last], all[last-1]
	d.full = d.bars - d.x0 - 2*d.unit
	k := d.full / longest
	if next > 0 && longest > dwarfs*next {
		d.broken = true
		k = d.full * nextShare / next
		d.breakAt = d.full * (nextShare + 0.1)
	}
	at := func(l float64) float64 {
		if l == longest {
			return d.full
		}
		return l * k
	}
	d.arc, d.lim, d.res, d.work = at(r.Arc), at(r.Limited), at(r.Restricted), at(r.WorkingDistance)
}

// above is the width of the row above the bars.
func (d *reach) above() float64 {
	if d.place == listUnder {
		return d.w
	}
	return d.bars
}

// namesWidth is the width of the widest line above the bars.
func (d *reach) namesWidth() (w float64) {
	for _, name := range d.names {
		w = max(w, d.medium.width(name))
	}
	return w
}

// nameAbove places the texts above the bars: the name of the working distance over its
// line, and "to scale" if there is room.
func (d *reach) nameAbove() {
	ww := d.namesWidth()
	for _, name := range d.names {
		d.note("working distance", name, 1, 1, d.medium.width(name) <= d.above())
	}
	d.workX = max(0, min(d.x0+d.work-ww/2, d.above()-ww))
	if d.broken || d.brief {
		return
	}
	note := d.inEach(" · ", func(t *label.Words) string { return t.ToScale })
	tw := d.body.width(note)
	switch right := d.above() - tw; {
	case ww == 0 && right >= 0, d.workX+ww+2*d.gap <= right:
		d.scale, d.scaleX = note, right
	case tw+2*d.gap <= d.workX:
		d.scale, d.scaleX = note, 0
	default:
		// The name moves aside as long as it stays over its line.
		if x := right - 2*d.gap - ww; x >= 0 && d.x0+d.work <= x+ww-3*d.unit {
			d.workX, d.scale, d.scaleX = x, note, right
		}
	}
}

func (d *reach) hasShock() bool { return d.lim > 0 || d.res > 0 }

// rowAbove is the height of the row above the bars.
func (d *reach) rowAbove() float64 {
	if len(d.names) == 0 && d.scale == "" {
		return 0
	}
	return d.body.caps() + 6*d.unit + float64(max(0, len(d.names)-1))*d.lead
}

// barsHeight is the least height of the bars and of the row above them.
func (d *reach) barsHeight() float64 {
	n := d.rowAbove() + d.arcH + 1.5*d.unit
	if d.hasShock() {
		n += d.gapH + d.shkH
	}
	return n
}

// keepHeight is the height of the lines below all.
func (d *reach) keepHeight() float64 {
	if len(d.keep) == 0 {
		return 0
	}
	return d.medium.size*d.leading*float64(len(d.keep)) + 0.5*d.unit
}

// need is the least height.
func (d *reach) need() float64 {
	n, list := d.barsHeight(), d.list.height(d.canvas)
	switch d.place {
	case listBeside:
		n = max(n, list)
	case listUnder:
		n = max(n, d.rowAbove()+list)
	default:
		n += d.listGap() + list
	}
	return d.pad + n + d.keepHeight() + max(d.pad, underBaseline*d.body.size+0.9*d.unit)
}

// listGap is the white between the equipment's box and the list below it.
func (d *reach) listGap() float64 { return 2 * d.unit }
