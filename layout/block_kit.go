package layout

import (
	"slices"
	"strings"

	"vouchmark/label"
)

// blockKit draws the owner's ladder with its chosen rung, beside the energy
// and what to wear. For DANGER the ladder is struck out, and a black box says
// that no kit is allowed. Below the energy that asks for arc-rated clothing
// the ladder stands empty, with the mark on the ground.
func blockKit(c *canvas, w, h float64) float64 {
	l := newLadder(c, w)
	x := 0.0
	if l.width > 0 {
		x = l.width + l.tip + c.gap
	}
	right := wearList
	if c.label.Danger {
		x = max(0, x-l.tip)
		right = noKitBox
	}
	need := max(l.height, c.measured(right, w-x)) + 2*c.pad
	if h == 0 {
		return need
	}
	spare := max(0, h-need)
	inner := need - 2*c.pad + spare*0.6
	was := c.place
	c.oy += (h - inner) / 2
	l.draw(inner)
	c.ox += x
	if !c.label.Danger && len(c.words.Wear) == 0 {
		// A few lines without a list stand in the middle of the ladder.
		c.oy += max(0, inner-c.measured(wearList, w-x))/2 - 0.15*c.lead
	}
	right(c, w-x, inner)
	c.place = was
	return need
}

// mostRungs is how many rungs are drawn of a long ladder: the chosen one and
// its neighbours.
const mostRungs = 5

// ladder is the owner's ladder as it is drawn.
type ladder struct {
	*canvas
	first, last   int // the rungs that are drawn, lowest first
	width, height float64
	tip           float64 // of the chosen rung's pointer
	rung, chosen  float64 // heights
	pad           float64
	name          font // of the chosen rung
	rating        font
	ground        bool
}

func newLadder(c *canvas, w float64) *ladder {
	rungs := c.label.Ladder
	l := &ladder{canvas: c}
	if len(rungs) == 0 {
		return l
	}
	u := c.unit
	at := c.label.Chosen
	l.ground = at < 0 && !c.label.Danger
	l.last = len(rungs) - 1
	if len(rungs) > mostRungs {
		middle := at
		if at < 0 {
			middle = 0
			if c.label.Danger {
				middle = len(rungs) - 1
			}
		}
		l.first = max(0, min(middle-mostRungs/2, len(rungs)-mostRungs))
		l.last = l.first + mostRungs - 1
	}
	l.pad = 4 * u
	l.rung, l.chosen, l.tip = 11.6*u, 21*u, 5*u
	size := 14 * u
	if c.tight {
		l.pad, l.rung, l.chosen, l.tip, size = 3*u, c.lead+0.4*u, 15*u, 4*u, 11*u
	}
	between := 6 * u
	for i := l.first; i <= l.last; i++ {
		l.width = max(l.width, 2*l.pad+c.body.width(rungs[i].Kit)+between+c.medium.width(rungs[i].Rating))
	}
	l.width = max(l.width, 46*u)
	most := max(l.width, min(0.34*w, 76*u))
	if at >= 0 {
		k := rungs[at]
		for _, s := range [...]float64{1, 0.88, 0.78, 0.68, 0.6} {
			l.name = c.strong.at(max(c.strong.size, size*s))
			l.rating = c.strong.at(max(c.strong.size, size*s*0.72))
			if 2*l.pad+l.name.width(k.Kit)+between+l.rating.width(k.Rating) <= most {
				break
			}
		}
		l.width = max(l.width, 2*l.pad+l.name.width(k.Kit)+between+l.rating.width(k.Rating))
	}
	if l.width > 0.5*w {
		longest := rungs[l.first].Kit
		for _, r := range rungs[l.first : l.last+1] {
			if c.body.width(r.Kit) > c.body.width(longest) {
				longest = r.Kit
			}
		}
		c.note("kit", longest, 1, 1, false)
	}
	n := float64(l.last - l.first + 1)
	l.height = n*l.rung + 2*l.foot()
	if at >= 0 {
		l.height += l.chosen - l.rung
	}
	if l.ground {
		l.height += 2 * u
	}
	return l
}

