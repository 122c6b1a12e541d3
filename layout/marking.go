package layout

import (
	"slices"
	"strings"

	"vouchmark/label"
)

// drawMarking draws the marking of the available fault current (NEC 110.24, 408.6) on
// stock, black on white; code is its QR code. It is not a hazard label: it has no
// signal word and no color, and its frame is a plate with cut corners, so that nobody
// mistakes one for the other from a distance.
//
//	+----------------------------+
//	/ AVAILABLE FAULT CURRENT    \
//	| ->|  18.4 kA               |
//	|      calculated 2026-03-14 |
//	| RATED ..., clearing time   |
//	| SWB-1     480 V AC 3-phase |
//	| Switchboard · Main room    |
//	| Recalculate after ...   QR |
//	\ source, code            QR /
//	+----------------------------+
//
// A text that does not fit in letters of the legible minimum is a [FitError], as for
// [Draw].
func drawMarking(m *label.Marking, stock Stock, code *Matrix, lines *memory) (*Drawing, error) {
	if err := smallFits("a marking", m.ID, len(m.Words), stock); err != nil {
		return nil, err
	}
	k := marking{m}
	title := leaf{name: "title", draws: k.title}
	current := leaf{name: "current", draws: k.current, grow: 4}
	notes := leaf{name: "notes", draws: k.notes}
	place := leaf{name: "place", draws: k.place, grow: 1}
	foot := ruled(besideCode{leaf{name: "foot", draws: k.foot, grow: 0.8}})
	s := newSmall(m.ID, m.QR, stock, code, lines)
	s.texts, s.inner, s.frame = k.texts(), plateLines, plateFrame
	s.plans = [][]node{{stack{title, ruled(current), ruled(notes), ruled(place), foot}}}
	if stock.Label.W > 1.15*stock.Label.H {
		s.plans = append(s.plans, []node{stack{title, ruled(beside{current, place}), ruled(notes), foot}})
	}
	return s.draw()
}

// MarkingSheets places one marking after the other on sheets of stock, from place
// start on (from 1; 0 is 1).
func MarkingSheets(markings []*label.Marking, stock Stock, start int) (*Sheets, error) {
	return sheetsOf(len(markings), func(i int) *label.Marking { return markings[i] }, func(m *label.Marking) string { return m.QR }, drawMarking, stock, 1, start)
}

type marking struct{ *label.Marking }

func (k marking) texts() []field {
	all := []field{{"equipment id", k.ID}, {"code", k.Code}}
	for _, w := range k.Words {
		all = append(all, field{"title", w.Title}, field{"current", w.Current}, field{"supply", w.Supply},
			field{"equipment and place", w.Where}, field{"date", w.Date}, field{"study", w.Source},
			field{"rating", w.Rated}, field{"clearing time", w.Clearing},
			field{"what to do", w.Do}, field{"scan note", w.Scan})
	}
	return all
}

// each is a text in all languages, without what two of them have in common.
func (k marking) each(of func(w *label.MarkingWords) string) []string { return distinct(k.Words, of) }

// all is each, in one line as long as there is room.
func (k marking) all(of func(w *label.MarkingWords) string) string {
	return strings.Join(k.each(of), " · ")
}

// title says what the number is, as large as the width allows.
func (k marking) title(c *canvas, w, h float64) float64 {
	titles := k.each(func(w *label.MarkingWords) string { return w.Title })
	f, _ := c.head.fitting(func(f font) bool {
		return !slices.ContainsFunc(titles, func(t string) bool { return f.width(t) > w })
	}, 1.5, 1.35, 1.2, 1.1, 1)
	var lines []string
	for _, t := range titles {
		lines = append(lines, c.fitted("title", t, f, w, 1)...)
	}
	p := c.passage()
	p.add(f, lines...)
	return p.fill(h, c.pad+2*c.unit, c.below(f))
}

// current is the current next to its symbol, with the date on which it was calculated
// below. Both use all the room there is.
func (k marking) current(c *canvas, w, h float64) float64 {
	const (
		sign  = 0.9 // the symbol's width as a share of its height
		apart = 0.5 // between two currents, as a share of their size
	)
	amps := k.each(func(w *label.MarkingWords) string { return w.Current })
	dates := c.fitted("date", k.all(func(w *label.MarkingWords) string { return w.Date }), c.supply, w, 1)

	// Sizes are computed from a number of size 1.
	num := font{face: c.strong.face, size: 1, kern: true}
	wide := 0.0
	for _, a := range amps {
		wide = max(wide, num.width(a))
	}
	n := float64(len(amps))
	caps := num.caps()
	high := n*caps + (n-1)*apart
	most := (w - 1.5*c.gap) / (wide + sign*caps)
	least := 1.6 * c.energy.size
	if !c.tight {
		least = min(2.6*c.energy.size, max(least, most))
	}
	if most < least {
		least = c.energy.size
		c.note("current", amps[0], 1, 1, most >= least)
	}
	pad, between := 1.4*c.pad, 1.3*c.pad
	under := func(f font) float64 { return textHeight(c, f, len(dates)) + between }
	need := 2*pad + least*high + under(c.supply)

	date := c.supply
	num.size = least
	if h > need {
		num.size = min(most, least+0.8*(h-need)/high)
		for larger := 2.0; larger >= 1.1; larger -= 0.1 {
			f := c.supply.at(c.supply.size * larger)
			fits := f.size <= 0.45*num.size && 2*pad+num.size*high+under(f) <= h-0.1*num.size
			if fits && !slices.ContainsFunc(dates, func(d string) bool { return f.width(d) > w }) {
				date = f
				break
			}
		}
	}
	between = min(between+0.1*num.size, h-2*pad-num.size*high-textHeight(c, date, len(dates)))
	block := num.size * high
	y := max(pad, (h-block-under(date))/2)
	side := num.caps()
	c.faultSign(0, y+(block-side)/2, side*sign, side)
	x := side*sign + 1.5*c.gap
	by := y + num.caps()
	for _, a := range amps {
		c.text(x, by, num, Black, a)
		by += num.caps() + apart*num.size
	}
	p := c.passage()
	p.add(date, dates...)
	p.draw(0, y+block+between, Black)
	return need
}

