package intake

import (
	"fmt"
	"slices"

	"vouchmark/assess"
	"vouchmark/assess/site"
)

// askUnread asks about unread columns with something that labels show: a second energy or boundary may
// be the one that a label needs.
func (f *file) askUnread() {
	for i := range f.study.Columns {
		c := &f.study.Columns[i]
		if len(c.Means) > 0 || c.Left || c.Filled == 0 || f.asked(c.Heading) || !f.hasNumber(c) {
			continue
		}
		name := f.soundsLike(c)
		if name == "" || !f.named(name) || !f.exceeds(c, name) {
			continue
		}
		f.ask(Question{Heading: c.Heading,
			What: fmt.Sprintf("%q is not read, but sounds like another %s, such as %s, besides %q", c.Heading, columnNamed(name).Name,
				c.Samples[0], f.headingOf(name)),
			Do: fmt.Sprintf("give --leave %q if labels do not need it; if they do, --leave the other one and give --column %q", c.Heading,
				c.Heading+"="+columnNamed(name).Spellings()[0])})
	}
}

// soundsLike is the result that a heading suggests by its words or its unit: an energy, or a boundary
// other than an approach boundary; "" for none.
func (f *file) soundsLike(c *Column) string {
	heading := f.heading.Texts[c.At]
	words := wordsOf(heading)
	has := func(all ...string) bool {
		return slices.ContainsFunc(all, func(w string) bool { return slices.Contains(words, w) })
	}
	energy := columnNamed("energy")
	switch {
	case has("rating", "clothing", "garment", "hearing", "lung", "blast", "pressure", "sound"):
	case has("energy", "incident") || len(apart(energy, heading).units) > 0 || len(apart(energy, c.Below).units) > 0:
		return "energy"
	case has("boundary") && !has("limited", "restricted", "prohibited", "approach", "shock"):
		return "boundary"
	}
	return ""
}

// exceeds reports whether a cell of an unread column may say more than the cell of the column that is
// read: a second, smaller result does no harm. It is read in the unit that its heading names, else in
// that of the other column.
func (f *file) exceeds(c *Column, name string) bool {
	col, m := columnNamed(name), f.study.meaning(name)
	unit := m.Unit.NamedUnit
	if units := append(apart(col, f.heading.Texts[c.At]).units, apart(col, c.Below).units...); len(units) > 0 {
		unit = units[0]
	}
	read := map[int]float64{}
	for i := range f.study.Rows {
		r := &f.study.Rows[i]
		_, text := site.SplitBound(r.Cells[name])
		own := m.Unit.NamedUnit
		own.Of = 1
		if v, ok := plainNumbers.Value(col, own, text, f.hertz); ok {
			read[r.Number] = v
		}
	}
	cells := f.cells(c.At)
	for i, r := range f.rows {
		_, text := site.SplitBound(cells[i])
		v, ok := f.numbers.Value(col, unit, text, f.hertz)
		if at, there := read[r.Number]; there && text != "" && !isNothing(text) && (!ok || v > at*1.0001) {
			return true
		}
	}
	return false
}

// hasNumber reports whether a cell of a column begins with a number, or is a bound.
func (f *file) hasNumber(c *Column) bool {
	return slices.ContainsFunc(f.cells(c.At), func(s string) bool {
		_, s = site.SplitBound(s)
		number, _ := site.SplitUnit(s)
		return numeric.MatchString(number)
	})
}

func (f *file) asked(heading string) bool {
	return slices.ContainsFunc(f.study.Questions, func(q Question) bool { return q.Heading == heading })
}

// headingOf is the heading that means a column.
func (f *file) headingOf(name string) string {
	for i := range f.study.Columns {
		c := &f.study.Columns[i]
		if slices.ContainsFunc(c.Means, func(m Meaning) bool { return m.Name == name }) {
			return c.Heading
		}
	}
	return ""
}

// giveAll fills rows with what a person gives for all of them. A number or a date never fills gaps in a
// column of the file, and never replaces an unread column that may be the same.
func (f *file) giveAll() {
	for _, g := range f.answers.Give {
		col := columnNamed(g.Column)
		f.given[g.Column] = true
		ofItsOwn := col.Kind == assess.Quantity || col.Kind == assess.Day
		if ofItsOwn && f.named(g.Column) {
			f.study.Converted = append(f.study.Converted, Converted{Heading: f.headingOf(g.Column),
				What: "not filled with the given value: the file has this column", First: g.Value})
			continue
		}
		if col.Kind == assess.Quantity {
			f.askRival(col)
		}
		for i := range f.study.Rows {
			if r := &f.study.Rows[i]; r.Cells[g.Column] == "" {
				r.Cells[g.Column] = g.Value
			}
		}
	}
}

// askRival asks about an unread column whose numbers may all be what was given for all rows.
func (f *file) askRival(col *assess.Column) {
	for i := range f.study.Columns {
		c := &f.study.Columns[i]
		if len(c.Means) > 0 || c.Left || f.asked(c.Heading) {
			continue
		}
		units := append(apart(col, f.heading.Texts[c.At]).units, apart(col, c.Below).units...)
		if len(units) == 0 {
			units = unitsOf(col)
		}
		for _, u := range units {
			if fit, all := f.fits(col, u, f.cells(c.At)); all > 0 && fit == all {
				f.ask(Question{Heading: c.Heading, What: fmt.Sprintf("%q may be the %s, such as %s %s", c.Heading, col.Name, c.Samples[0],
					u.Symbol()), Do: fmt.Sprintf("give --column %q instead of --give, or --leave it", c.Heading+"="+col.Name+"_"+u.Suffix)})
				break
			}
		}
	}
}
