package layout

import (
	"slices"
	"strings"
)

// energyLines are the energy, and what is said of it before the list of what to
// wear. led tells that this leads the list in.
func (c *canvas) energyLines(w float64) (p *passage, led bool) {
	t := c.words
	p = c.passage()
	energy := c.fitted("energy", t.Energy, c.energy, w, 1)
	p.add(c.energy, energy...)
	ew := 0.0 // of its last line
	if len(energy) > 0 {
		ew = c.energy.width(energy[len(energy)-1])
	}
	led = len(t.Wear) == 0 || t.WearLead == "" // the list is led in
	for i, words := range c.label.Words {
		note := words.EnergyNote
		if words.Energy != t.Energy { // a bound has words of its own
			note = joined(", ", words.Energy, note)
		}
		room := w
		beside := i == 0 && ew+0.8*c.gap+c.body.width(note) <= w
		if beside {
			room -= ew + 0.8*c.gap
		}
		// Its last words lead the list in, where that costs no line.
		if lead := note + "; " + t.WearLead; len(c.label.Words) == 1 && !led && t.WearNote == "" && c.body.width(lead) <= room {
			note, led = lead, true
		}
		if beside {
			p.beside(ew+0.8*c.gap, c.body, note)
		} else {
			p.add(c.body, c.fitted("energy note", note, c.body, w, 1)...)
		}
	}
	p.skip(c.lead * 0.3)
	for _, words := range c.label.Words {
		p.add(c.strong, c.fitted("wear title", words.WearTitle, c.strong, w, 2)...)
		p.add(c.medium, c.sentences("reason why no kit is required", words.WearWhy, w)...)
	}
	if t.WearTitle != "" && len(t.Wear) > 0 {
		p.skip(c.lead * 0.15)
	}
	return p, led
}

// sentences sets a text whose lines end with its sentences where that costs no
// line more.
func (c *canvas) sentences(field, text string, w float64) []string {
	if text == "" {
		return nil
	}
	lines, ok := c.lines.flow(c.medium, strings.Split(strings.ReplaceAll(text, ". ", ".\n"), "\n"), w)
	c.note(field, text, len(lines), 2, ok)
	return lines
}

// wearLists are the lists of what to wear: one for each language with its own list;
// if one of them runs on, all do. The lead-in of a list, and the note for the languages
// without a list, are above it; on a label of two languages they come before its first
// item if the list runs on.
func (c *canvas) wearLists(w float64, lead bool) (all []list) {
	for _, t := range c.label.Words {
		if len(t.Wear) == 0 {
			continue
		}
		if len(all) == 0 || !slices.Equal(t.Wear, all[len(all)-1].items) {
			all = append(all, c.bestList(t.Wear, w))
		}
		said := t.WearNote
		if lead {
			said = joined(" ", said, t.WearLead)
		}
		last := &all[len(all)-1]
		last.lead = joined(" / ", last.lead, said)
	}
	ran := slices.ContainsFunc(all, func(l list) bool { return l.indent == 0 })
	for i := range all {
		l := &all[i]
		above := l.lead
		if ran {
			before := ""
			if len(c.label.Words) > 1 {
				before = above
			}
			if l.indent > 0 || before != "" { // else it runs on already
				if run := c.runList(before, l.items, w); run.ok {
					if *l = run; before != "" {
						above = ""
					}
				}
			}
		}
		c.note("wear list", strings.Join(l.items, ", "), l.rows, 4, l.ok)
		l.note = c.fitted("wear note", above, c.body, w, 1)
		l.rows += len(l.note)
	}
	return all
}

// list is a list set in columns, or run on.
type list struct {
	items   []string
	lead    string       // the lead-in; "" where that is elsewhere
	note    []string     // lines above it
	rows    int          // the note's lines among them
	columns [][][]string // column, item, line
	column  float64      // width of a column, with its gap
	indent  float64      // of an item, behind its mark; 0 for a list that runs on
	ok      bool
}

// bestList is the way of setting items that takes the fewest rows: up to three
// columns of items with marks. It runs on where nothing else is left, and on a
// label of two languages where many items would be broken.
func (c *canvas) bestList(items []string, w float64) list {
	of := listIn{strings.Join(items, "\x00"), c.body, w, c.gap, c.runs, len(c.label.Words) > 1}
	return c.lines.list(of, func() list { return c.newList(items, w) })
}

// newList is bestList, for one that is not known yet.
func (c *canvas) newList(items []string, w float64) list {
	best := c.columnList(items, w, 1)
	take := func(l list) {
		if l.ok && (l.rows < best.rows || !best.ok) {
			best = l
		}
	}
	if len(items) > 1 {
		take(c.columnList(items, w, 2))
	}
	if len(items) > 5 {
		take(c.columnList(items, w, 3))
	}
	if (c.runs || len(c.label.Words) > 1 && 3*best.broken() > len(items)) && len(items) > 1 {
		take(c.runList("", items, w))
	}
	return best
}

// runList is a list that runs on, with a mark before each item, and the text before the
// first.
func (c *canvas) runList(before string, items []string, w float64) list {
	var parts []string
	if before != "" {
		parts = append(parts, before)
	}
	for _, item := range items {
		parts = append(parts, "– "+item)
	}
	lines, ok := c.body.flow(parts, "  ", w)
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

// columnList is a list in n columns, a mark before each item.
func (c *canvas) columnList(items []string, w float64, n int) list {
	gap := 1.2 * c.gap
	column := (w - float64(n-1)*gap) / float64(n)
	l := list{items: items, column: column + gap, indent: 7 * c.unit, ok: true}
	lines := make([][]string, len(items))
	total, most := 0, 0
	for i, it := range items {
		set, ok := c.lines.wrap(c.body, it, column-l.indent)
		l.ok = l.ok && ok
		lines[i] = set
		total, most = total+len(set), max(most, len(set))
	}
	// The fewest rows into which the items go in order, none split.
	for l.rows = max(most, (total+n-1)/n); ; l.rows++ {
		l.columns = l.columns[:0]
		from, left := 0, l.rows
		for i, set := range lines {
			if left < len(set) {
				l.columns = append(l.columns, lines[from:i])
				from, left = i, l.rows
			}
			left -= len(set)
		}
		if l.columns = append(l.columns, lines[from:]); len(l.columns) <= n {
			return l
		}
	}
}

func (l list) draw(c *canvas, y, step float64) {
	side := 4 * c.unit
	for _, line := range l.note {
		c.text(0, y, c.body, Black, line)
		y += step
	}
	for i, column := range l.columns {
		x, y := float64(i)*l.column, y
		for _, item := range column {
			if l.indent > 0 {
				c.rect(x, y-c.body.caps()/2-0.45*c.unit, side, 0.9*c.unit, Black)
			}
			for _, line := range item {
				c.text(x+l.indent, y, c.body, Black, line)
				y += step
			}
		}
	}
}
