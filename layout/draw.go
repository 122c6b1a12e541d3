package layout

import (
	"errors"
	"fmt"

	"vouchmark/fonts"
	"vouchmark/label"
)

// Draw draws one label on stock, code being its QR code (see [EncodeQR]).
//
// The roomiest level at which everything fits is taken, in the largest scale
// that the level allows. A text that cannot stand on the label in letters of
// the legible minimum is a [FitError]; there is one for each such text.
func Draw(l *label.Label, stock Stock, code *Matrix) (*Drawing, error) {
	if err := stock.validate(); err != nil {
		return nil, err
	}
	if errs := unfit(l, stock, code); len(errs) > 0 {
		return nil, errors.Join(errs...)
	}
	plans := arrangements(stock)
	for _, lv := range levels {
		var best *canvas
		var with node
		for _, n := range plans {
			from := lv.least
			if best != nil {
				from = best.scale + scaleStep
			}
			if c := largest(l, stock, code, lv, n, from); c != nil {
				best, with = c, n
			}
		}
		if best != nil {
			return best.finish(with, stock), nil
		}
	}
	return nil, errors.Join(tooMuch(l, stock, code, plans)...)
}

// unfit reports what no scale can mend: runes without a glyph, a second
// language, a code too large.
func unfit(l *label.Label, stock Stock, code *Matrix) []error {
	var errs []error
	switch n := len(l.Words); {
	case n == 0:
		return []error{&FitError{ID: l.ID, Field: "languages", Why: "the label has no words"}}
	case n > stock.Languages:
		return []error{&FitError{ID: l.ID, Field: "languages", Text: l.Words[0].Language + ", " + l.Words[1].Language,
			Why: fmt.Sprintf("stock %s holds %d of the %d languages; %s hold two", stock.Name, stock.Languages, n, holding(2))}}
	}
	for _, f := range fields(l) {
		if missing := fonts.Missing(f.text); missing != nil {
			errs = append(errs, &FitError{ID: l.ID, Field: f.name, Text: f.text,
				Why: fmt.Sprintf("the label's typeface has no %q", string(missing))})
		}
	}
	if err := checkCode(l.ID, l.QR, code, stock); err != nil {
		errs = append(errs, err)
	}
	return errs
}

type field struct{ name, text string }

// fields are all texts that a label shows.
func fields(l *label.Label) []field {
	all := []field{{"equipment id", l.ID}, {"code", l.Code}}
	for i := range l.Words {
		all = append(all, wordFields(&l.Words[i])...)
	}
	for _, r := range l.Ladder {
		all = append(all, field{"kit", r.Kit}, field{"kit", r.Rating})
	}
	return all
}

func wordFields(w *label.Words) []field {
	all := []field{{"signal word", w.Signal}, {"interim", w.Interim}, {"interim reason", w.Doubt}, {"hazard", w.Hazard},
		{"supply", w.Supply}, {"equipment and place", w.Where}, {"working distance", w.WorkingDistance},
		{"boundary", w.Arc}, {"boundary", w.ArcLength}, {"boundary", w.Limited}, {"boundary", w.LimitedLength},
		{"boundary", w.Restricted}, {"boundary", w.RestrictedRule}, {"scale note", w.ToScale},
		{"keep-out sentence", w.KeepOut}, {"energy", w.Energy}, {"energy note", w.EnergyNote},
		{"wear title", w.WearTitle}, {"reason why no kit is demanded", w.WearWhy}, {"no-kit sentence", w.NoKit},
		{"gloves", w.Gloves}, {"gloves note", w.GlovesNote},
		{"dates", w.Dates}, {"study", w.Source}, {"applied", w.Applied}, {"applied", w.AppliedOn}, {"scan note", w.Scan}}
	for _, s := range w.Message {
		all = append(all, field{"message", s})
	}
	for _, s := range w.Wear {
		all = append(all, field{"wear list", s})
	}
	for _, s := range w.NoKitWhy {
		all = append(all, field{"reason why no kit is allowed", s})
	}
	return all
}

