package layout

import (
	"slices"
	"strings"

	"vouchmark/label"
)

// A label too small for the drawing to scale has the compact form: the signal word, the
// message, the equipment, the list of the boundaries, the energy with its distance, the
// kit with its list, the glove class, the dates, the code and the QR code. That is what
// NFPA 70E 130.5(H) requires, and what to do. It omits the drawing, the other rungs of
// the ladder, the sentence on the boundaries, the note on the gloves, the fault current,
// the study's number, what the QR code is for, and the box for the installation date.

// compact reports whether the labels of a stock have the compact form: those smaller than
// 70 x 100 mm, and wide ones that are lower than 4 x 3 in and not much wider.
func (s Stock) compact() bool {
	area := s.Label.W * s.Label.H
	low := s.wide() && s.Label.H < MM(76) && area < MM(100)*MM(84)
	return area < 0.999*MM(70)*MM(100) || low
}

// compactLevels are the levels of the compact form.
var compactLevels = []level{
	{name: "compact", least: 1.04, most: 1.2, leading: 1.12, pad: 2.4, panel: 21, tight: true, brief: true, packed: true, runs: true, compact: true},
	{name: "compact, close", least: 1, most: 1.06, leading: 1.08, pad: 1.6, panel: 18.4, tight: true, brief: true, packed: true, runs: true, compact: true},
	{name: "compact, closest", least: 1, most: 1.04, leading: 1.07, pad: 1.1, panel: 16.6, tight: true, brief: true, packed: true, runs: true, compact: true},
}

// The blocks of the compact form that differ from those of the full one.
var (
	briefLeaf    = leaf{name: "message", draws: blockBrief, grow: 1}
	listLeaf     = leaf{name: "boundaries", draws: blockBoundaryList, grow: 1}
	rowsLeaf     = leaf{name: "boundaries", draws: blockBoundaryRows, grow: 1}
	energyLeaf   = leaf{name: "kit", draws: blockEnergy, grow: 1}
	wearLeaf     = leaf{name: "wear", draws: blockWear, grow: 1}
	classLeaf    = leaf{name: "gloves", draws: blockGloveClass, grow: 0.6}
	validLeaf    = leaf{name: "foot", draws: blockValid, grow: 0.6}
	placeRowLeaf = leaf{name: "place", draws: blockPlaceRow, grow: 1}
)

// The arrangements of the compact form: with the place on two lines if possible, else on
// one.
var (
	compactGroups = [][]stack{compactStacks(placeLeaf), compactStacks(placeRowLeaf)}
	compactDanger = [][]stack{compactDangerStacks(placeLeaf), compactDangerStacks(placeRowLeaf)}
)

func compactStacks(place node) []stack {
	return []stack{
		{briefLeaf, edged(place), edged(beside{listLeaf, energyLeaf}),
			edged(besideCode{stack{wearLeaf, ruled(maintLeaf), ruled(classLeaf), ruled(validLeaf)}})},
		{briefLeaf, edged(place), edged(rowsLeaf), edged(energyLeaf),
			besideCode{stack{wearLeaf, ruled(maintLeaf), ruled(classLeaf), ruled(validLeaf)}}},
		{briefLeaf, edged(place), edged(rowsLeaf), edged(energyLeaf), wearLeaf, ruled(maintLeaf), ruled(classLeaf),
			besideCode{ruled(validLeaf)}},
		{besideCode{stack{briefLeaf, ruled(place)}}, edged(rowsLeaf), edged(energyLeaf), wearLeaf, ruled(maintLeaf),
			ruled(classLeaf), ruled(validLeaf)},
	}
}

func compactDangerStacks(place node) []stack {
	return []stack{
		{besideCode{stack{briefLeaf, ruled(place), ruled(rowsLeaf)}}, kitLeaf, maintLeaf, ruled(classLeaf), ruled(validLeaf)},
		{besideCode{stack{briefLeaf, ruled(place)}}, edged(rowsLeaf), kitLeaf, maintLeaf, ruled(classLeaf), ruled(validLeaf)},
		{briefLeaf, edged(place), edged(rowsLeaf), kitLeaf, maintLeaf, besideCode{stack{classLeaf, ruled(validLeaf)}}},
	}
}