// foot is how far the rails reach beyond the rungs.
func (l *ladder) foot() float64 { return 3 * l.unit }

func (l *ladder) draw(h float64) {
	c := l.canvas
	rungs := c.label.Ladder
	if len(rungs) == 0 {
		return
	}
	u := c.unit
	// A higher neighbour stretches the rungs by up to a third, no further.
	stretch := max(1, min(1.35, h/l.height))
	foot := l.foot() * stretch
	rail := 1.5 * u
	height := l.height * stretch
	top := (h - height) / 2
	if h > height {
		top = 0
	}
	y := top + foot
	c.rect(0, top, rail, height, Black)
	c.rect(l.width-rail, top, rail, height, Black)
	if l.last < len(rungs)-1 {
		l.goesOn(top)
	}
	if l.first > 0 {
		l.goesOn(top + height - foot)
	}
	for i := l.last; i >= l.first; i-- {
		r := rungs[i]
		rh := l.rung * stretch
		if i != c.label.Chosen {
			c.box(0+rail/2, y, l.width-rail, rh, 0, White, Black, c.hair)
			base := y + (rh+c.body.caps())/2
			c.text(l.pad, base, c.body, Black, r.Kit)
			c.right(l.width-l.pad, base, c.body, Black, r.Rating)
			y += rh
			continue
		}
		rh = l.chosen * stretch
		c.path(0, 0, 1, Black, []Point{{X: -1.2 * u, Y: y}, {X: l.width + 1.2*u, Y: y},
			{X: l.width + l.tip, Y: y + rh/2}, {X: l.width + 1.2*u, Y: y + rh}, {X: -1.2 * u, Y: y + rh}})
		base := y + (rh+l.name.caps())/2
		c.text(l.pad, base, l.name, White, r.Kit)
		c.right(l.width-l.pad, base, l.rating, White, r.Rating)
		y += rh
	}
	if l.ground {
		c.rect(-1.5*u, top+height-2.4*u, l.width+3*u, 2.4*u, Black)
	}
	if c.label.Danger {
		for _, s := range [...]struct {
			ink   Ink
			width float64
		}{{White, 5.4 * u}, {Signal, 3.4 * u}} {
			c.line(2*u, top+3*u, l.width-4*u, height-6*u, s.width, s.ink)
			c.line(2*u, top+height-3*u, l.width-4*u, 6*u-height, s.width, s.ink)
		}
	}
}

// goesOn marks that the ladder has more rungs: three dots between the rails.
func (l *ladder) goesOn(y float64) {
	u := l.unit
	for i := -1; i <= 1; i++ {
		l.rect(l.width/2+float64(i)*4*u-0.7*u, y+0.7*u, 1.4*u, 1.4*u, Black)
	}
}

// wearList sets the energy and the list of what to wear, from the top.
func wearList(c *canvas, w, h float64) float64 {
	t := c.words
	p := c.passage()
	p.add(c.energy, t.Energy)
	ew := c.energy.width(t.Energy)
	if ew > w {
		c.note("energy", t.Energy, 1, 1, false)
	}
	for i, words := range c.label.Words {
		if i == 0 && ew+0.8*c.gap+c.body.width(words.EnergyNote) <= w {
			p.beside(ew+0.8*c.gap, c.body, words.EnergyNote)
		} else {
			p.add(c.body, c.fitted("energy note", words.EnergyNote, c.body, w, 1)...)
		}
	}
	p.skip(c.lead * 0.42)
	for _, words := range c.label.Words {
		p.add(c.strong, c.even("wear title", c.strong, w, 2, words.WearTitle)...)
		p.add(c.body, c.sentences("reason why no kit is demanded", words.WearWhy, w)...)
	}
	lists := c.wearLists(w)
	if t.WearTitle != "" && len(lists) > 0 {
		p.skip(c.lead * 0.2)
	}
	p.draw(0, 0, Black)
	rows := 0
	for _, l := range lists {
		rows += l.rows
	}
	const between = 0.35 // of two lists, in lines
	need := p.foot + (float64(rows)+between*float64(max(0, len(lists)-1)))*c.lead
	step := c.lead
	if h > need && rows > 0 {
		step = min(c.lead*1.25, c.lead+(h-need)/float64(rows))
	}
	y := p.foot
	for _, l := range lists {
		l.draw(c, y+c.lead, step)
		y += float64(l.rows)*step + between*c.lead
	}
	return need
}

