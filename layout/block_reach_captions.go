package layout

import (
	"slices"

	"vouchmark/label"
)

// caption is a text in the rows below the lanes.
type caption struct {
	font   font
	text   string
	swatch Ink  // a sample of its bar; None for no sample
	indent bool // as far as if it had a swatch
	right  bool // at the right end of its row
	x      float64
}

// captions sets what has no place in or above the lanes in rows below. A
// further language has all its names there, each with a sample of its bar.
func (d *reach) captions() {
	for i := range d.label.Words {
		t := &d.label.Words[i]
		arc, limited, restricted := d.inArc, d.inLim, d.inRes
		if i > 0 {
			arc, limited, restricted = spot{}, spot{}, spot{}
		}
		var names, notes []caption
		name := func(name, rule string, placed spot, swatch Ink, drawn bool) {
			if name == "" || placed.ok {
				return
			}
			if !drawn {
				swatch = None // "avoid contact" is no length
			}
			names = append(names, d.named(name, rule, swatch)...)
		}
		name(t.Arc, t.ArcLength, arc, Signal, d.arc > 0)
		name(t.Restricted, t.RestrictedRule, restricted, Black, d.res > 0)
		name(t.Limited, t.LimitedLength, limited, White, d.lim > 0)
		if t.KeepOut != "" {
			notes = append(notes, caption{font: d.medium, text: t.KeepOut, right: true})
		}
		notes = append(notes, d.furtherNotes(t, i == 0)...)
		for _, it := range append(names[:len(names):len(names)], notes...) {
			d.note("boundary", it.text, 1, 1, d.captionWidth(it) <= d.w)
		}
		rows := d.paired(names, notes)
		slices.Reverse(notes) // what is to be done stands at the end
		if run := d.runOn(append(names, notes...)); len(run) < len(rows) {
			rows = run
		}
		d.rows = append(d.rows, rows...)
	}
}

// named is a boundary's name with its length: where that is wider than the
// label, the name, and the length below it.
func (d *reach) named(name, rule string, swatch Ink) []caption {
	it := caption{font: d.strong, text: joined(" ", name, rule), swatch: swatch}
	if d.captionWidth(it) <= d.w || rule == "" {
		return []caption{it}
	}
	it.text = name
	return []caption{it, {font: d.strong, text: rule, indent: true}}
}

// furtherNotes are the notes that belong to no boundary and have no place
// above the lanes.
func (d *reach) furtherNotes(t *label.Words, first bool) []caption {
	text := t.WorkingDistance
	if first {
		text = d.scaleNote()
		if d.broken || d.toScale.ok {
			text = ""
		}
	}
	if text == "" {
		return nil
	}
	return []caption{{font: d.body, text: text, right: true}}
}

// paired sets each name on a row of its own, and each note at the right end of
// the first row that has room for it.
func (d *reach) paired(names, notes []caption) [][]caption {
	var rows [][]caption
	for _, it := range names {
		rows = append(rows, []caption{it})
	}
next:
	for _, it := range notes {
		cw := d.captionWidth(it)
		it.x = d.w - cw
		for i, row := range rows {
			if len(row) == 1 && !row[0].right && d.captionWidth(row[0])+d.between()+cw <= d.w {
				rows[i] = append(row, it)
				continue next
			}
		}
		rows = append(rows, []caption{it})
	}
	return rows
}

// runOn sets as many to a row as fit, the notes at its right end.
func (d *reach) runOn(items []caption) [][]caption {
	var rows [][]caption
	x := 0.0
	for _, it := range items {
		cw := d.captionWidth(it)
		if rows == nil || x+d.between()+cw > d.w {
			rows = append(rows, nil)
			x = 0
		} else {
			x += d.between()
		}
		it.x = x
		x += cw
		last := len(rows) - 1
		rows[last] = append(rows[last], it)
	}
	for _, row := range rows {
		end := d.w
		for i := len(row) - 1; i >= 0 && row[i].right; i-- {
			row[i].x = end - d.captionWidth(row[i])
			end = row[i].x - d.between()
		}
	}
	return rows
}

func (d *reach) between() float64 { return 1.6 * d.gap }

// swatchWidth is the side of a swatch, and what stands between it and its name.
func (d *reach) swatchWidth() (side, indent float64) {
	return d.strong.caps(), d.strong.caps() + 3*d.unit
}

func (d *reach) captionWidth(it caption) float64 {
	w := it.font.width(it.text)
	if _, indent := d.swatchWidth(); it.swatch != None || it.indent {
		w += indent
	}
	return w
}