// blockBrief is the message in few lines: the consequence beside the hazard where it
// fits, then what to do; on a DANGER label the black block says that.
func blockBrief(c *canvas, w, h float64) float64 {
	p := c.passage()
	for i := range c.label.Words {
		t := &c.label.Words[i]
		said := t.Message
		if c.label.Danger {
			said = said[:min(1, len(said))]
		}
		hazard := c.fitted("hazard", t.Hazard, c.strong, w, 1)
		p.add(c.strong, hazard...)
		if len(said) > 0 && len(hazard) == 1 {
			if x := c.strong.width(t.Hazard) + c.gap; x+c.body.width(said[0]) <= w {
				p.beside(x, c.body, said[0])
				said = said[1:]
			}
		}
		if len(said) > 0 {
			lines, ok := c.body.flow(said, " ", w)
			c.note("message", strings.Join(said, " "), len(lines), 1, ok)
			p.add(c.body, lines...)
		}
	}
	return p.fill(h, c.pad+c.thick/2, c.below(c.body))
}

// placeText is what and where the equipment is; in the compact form as much of it as
// fits on one line, from its beginning.
func (c *canvas) placeText(w float64) string {
	text := c.words.Where
	for c.compact && c.body.width(text) > w {
		cut := strings.LastIndex(text, " · ")
		if cut < 0 {
			break
		}
		text = text[:cut]
	}
	return text
}

// blockPlaceRow names the equipment on one line: the id, as much of what and where it is
// as fits, and what supplies it.
func blockPlaceRow(c *canvas, w, h float64) float64 {
	p := c.passage()
	f, ok := c.id.fitting(func(f font) bool { return f.width(c.label.ID)+c.gap+c.supply.width(c.words.Supply) <= w }, 1, 0.86, 0.74, max(0.64, c.body.caps()/c.id.caps()))
	c.note("equipment id", c.label.ID, 1, 1, ok)
	p.add(f, c.label.ID)
	p.beside(w-c.supply.width(c.words.Supply), c.supply, c.words.Supply)
	x := f.width(c.label.ID) + c.gap
	room := w - x - c.gap - c.supply.width(c.words.Supply)
	where := c.placeText(room)
	c.note("equipment and place", where, 1, 1, c.body.width(where) <= room)
	p.beside(x, c.body, where)
	return p.fill(h, c.pad, c.below(f))
}

// blockBoundaryList is the list of the boundaries by itself.
func blockBoundaryList(c *canvas, w, h float64) float64 {
	l := c.boundariesBeside(c.boundaries(), w)
	if l.lineCount() == 0 {
		return 0
	}
	for _, row := range l.rows {
		c.note("boundary", row.lines[0].name, 1, 1, l.w <= w)
	}
	l.w = w
	height, step := l.height(c), l.step(c)
	need := c.pad + height + c.below(c.strong)
	if n := float64(l.lineCount() - 1); n > 0 && h > need {
		more := min(0.3*step, (h-need)/n)
		step, height = step+more, height+n*more
	}
	l.draw(&reach{canvas: c}, 0, c.pad+max(0, h-c.pad-height-c.below(c.strong))/2, step)
	return need
}