// wearLists are the lists of what to wear: one for each language whose list is
// not another's, all of them set alike.
func (c *canvas) wearLists(w float64) []list {
	var all []list
	var items [][]string
	ran := false
	for _, t := range c.label.Words {
		if len(t.Wear) == 0 || len(items) > 0 && slices.Equal(t.Wear, items[len(items)-1]) {
			continue
		}
		l := c.bestList(t.Wear, w)
		all, items, ran = append(all, l), append(items, t.Wear), ran || l.runOn != nil
	}
	for i := range all {
		if ran && all[i].runOn == nil {
			if l := c.runList(items[i], w); l.ok {
				all[i] = l
			}
		}
		c.note("wear list", strings.Join(items[i], ", "), all[i].rows, 4, all[i].ok)
	}
	return all
}

// list is a list set in columns, or run on.
type list struct {
	rows    int
	columns [][][]string // column, item, line
	column  float64      // width of a column, with its gap
	runOn   []string
	ok      bool
}

// bestList is the way of setting items that takes the fewest rows: a column, two
// columns of items with bullets, or run on: on a tight label, and on one of two
// languages where many items would be broken.
func (c *canvas) bestList(items []string, w float64) list {
	best := c.columnList(items, w, 1)
	if len(items) > 3 {
		if two := c.columnList(items, w, 2); two.ok && two.rows < best.rows || !best.ok {
			best = two
		}
	}
	if len(items) > 8 {
		if three := c.columnList(items, w, 3); three.ok && three.rows < best.rows {
			best = three
		}
	}
	if (c.tight || len(c.label.Words) > 1 && 3*best.broken() > len(items)) && len(items) > 1 {
		if run := c.runList(items, w); run.ok && (run.rows < best.rows || !best.ok) {
			best = run
		}
	}
	return best
}

// runList is a list that runs on.
func (c *canvas) runList(items []string, w float64) list {
	lines, ok := c.body.flow(sentence(items), " ", w)
	return list{rows: len(lines), runOn: lines, ok: ok}
}

// broken is how many items take more than a line.
func (l list) broken() int {
	n := 0
	for _, column := range l.columns {
		for _, item := range column {
			if len(item) > 1 {
				n++
			}
		}
	}
	return n
}

// sentence ends every item but the last with a comma, so that also at the end
// of a line one can tell where an item ends; with a semicolon where an item
// has a comma of its own.
func sentence(items []string) []string {
	mark := ","
	if strings.Contains(strings.Join(items, ""), mark) {
		mark = ";"
	}
	out := make([]string, len(items))
	for i, it := range items {
		out[i] = it + mark
	}
	out[len(out)-1] = items[len(items)-1]
	return out
}

func (c *canvas) bullet() float64 { return 6.5 * c.unit }

func (c *canvas) columnList(items []string, w float64, n int) list {
	gap := 1.2 * c.gap
	column := (w - float64(n-1)*gap) / float64(n)
	l := list{column: column + gap, ok: true}
	lines := make([][]string, len(items))
	total := 0
	for i, it := range items {
		set, ok := c.body.wrap(it, column-c.bullet())
		l.ok = l.ok && ok
		lines[i] = set
		total += len(set)
	}
	// The fewest rows into which the items go in order, none split.
	for rows := (total + n - 1) / n; ; rows++ {
		l.columns = l.columns[:0]
		left := 0
		for _, set := range lines {
			if left < len(set) {
				l.columns = append(l.columns, nil)
				left = rows
			}
			last := len(l.columns) - 1
			l.columns[last] = append(l.columns[last], set)
			left -= len(set)
		}
		if len(l.columns) <= n {
			l.rows = rows
			return l
		}
	}
}

