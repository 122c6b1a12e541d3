package layout

import (
	"cmp"
	"slices"

	"vouchmark/label"
)

// boundaryList names the boundaries, a row for each: a sample of its bar, the
// name, and the length at the right end. The farthest is the first. A row of
// two languages has both names, and the length once.
type boundaryList struct {
	rows   []boundary
	w      float64
	indent float64 // of the names
	split  int     // rows whose length or rule is on a line of its own
}

// boundary is a row of the list.
type boundary struct {
	ink    Ink // of its sample; None for a boundary without a length
	length float64
	lines  []boundaryLine
}

// boundaryLine is a line of a row: a name, or a part of one, and the text at the right
// end.
type boundaryLine struct {
	font       font
	name, rule string
}

// boundaries are the rows, each language's name on a line of its own.
func (c *canvas) boundaries() (all []boundary) {
	r := c.label.Reach
	all = make([]boundary, 0, 3)
	for _, b := range [...]struct {
		ink        Ink
		length     float64
		name, rule func(*label.Words) string
	}{
		{Signal, r.Arc, func(t *label.Words) string { return t.Arc }, func(t *label.Words) string { return t.ArcLength }},
		{White, r.Limited, func(t *label.Words) string { return t.Limited }, func(t *label.Words) string { return t.LimitedLength }},
		{Black, r.Restricted, func(t *label.Words) string { return t.Restricted }, func(t *label.Words) string { return t.RestrictedRule }},
	} {
		row := boundary{ink: b.ink, length: b.length, lines: make([]boundaryLine, 0, len(c.label.Words))}
		if b.length <= 0 {
			row.ink = None
		}
		for i := range c.label.Words {
			t := &c.label.Words[i]
			line := boundaryLine{c.strong, b.name(t), b.rule(t)}
			if line.name == "" {
				continue
			}
			if i > 0 {
				line.font = c.medium
				if b.length > 0 {
					line.rule = "" // a number is shown once
				}
			}
			row.lines = append(row.lines, line)
		}
		if len(row.lines) > 0 {
			all = append(all, row)
		}
	}
	slices.SortStableFunc(all, func(a, b boundary) int { return cmp.Compare(b.length, a.length) })
	return all
}

// boundariesOnALine are the rows, the names of two languages on one line.
func (c *canvas) boundariesOnALine() []boundary {
	all := c.boundaries()
	for i := range all {
		all[i] = c.onALine(all[i])
	}
	return all
}

func (c *canvas) onALine(row boundary) boundary {
	if len(row.lines) == 2 {
		one, two := row.lines[0], row.lines[1]
		row.lines = []boundaryLine{{c.strong, one.name + " / " + two.name, joined(" / ", one.rule, two.rule)}}
	}
	return row
}

// sampleRoom is the room for the samples.
func (c *canvas) sampleRoom() float64 { return c.strong.caps() + 3*c.unit }

// boundariesBeside is the list at its least width, without broken names. If room is
// short, the text at the end of a row that is wider than most goes on a line of its own.
func (c *canvas) boundariesBeside(rows []boundary, most float64) boundaryList {
	l := boundaryList{rows: rows, indent: c.sampleRoom()}
	width := func(line boundaryLine) float64 {
		w := l.indent + line.font.width(line.name)
		if line.rule != "" {
			w += 1.2*c.gap + c.strong.width(line.rule)
		}
		return w
	}
	for i := range l.rows {
		var lines []boundaryLine
		for _, line := range l.rows[i].lines {
			if c.packed && width(line) > most && line.rule != "" && line.name != "" {
				lines = append(lines, boundaryLine{line.font, line.name, ""}, boundaryLine{line.font, "", line.rule})
				l.split++
			} else {
				lines = append(lines, line)
			}
		}
		l.rows[i].lines = lines
		for _, line := range lines {
			l.w = max(l.w, width(line))
		}
	}
	return l
}

// boundariesBelow is the list in a width: the names of two languages on one
// line where they fit, a name that is too wide broken, its length at the end of
// its last line.
func (c *canvas) boundariesBelow(w float64) boundaryList {
	l := boundaryList{rows: c.boundaries(), w: w, indent: c.sampleRoom()}
	room := func(line boundaryLine) float64 {
		if line.rule == "" {
			return w - l.indent
		}
		return w - l.indent - c.gap - c.strong.width(line.rule)
	}
	for i := range l.rows {
		row := &l.rows[i]
		if both := c.onALine(*row); c.strong.width(both.lines[0].name) <= room(both.lines[0]) {
			*row = both
		}
		var lines []boundaryLine
		for _, line := range row.lines {
			parts := c.fitted("boundary", line.name, line.font, max(room(line), 0), 1)
			for k, part := range parts {
				rule := ""
				if k == len(parts)-1 {
					rule = line.rule
				}
				lines = append(lines, boundaryLine{line.font, part, rule})
			}
			if c.strong.width(line.rule) > w-l.indent {
				c.note("boundary", line.rule, 1, 1, false)
			}
		}
		row.lines = lines
	}
	return l
}

// lineCount is how many lines the list has.
func (l *boundaryList) lineCount() (n int) {
	for _, row := range l.rows {
		n += len(row.lines)
	}
	return n
}

// step is from baseline to baseline: bold capitals want a little more.
func (l *boundaryList) step(c *canvas) float64 {
	if c.tight {
		return c.lead
	}
	return 1.08 * c.lead
}

// height is the height from the first capitals' tops to the last baseline.
func (l *boundaryList) height(c *canvas) float64 {
	n := l.lineCount()
	if n == 0 {
		return 0
	}
	return c.strong.caps() + float64(n-1)*l.step(c)
}

func (l *boundaryList) draw(d *reach, x, y, step float64) {
	c := d.canvas
	side := c.strong.caps()
	y += side
	for _, row := range l.rows {
		if row.ink != None {
			d.sample(row.ink, x, y-side, side, side, 1.2)
		}
		for _, line := range row.lines {
			c.text(x+l.indent, y, line.font, Black, line.name)
			c.right(x+l.w, y, c.strong, Black, line.rule)
			y += step
		}
	}
}
