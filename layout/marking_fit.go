package layout

import (
	"errors"
	"fmt"

	"vouchmark/fonts"
	"vouchmark/label"
)

// small is a label beside the hazard labels, one without a signal word: a
// fault current marking or an overlay. It is set by the same engine as a
// hazard label, from blocks and a frame of its own.
type small struct {
	id       string
	language string
	texts    []field // all that it says
	qr       string
	code     *Matrix
	plans    []node  // arrangements, the preferred first
	inner    float64 // how far the frame reaches in from its outer line
	frame    func(c *canvas, size Size)
}

// draw sets the label in the preferred arrangement that can hold it, at the
// roomiest level at which everything fits, in the largest scale.
func (s *small) draw(stock Stock) (*Drawing, error) {
	if err := stock.validate(); err != nil {
		return nil, err
	}
	if stock.Preprinted {
		return nil, fmt.Errorf("stock %s has a signal word panel printed on it; markings and overlays go on blank stock", stock.Name)
	}
	if errs := s.unfit(stock); len(errs) > 0 {
		return nil, errors.Join(errs...)
	}
	for _, n := range s.plans {
		for _, lv := range levels {
			if c := s.largest(stock, lv, n); c != nil {
				return s.finish(c, n, stock), nil
			}
		}
	}
	return nil, errors.Join(s.tooMuch(stock)...)
}

// largest is the largest scale of the level at which the arrangement fits, or
// nil. It halves the range in whole steps.
func (s *small) largest(stock Stock, lv level, n node) *canvas {
	try := func(step int) *canvas {
		c := s.canvas(stock, lv, lv.least+float64(step)*scaleStep)
		if n.measure(c, c.room(stock)) > c.height(stock) || c.failed {
			return nil
		}
		return c
	}
	best := try(0)
	low, high := 0, int((lv.most-lv.least)/scaleStep+0.5)
	for best != nil && low < high {
		middle := (low + high + 1) / 2
		if c := try(middle); c != nil {
			best, low = c, middle
		} else {
			high = middle - 1
		}
	}
	return best
}

// canvas begins a drawing. The blocks of hazard labels that are shared ask the
// canvas for a label; it is an empty one.
func (s *small) canvas(stock Stock, lv level, scale float64) *canvas {
	l := &label.Label{ID: s.id, QR: s.qr, Chosen: -1, Words: []label.Words{{Language: s.language}}}
	st := newStyle(stock, lv, scale)
	st.inset += s.inner
	return newCanvas(l, stock, s.code, st)
}

func (s *small) finish(c *canvas, n node, stock Stock) *Drawing {
	n.draw(c, c.room(stock), c.height(stock))
	c.x, c.y = 0, 0
	c.block = len(c.blocks)
	c.blocks = append(c.blocks, Block{"frame", 0, 0, stock.Label.W, stock.Label.H})
	s.frame(c, stock.Label)
	return &Drawing{Size: stock.Label, language: s.language, Scale: c.scale, Blocks: c.blocks, Ops: c.ops}
}

// unfit reports what no scale can mend.
func (s *small) unfit(stock Stock) []error {
	var errs []error
	for _, f := range s.texts {
		if missing := fonts.Missing(f.text); missing != nil {
			errs = append(errs, &FitError{ID: s.id, Field: f.name, Text: f.text,
				Why: fmt.Sprintf("the label's typeface has no %q", string(missing))})
		}
	}
	if s.code == nil {
		return append(errs, &FitError{ID: s.id, Field: "QR code", Text: s.qr, Why: "is empty, or more than a code can hold"})
	}
	if err := checkCode(s.id, s.qr, s.code, stock); err != nil {
		errs = append(errs, err)
	}
	return errs
}

// tooMuch finds the texts to blame where not everything fits: those with a
// word too wide, else those that take more lines than is usual, else the
// longest.
func (s *small) tooMuch(stock Stock) []error {
	lv := levels[len(levels)-1]
	c := s.canvas(stock, lv, lv.least)
	var uses []use
	c.uses = &uses
	n := s.plans[len(s.plans)-1]
	over := InMM(n.measure(c, c.room(stock)) - c.height(stock))

	var wide, many []error
	longest := use{field: "texts"}
	seen := map[string]bool{}
	for _, u := range uses {
		if u.lines > longest.lines {
			longest = u
		}
		if seen[u.field] || !u.tooWide && u.lines <= u.usual {
			continue
		}
		seen[u.field] = true
		e := &FitError{ID: s.id, Field: u.field, Text: u.text}
		if u.tooWide {
			e.Why = "is too wide for stock " + stock.Name + " in the smallest legible letters"
			wide = append(wide, e)
		} else {
			e.Why = fmt.Sprintf("takes %d lines in the smallest legible letters, which is too much for stock %s", u.lines, stock.Name)
			many = append(many, e)
		}
	}
	switch {
	case len(wide) > 0:
		return wide
	case len(many) > 0:
		return many
	}
	return []error{&FitError{ID: s.id, Field: longest.field, Text: longest.text,
		Why: fmt.Sprintf("all texts together are %.0f mm too high for stock %s in the smallest legible letters; this is the longest", over+0.5, stock.Name)}}
}

// encodeAll encodes texts; a place is nil where a text cannot be encoded, and
// drawing reports it with the label's id.
func encodeAll(texts []string) []*Matrix {
	codes, _ := EncodeQR(texts)
	return codes
}