// blockBoundaryRows are the boundaries beside each other, as many on a line as fit, in
// the order of the list.
func blockBoundaryRows(c *canvas, w, h float64) float64 {
	indent, apart := c.sampleRoom(), 2*c.gap
	type item struct {
		boundaryLine
		ink Ink
		x   float64
	}
	var rows [][]item
	x := w // of the next item
	place := func(it item) {
		wide := indent + it.font.width(it.name)
		if it.rule != "" {
			wide += 0.6*c.gap + c.strong.width(it.rule)
		}
		c.note("boundary", it.name+it.rule, 1, 1, wide <= w)
		if x+wide > w {
			rows, x = append(rows, nil), 0
		}
		it.x = x
		rows[len(rows)-1] = append(rows[len(rows)-1], it)
		x += wide + apart
	}
	for _, b := range c.boundaries() {
		for _, line := range b.lines {
			if indent+line.font.width(line.name)+0.6*c.gap+c.strong.width(line.rule) <= w {
				place(item{boundaryLine: line, ink: b.ink})
				continue
			}
			place(item{boundaryLine: boundaryLine{line.font, line.name, ""}, ink: b.ink})
			x = w
			place(item{boundaryLine: boundaryLine{line.font, "", line.rule}, ink: None})
			x = w
		}
	}
	if rows == nil {
		return 0
	}
	height := textHeight(c, c.strong, len(rows))
	need := c.pad + height + c.below(c.strong)
	y := c.pad + max(0, h-need)/2 + c.strong.caps()
	side := c.strong.caps()
	for _, row := range rows {
		for _, it := range row {
			if it.ink != None {
				(&reach{canvas: c}).sample(it.ink, it.x, y-side, side, side, 1.2)
			}
			end := it.x + indent
			if it.name != "" {
				end += c.text(end, y, it.font, Black, it.name) + 0.6*c.gap
			}
			c.text(end, y, c.strong, Black, it.rule)
		}
		y += c.strong.size * c.leading
	}
	return need
}

// blockEnergy is the energy and its distance, with the chosen kit in a black box.
func blockEnergy(c *canvas, w, h float64) float64 {
	if h > 0 {
		c.hatch(-c.edgeLeft, 0, w+c.edgeLeft+c.edgeRight, h, Black)
	}
	t := c.words
	box := newKitBox(c)
	p := c.passage()
	// A little smaller where its distance or the kit then fits beside it.
	next := c.body.width(t.EnergyNote)
	if box.w > 0 {
		next = box.w
	}
	e, ok := c.energy.fitting(func(f font) bool { return f.width(t.Energy)+0.8*c.gap+next <= w }, 1, 0.95, 0.9, 0.85, 0.8)
	if !ok {
		e, _ = c.energy.fitting(func(f font) bool { return f.width(t.Energy) <= w }, 1, 0.9, 0.8, 0.7, c.strong.size/c.energy.size)
	}
	p.add(e, c.fitted("energy", t.Energy, e, w, 1)...)
	ew := e.width(t.Energy)
	boxX, boxY := w-box.w, 0.0
	below := box.w > 0 && ew+0.8*c.gap+box.w > w // the box is on a line of its own
	room := w
	if box.w > 0 {
		c.note("kit", box.name, 1, 1, box.w <= w)
		room -= box.w + c.gap
	}
	for i := range c.label.Words {
		note := c.label.Words[i].EnergyNote
		if i == 0 && ew+0.8*c.gap+c.body.width(note) <= room {
			p.beside(ew+0.8*c.gap, c.body, note)
		} else {
			p.add(c.body, c.fitted("energy note", note, c.body, w, 1)...)
		}
	}
	top := c.pad
	if below {
		boxX, boxY = 0, c.pad+p.foot+2.2*c.unit
	} else if box.w > 0 {
		top = max(c.pad, c.pad+(box.h-e.caps())/2)
		boxY = top + (e.caps()-box.h)/2
	}
	need := top + p.foot + c.below(c.body)
	if p.foot == e.caps() { // the last line is the energy
		need = max(need, top+p.foot+underBaseline*e.size)
	}
	if below {
		need = boxY + box.h + c.pad
	} else if p.any && p.foot == e.caps() {
		need = max(need, boxY+box.h+c.pad)
	}
	spare := max(0, h-need) / 2
	p.draw(0, top+spare, Black)
	box.draw(boxX, boxY+spare)
	return need
}

// kitBox is the chosen kit with its arc rating, white on black.
type kitBox struct {
	*canvas
	name, rating string
	f            font
	w, h         float64
}

