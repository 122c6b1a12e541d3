package layout

import (
	"slices"
	"strings"
)

// wearList sets the energy and the list of what to wear, from the top.
func wearList(c *canvas, w, h float64) float64 {
	t := c.words
	p := c.passage()
	energy := c.fitted("energy", t.Energy, c.energy, w, 1)
	p.add(c.energy, energy...)
	ew := 0.0 // of its last line
	if len(energy) > 0 {
		ew = c.energy.width(energy[len(energy)-1])
	}
	for i, words := range c.label.Words {
		note := words.EnergyNote
		if words.Energy != t.Energy { // a bound has words of its own
			note = joined(", ", words.Energy, note)
		}
		if i == 0 && ew+0.8*c.gap+c.body.width(note) <= w {
			p.beside(ew+0.8*c.gap, c.body, note)
		} else {
			p.add(c.body, c.fitted("energy note", note, c.body, w, 1)...)
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

// wearLists are the lists of what to wear: one for each language whose list is
// not another's, all of them run on where one does. What is said of a list in
// the languages that have none of their own stands above it.
func (c *canvas) wearLists(w float64) (all []list) {
	var notes [][]string
	for _, t := range c.label.Words {
		if len(t.Wear) == 0 {
			continue
		}
		if len(all) == 0 || !slices.Equal(t.Wear, all[len(all)-1].items) {
			all, notes = append(all, c.bestList(t.Wear, w)), append(notes, nil)
		}
		if last := &notes[len(notes)-1]; t.WearNote != "" && !slices.Contains(*last, t.WearNote) {
			*last = append(*last, t.WearNote)
		}
	}
	ran := slices.ContainsFunc(all, func(l list) bool { return l.indent == 0 })
	for i := range all {
		l := &all[i]
		if ran {
			if run := c.runList(l.items, w); run.ok {
				*l = run
			}
		}
		c.note("wear list", strings.Join(l.items, ", "), l.rows, 4, l.ok)
		l.note = c.fitted("wear note", strings.Join(notes[i], " / "), c.body, w, 1)
		l.rows += len(l.note)
	}
	return all
}

// list is a list set in columns, or run on.
type list struct {
	items   []string
	note    []string     // lines above it
	rows    int          // the note's lines among them
	columns [][][]string // column, item, line
	column  float64      // width of a column, with its gap
	indent  float64      // of an item, behind its mark; 0 for a list that runs on
	ok      bool
}

// bestList is the way of setting items that takes the fewest rows: up to three
// columns of items with marks, or run on: on a tight label, and on one of two
// languages where many items would be broken.
func (c *canvas) bestList(items []string, w float64) list {
	best := c.columnList(items, w, 1)
	take := func(l list) {
		if l.ok && (l.rows < best.rows || !best.ok) {
			best = l
		}
	}
	if len(items) > 3 {
		take(c.columnList(items, w, 2))
	}
	if len(items) > 8 {
		take(c.columnList(items, w, 3))
	}
	if (c.tight || len(c.label.Words) > 1 && 3*best.broken() > len(items)) && len(items) > 1 {
		take(c.runList(items, w))
	}
	return best
}

// runList is a list that runs on.
func (c *canvas) runList(items []string, w float64) list {
	lines, ok := c.body.flow(sentence(items), " ", w)
	return list{items: items, rows: len(lines), columns: [][][]string{{lines}}, ok: ok}
}

// broken is how many items take more than a line.
func (l list) broken() int {
	n := 0
	for _, item := range slices.Concat(l.columns...) {
		if len(item) > 1 {
			n++
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
	out := slices.Clone(items)
	for i := range out[1:] {
		out[i] += mark
	}
	return out
}

// columnList is a list in n columns, a mark before each item.
func (c *canvas) columnList(items []string, w float64, n int) list {
	gap := 1.2 * c.gap
	column := (w - float64(n-1)*gap) / float64(n)
	l := list{items: items, column: column + gap, indent: 6.5 * c.unit, ok: true}
	lines := make([][]string, len(items))
	total := 0
	for i, it := range items {
		set, ok := c.body.wrap(it, column-l.indent)
		l.ok = l.ok && ok
		lines[i] = set
		total += len(set)
	}
	// The fewest rows into which the items go in order, none split.
	for l.rows = (total + n - 1) / n; ; l.rows++ {
		l.columns = l.columns[:0]
		left := 0
		for _, set := range lines {
			if left < len(set) {
				l.columns = append(l.columns, nil)
				left = l.rows
			}
			last := len(l.columns) - 1
			l.columns[last] = append(l.columns[last], set)
			left -= len(set)
		}
		if len(l.columns) <= n {
			return l
		}
	}
}

func (l list) draw(c *canvas, y, step float64) {
	side := 2.6 * c.unit
	for _, line := range l.note {
		c.text(0, y, c.body, Black, line)
		y += step
	}
	for i, column := range l.columns {
		x, y := float64(i)*l.column, y
		for _, item := range column {
			if l.indent > 0 {
				c.rect(x, y-c.body.caps()/2-side/2, side, side, Black)
			}
			for _, line := range item {
				c.text(x+l.indent, y, c.body, Black, line)
				y += step
			}
		}
	}
}