func (l list) draw(c *canvas, y, step float64) {
	for i, line := range l.runOn {
		c.text(0, y+float64(i)*step, c.body, Black, line)
	}
	side := 2.6 * c.unit
	for i, column := range l.columns {
		x, y := float64(i)*l.column, y
		for _, item := range column {
			c.rect(x, y-c.body.caps()/2-side/2, side, side, Black)
			for _, line := range item {
				c.text(x+c.bullet(), y, c.body, Black, line)
				y += step
			}
		}
	}
}

// noKitBox is the black box of a DANGER label.
func noKitBox(c *canvas, w, h float64) float64 {
	pad := 6 * c.unit
	if c.tight {
		pad = 4 * c.unit
	}
	room := w - 2*pad
	big, title := c.noKitTitle(room)
	p := c.passage()
	p.add(big, title...)
	p.skip(0.3 * c.lead)
	var rest [][]string
	for i := range c.label.Words {
		energy, why := splitWhy(&c.label.Words[i])
		p.add(c.strong, c.even("energy", c.strong, room, 2, energy...)...)
		rest = append(rest, why)
	}
	for _, why := range rest {
		p.add(c.body, c.even("reason why no kit is allowed", c.body, room, 2, why...)...)
	}
	need := 2*pad + p.foot
	if h == 0 {
		return need
	}
	c.box(0, 0, w, h, 3*c.unit, Black, None, 0)
	spare := max(0, h-need)
	rows := len(p.lines) - len(title)
	for i := range p.lines {
		l := &p.lines[i]
		l.x = -l.width(l.text) / 2
		l.y += spare * 0.5 * float64(max(0, i-len(title)+1)) / float64(rows+1)
	}
	p.draw(w/2, pad+spare*0.25, White)
	return need
}

// sentences sets a text whose lines end with its sentences where that costs no
// line more.
func (c *canvas) sentences(field, text string, w float64) []string {
	if text == "" {
		return nil
	}
	lines, ok := c.body.flow(strings.Split(strings.ReplaceAll(text, ". ", ".\n"), "\n"), " ", w)
	c.note(field, text, len(lines), 2, ok)
	return lines
}

// noKitTitle sets the sentence of a DANGER label on one line where some size
// allows that, else on two, else on as many as it takes; in each language.
func (c *canvas) noKitTitle(w float64) (font, []string) {
	n := len(c.label.Words)
	set := func(f font) (all []string, ok bool) {
		ok = true
		for _, t := range c.label.Words {
			lines, fits := f.balanced([]string{t.NoKit}, "", w)
			all, ok = append(all, lines...), ok && fits
		}
		return all, ok
	}
	for most := 1; most <= 2; most++ {
		for _, s := range [...]float64{1, 0.92, 0.84, 0.76, 0.7} {
			f := c.noKit.at(c.noKit.size * s)
			if lines, ok := set(f); ok && len(lines) <= most*n {
				c.note("no-kit sentence", c.words.NoKit, most, 1, true)
				return f, lines
			}
		}
	}
	lines, ok := set(c.noKit)
	c.note("no-kit sentence", c.words.NoKit, len(lines), 1, ok)
	return c.noKit, lines
}

// splitWhy is what the black box says in bold, the energy, and what it says
// below. The reason may begin with the energy itself, which then is not said
// twice.
func splitWhy(t *label.Words) (bold, rest []string) {
	if len(t.NoKitWhy) > 0 && t.Energy != "" && strings.HasPrefix(t.NoKitWhy[0], t.Energy) {
		return t.NoKitWhy[:1], t.NoKitWhy[1:]
	}
	if s := strings.TrimSpace(t.Energy + " " + t.EnergyNote); s != "" {
		bold = []string{s}
	}
	return bold, t.NoKitWhy
}
