package layout

import "slices"

// caption is a text in the rows below the lanes.
type caption struct {
	font   font
	text   string
	swatch Ink     // a sample of its bar; None for no sample
	indent float64 // for a sample, here or in the row above
	right  bool    // at the right end of its row
	x      float64
}

func (it *caption) width() float64 { return it.font.width(it.text) + it.indent }

// captions sets what has no place in or above the lanes in rows below. A
// further language has all its names there, each with a sample of its bar.
func (d *reach) captions() {
	for i := range d.label.Words {
		names, notes := d.namesBelow(i), d.notesBelow(i)
		for _, it := range slices.Concat(names, notes) {
			d.note("boundary", it.text, 1, 1, it.width() <= d.w)
		}
		rows := d.paired(names, notes)
		slices.Reverse(notes) // what is to be done stands at the end
		if run := d.runOn(append(names, notes...)); len(run) < len(rows) {
			rows = run
		}
		d.rows = append(d.rows, rows...)
	}
}

// namesBelow are the boundaries' names in a language, with their lengths: where
// both are wider than the label, the name, and the length below it.
func (d *reach) namesBelow(language int) (all []caption) {
	t := &d.label.Words[language]
	for _, b := range [...]struct {
		bar
		name, rule string
	}{{d.arc, t.Arc, t.ArcLength}, {d.res, t.Restricted, t.RestrictedRule}, {d.lim, t.Limited, t.LimitedLength}} {
		if b.name == "" || language == 0 && b.ok {
			continue
		}
		it := caption{font: d.strong, text: joined(" ", b.name, b.rule)}
		indent := d.strong.caps() + 3*d.unit
		if b.end > 0 { // "avoid contact" has no length
			it.swatch, it.indent = b.ink, indent
		}
		if it.width() <= d.w || b.rule == "" {
			all = append(all, it)
			continue
		}
		it.text = b.name
		all = append(all, it, caption{font: d.strong, text: b.rule, indent: indent})
	}
	return all
}

// notesBelow are the notes in a language that belong to no boundary.
func (d *reach) notesBelow(language int) (all []caption) {
	t := &d.label.Words[language]
	further := t.WorkingDistance
	switch {
	case language > 0:
	case d.broken || d.toScale.ok:
		further = ""
	default:
		further = d.scaleNote()
	}
	all = []caption{{font: d.medium, text: t.KeepOut, right: true}, {font: d.body, text: further, right: true}}
	return slices.DeleteFunc(all, func(it caption) bool { return it.text == "" })
}

// paired sets each name on a row of its own, and each note at the right end of
// the first row that has room for it.
func (d *reach) paired(names, notes []caption) [][]caption {
	var rows [][]caption
	for _, it := range names {
		rows = append(rows, []caption{it})
	}
	for _, it := range notes {
		it.x = d.w - it.width()
		i := slices.IndexFunc(rows, func(row []caption) bool {
			return len(row) == 1 && !row[0].right && row[0].width()+d.between() <= it.x
		})
		if i < 0 {
			i = len(rows)
			rows = append(rows, nil)
		}
		rows[i] = append(rows[i], it)
	}
	return rows
}

// runOn sets as many to a row as fit, the notes at its right end.
func (d *reach) runOn(items []caption) [][]caption {
	var rows [][]caption
	x := 0.0
	for _, it := range items {
		x += d.between()
		if rows == nil || x+it.width() > d.w {
			rows = append(rows, nil)
			x = 0
		}
		it.x = x
		x += it.width()
		last := len(rows) - 1
		rows[last] = append(rows[last], it)
	}
	for _, row := range rows {
		end := d.w
		for i := len(row) - 1; i >= 0 && row[i].right; i-- {
			row[i].x = end - row[i].width()
			end = row[i].x - d.between()
		}
	}
	return rows
}

func (d *reach) between() float64 { return 1.6 * d.gap }