// largest finds the largest scale of the level, from at least on, at which the
// arrangement fits. It halves the range in whole steps; at nil none fits.
func largest(l *label.Label, stock Stock, code *Matrix, lv level, n node, least float64) *canvas {
	var best *canvas
	low, high := 0, int((lv.most-least)/scaleStep+0.5)
	if high < 0 {
		return nil
	}
	ops := make([]Op, 0, 96)
	try := func(step int) bool {
		scale := least + float64(step)*scaleStep
		c := newCanvas(l, stock, code, newStyle(stock, lv, scale))
		c.ops = ops
		if n.measure(c, c.room(stock)) > c.height(stock) || c.failed {
			return false
		}
		best = c
		return true
	}
	if !try(0) {
		return nil
	}
	for low < high {
		middle := (low + high + 1) / 2
		if try(middle) {
			low = middle
		} else {
			high = middle - 1
		}
	}
	return best
}

func newCanvas(l *label.Label, stock Stock, code *Matrix, st *style) *canvas {
	c := &canvas{style: st, label: l, words: &l.Words[0], code: code}
	c.x, c.y = st.margin, st.inset
	c.edgeLeft = st.margin - st.inset
	c.edgeRight = c.edgeLeft
	return c
}

// room is the width for text, height the height inside the frame.
func (c *canvas) room(stock Stock) float64   { return stock.Label.W - 2*c.margin }
func (c *canvas) height(stock Stock) float64 { return stock.Label.H - 2*c.inset }

// finish draws what was found to fit, and the frame around it.
func (c *canvas) finish(n node, stock Stock) *Drawing {
	n.draw(c, c.room(stock), c.height(stock))
	c.x, c.y = 0, 0
	c.block = len(c.blocks)
	c.blocks = append(c.blocks, Block{"frame", 0, 0, stock.Label.W, stock.Label.H})
	c.box(c.inset, c.inset, stock.Label.W-2*c.inset, stock.Label.H-2*c.inset, c.radius, None, Black, c.frame)
	d := &Drawing{Size: stock.Label, Signal: stock.signal(c.label.Danger), colour: stock.Colour, language: c.words.Language,
		Scale: c.scale, Blocks: c.blocks, Ops: c.ops}
	if c.mono {
		d.oneColour(c.label.Danger)
	}
	return d
}

// tooMuch finds the texts to blame for a label on which not everything fits:
// those with a word too wide for it, else those that take more lines than they
// do on a label that fits, else the longest.
func tooMuch(l *label.Label, stock Stock, code *Matrix, plans []node) []error {
	lv := levels[len(levels)-1]
	n := plans[len(plans)-1]
	c := newCanvas(l, stock, code, newStyle(stock, lv, lv.least))
	var uses []use
	c.uses = &uses
	h := n.measure(c, c.room(stock))

	var errs []error
	seen := map[string]bool{}
	blame := func(u use, why string) {
		if !seen[u.field] {
			seen[u.field] = true
			errs = append(errs, &FitError{ID: l.ID, Field: u.field, Text: u.text, Why: why})
		}
	}
	for _, u := range uses {
		if u.tooWide {
			blame(u, "is too wide for stock "+stock.Name+" in the smallest legible letters")
		}
	}
	if h > c.height(stock) {
		for _, u := range uses {
			if u.lines > u.usual {
				blame(u, fmt.Sprintf("takes %d lines in the smallest legible letters, which is too much for stock %s", u.lines, stock.Name))
			}
		}
	}
	if len(errs) == 0 {
		longest := use{field: "wear list"}
		for _, u := range uses {
			if u.lines > longest.lines {
				longest = u
			}
		}
		blame(longest, fmt.Sprintf("all texts together are %.0f mm too high for stock %s in the smallest legible letters; this is the longest", InMM(h-c.height(stock))+0.5, stock.Name))
	}
	return errs
}