// faultSign is the symbol of a bolted fault: an arrow that ends at a bar.
func (c *canvas) faultSign(x, y, w, h float64) {
	bar := 0.17 * w
	shaft := 0.2 * h
	tip := x + w - bar - 0.05*w
	head := 0.46 * w
	c.rect(x+w-bar, y, bar, h, Black)
	mid := y + h/2
	c.path(0, 0, 1, Black, []Point{
		{X: x, Y: mid - shaft/2}, {X: tip - head, Y: mid - shaft/2}, {X: tip - head, Y: mid - 0.36*h},
		{X: tip, Y: mid}, {X: tip - head, Y: mid + 0.36*h}, {X: tip - head, Y: mid + shaft/2}, {X: x, Y: mid + shaft/2},
	})
}

// notes are the other lines about the current: that it is above the rating of the
// equipment, and how soon the service's own device clears it.
func (k marking) notes(c *canvas, w, h float64) float64 {
	p := c.passage()
	for _, s := range k.each(func(w *label.MarkingWords) string { return w.Rated }) {
		p.add(c.strong, c.fitted("rating", s, c.strong, w, 1)...)
	}
	for _, s := range k.each(func(w *label.MarkingWords) string { return w.Clearing }) {
		p.add(c.medium, c.fitted("clearing time", s, c.medium, w, 2)...)
	}
	return p.fill(h, c.pad, c.below(c.medium))
}

// place is the equipment: its id, supply, name and location.
func (k marking) place(c *canvas, w, h float64) float64 {
	supply := k.all(func(w *label.MarkingWords) string { return w.Supply })
	idFont := c.id
	beside := idFont.width(k.ID)+2*c.gap+c.supply.width(supply) <= w
	if idFont.width(k.ID) > w {
		idFont = c.head
	}
	ids := c.fitted("equipment id", k.ID, idFont, w, 1)
	var below []string
	if !beside {
		below = c.fitted("supply", supply, c.supply, w, 1)
	}
	var where []string
	for _, s := range k.each(func(w *label.MarkingWords) string { return w.Where }) {
		where = append(where, c.fitted("equipment and place", s, c.body, w, 2)...)
	}
	return c.equipment(w, idFont, ids, supply, below, where).fill(h, c.pad, c.below(c.supply))
}

// foot is what the reader must do, and where the number comes from.
func (k marking) foot(c *canvas, w, h float64) float64 {
	p := c.passage()
	for _, s := range k.each(func(w *label.MarkingWords) string { return w.Do }) {
		p.add(c.medium, c.even("what to do", c.medium, w, 3, s)...)
	}
	p.skip(0.7 * c.pad)
	add := func(field, text string, usual int) { p.add(c.body, c.fitted(field, text, c.body, w, usual)...) }
	add("study", k.all(func(w *label.MarkingWords) string { return w.Source }), 1)
	add("code", k.Code, 1)
	add("scan note", k.all(func(w *label.MarkingWords) string { return w.Scan }), 2)
	return p.fill(h, c.pad, c.below(c.body))
}

// plateLines is how far apart the two lines of a plate's frame are.
const plateLines = 2.2

// plateFrame is a plate with cut corners in a double line.
func plateFrame(c *canvas) {
	cut := func(in, corner, stroke float64) {
		x0, y0, x1, y1 := in, in, c.Size.W-in, c.Size.H-in
		c.add(Op{Kind: Path, Ink: Black, Stroke: stroke, Path: []Point{
			{X: x0 + corner, Y: y0}, {X: x1 - corner, Y: y0}, {X: x1, Y: y0 + corner}, {X: x1, Y: y1 - corner},
			{X: x1 - corner, Y: y1}, {X: x0 + corner, Y: y1}, {X: x0, Y: y1 - corner}, {X: x0, Y: y0 + corner},
		}})
	}
	corner := MM(2.4)
	cut(c.inset-plateLines, corner, c.frame)
	cut(c.inset, corner-plateLines*0.586, c.hair) // 2 - sqrt 2: the lines stay parallel
}