func newKitBox(c *canvas) kitBox {
	b := kitBox{canvas: c, f: c.head}
	if n := c.label.Chosen; n >= 0 && n < len(c.label.Ladder) {
		r := c.label.Ladder[n]
		b.name, b.rating = r.Kit, r.Rating
		b.w = 6*c.unit + b.f.width(r.Kit) + 5*c.unit + c.strong.width(r.Rating)
		b.h = b.f.caps() + 5.4*c.unit
	}
	return b
}

func (b *kitBox) draw(x, y float64) {
	if b.w == 0 {
		return
	}
	c := b.canvas
	was := c.plate
	c.plate = None
	c.rect(x, y, b.w, b.h, Black)
	base := y + (b.h+b.f.caps())/2
	c.text(x+3*c.unit, base, b.f, White, b.name)
	c.right(x+b.w-3*c.unit, base, c.strong, White, b.rating)
	c.plate = was
}

// blockWear is the list of what to wear, running on. Below 1.2 cal/cm² it begins with
// what is not required, and in the same paragraph with the condition for that.
func blockWear(c *canvas, w, h float64) float64 {
	if h > 0 {
		c.hatch(-c.edgeLeft, 0, w+c.edgeLeft+c.edgeRight, h, Black)
	}
	if c.words.Interim != "" {
		w -= 2 * c.unit // the plates of its texts stay clear of the code
	}
	p := c.passage()
	for i := range c.label.Words {
		t := &c.label.Words[i]
		if title := slices.DeleteFunc(append([]string{t.WearTitle}, strings.SplitAfter(t.WearWhy, ". ")...),
			func(s string) bool { return s == "" }); len(title) > 0 {
			lines, ok := c.strong.flow(title, " ", w)
			c.note("reason why no kit is required", strings.Join(title, " "), len(lines), 2, ok)
			p.add(c.strong, lines...)
		}
		if len(t.Wear) == 0 {
			continue
		}
		l := c.runList(joined(" ", t.WearNote, t.WearLead), t.Wear, w)
		c.note("wear list", strings.Join(t.Wear, ", "), l.rows, 3, l.ok)
		for _, column := range l.columns {
			for _, lines := range column {
				p.add(c.body, lines...)
			}
		}
	}
	return p.fill(h, c.pad, c.below(c.body))
}

// blockGloveClass says which rubber gloves.
func blockGloveClass(c *canvas, w, h float64) float64 {
	p := c.passage()
	for _, s := range distinct(c.label.Words, func(t *label.Words) string { return t.Gloves }) {
		p.add(c.strong, c.fitted("gloves", s, c.strong, w, 1)...)
	}
	return p.fill(h, c.pad, c.below(c.strong))
}

// blockValid says until when the label holds, and by what code its calculation is found.
func blockValid(c *canvas, w, h float64) float64 {
	p := c.passage()
	end := 0.0 // of the last line
	for i := range c.label.Words {
		t := &c.label.Words[i]
		p.add(c.strong, c.fitted("rating", t.Rated, c.strong, w, 1)...)
		// REVIEW BY is what a reader looks for.
		cut := strings.LastIndex(t.Dates, " · ")
		if before := c.body.width(t.Dates[:max(cut, 0)] + " · "); cut > 0 && before+c.strong.width(t.Dates[cut+len(" · "):]) <= w {
			p.add(c.body, t.Dates[:cut]+" ·")
			p.beside(before, c.strong, t.Dates[cut+len(" · "):])
			end = before + c.strong.width(t.Dates[cut+len(" · "):])
			continue
		}
		lines := c.fitted("dates", t.Dates, c.strong, w, 1)
		p.add(c.strong, lines...)
		if len(lines) > 0 {
			end = c.strong.width(lines[len(lines)-1])
		}
	}
	code := c.body.width(c.label.Code)
	c.note("code", c.label.Code, 1, 1, code <= w)
	if c.label.Code != "" {
		if end > 0 && end+c.gap+code <= w {
			p.beside(w-code, c.body, c.label.Code)
		} else {
			p.add(c.body, c.label.Code)
		}
	}
	return p.fill(h, c.pad, c.below(c.body))
}
