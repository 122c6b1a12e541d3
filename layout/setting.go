package layout

import (
	"errors"
	"fmt"

	"vouchmark/fonts"
	"vouchmark/label"
)

// setting is one label as it is set: a hazard label, a fault current marking or an overlay.
type setting struct {
	label *label.Label // of a marking or an overlay one without texts, for the blocks that all share
	stock Stock
	code  *Matrix
	texts []field // all that it says
	plans []node  // arrangements, the preferred first
	inner float64 // how far the frame reaches in from its outer line
	frame func(c *canvas, size Size)
}

// field is a text, and what it is.
type field struct{ name, text string }

// newSmall is a label beside the hazard labels, one without a signal word.
func newSmall(id, language, link string, stock Stock, code *Matrix) *setting {
	return &setting{stock: stock, code: code,
		label: &label.Label{ID: id, QR: link, Chosen: -1, Words: []label.Words{{Language: language}}}}
}

// drawSmall sets it in the preferred arrangement that can hold it, at the roomiest level at
// which everything fits, in the largest scale.
func (s *setting) drawSmall() (*Drawing, error) {
	if err := s.stock.validate(); err != nil {
		return nil, err
	}
	if s.stock.Preprinted {
		return nil, fmt.Errorf("stock %s has a signal word panel printed on it; markings and overlays go on blank stock",
			s.stock.Name)
	}
	if errs := s.unfit(); len(errs) > 0 {
		return nil, errors.Join(errs...)
	}
	for _, n := range s.plans {
		for _, lv := range levels {
			if c := s.largest(lv, n, lv.least); c != nil {
				return s.finish(c, n), nil
			}
		}
	}
	return nil, errors.Join(s.tooMuch()...)
}

func (s *setting) misfit(field, text, why string) error {
	return &FitError{ID: s.label.ID, Field: field, Text: text, Why: why}
}

// unfit reports what no scale can mend: runes without a glyph, a code that is none or whose
// modules would be too small.
func (s *setting) unfit() []error {
	var errs []error
	for _, f := range s.texts {
		if missing := fonts.Missing(f.text); missing != nil {
			errs = append(errs, s.misfit(f.name, f.text, fmt.Sprintf("the label's typeface has no %q", string(missing))))
		}
	}
	if s.code == nil {
		errs = append(errs, s.misfit("QR code", s.label.QR, "is empty, or more than a code can hold"))
	} else if s.code.Side() > reservedModules {
		errs = append(errs, s.misfit("QR code", s.label.QR,
			fmt.Sprintf("needs a version %d code, and there is room for version 5 in modules of 0.4 mm on stock %s",
				s.code.Version(), s.stock.Name)))
	}
	return errs
}

// canvas begins a drawing.
func (s *setting) canvas(lv level, scale float64) *canvas {
	st := newStyle(s.stock, lv, scale)
	st.inset += s.inner
	return &canvas{style: st, label: s.label, words: &s.label.Words[0], code: s.code, x: st.margin, y: st.inset,
		edgeLeft: st.margin - st.inset, edgeRight: st.margin - st.inset}
}

// room is the width for text, height the height inside the frame.
func (s *setting) room(c *canvas) float64   { return s.stock.Label.W - 2*c.margin }
func (s *setting) height(c *canvas) float64 { return s.stock.Label.H - 2*c.inset }

// largest finds the largest scale of the level, from at least on, at which the arrangement
// fits. It halves the range in whole steps; at nil none fits.
func (s *setting) largest(lv level, n node, least float64) *canvas {
	low, high := 0, int((lv.most-least)/scaleStep+0.5)
	if high < 0 {
		return nil
	}
	ops := make([]Op, 0, 96)
	try := func(step int) *canvas {
		c := s.canvas(lv, least+float64(step)*scaleStep)
		c.ops = ops
		if n.measure(c, s.room(c)) > s.height(c) || c.failed {
			return nil
		}
		return c
	}
	best := try(0)
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

// finish draws what was found to fit, and the frame around it.
func (s *setting) finish(c *canvas, n node) *Drawing {
	n.draw(c, s.room(c), s.height(c))
	c.x, c.y = 0, 0
	c.block = len(c.blocks)
	size := s.stock.Label
	c.blocks = append(c.blocks, Block{"frame", 0, 0, size.W, size.H})
	s.frame(c, size)
	return &Drawing{Size: size, language: c.words.Language, Scale: c.scale, Blocks: c.blocks, Ops: c.ops}
}

// boxed draws a frame of one line.
func (c *canvas) boxed(size Size, radius float64) {
	c.box(c.inset, c.inset, size.W-2*c.inset, size.H-2*c.inset, radius, None, Black, c.frame)
}

// tooMuch finds the texts to blame for a label on which not everything fits: those with a
// word too wide for it, else those that take more lines than they do on a label that fits,
// else the longest.
func (s *setting) tooMuch() []error {
	lv := levels[len(levels)-1]
	c := s.canvas(lv, lv.least)
	var uses []use
	c.uses = &uses
	over := s.plans[len(s.plans)-1].measure(c, s.room(c)) - s.height(c)

	var errs []error
	seen := map[string]bool{}
	blame := func(u use, why string) {
		if !seen[u.field] {
			seen[u.field] = true
			errs = append(errs, s.misfit(u.field, u.text, why))
		}
	}
	for _, u := range uses {
		if u.tooWide {
			blame(u, "is too wide for stock "+s.stock.Name+" in the smallest legible letters")
		}
	}
	longest := use{field: "texts"}
	for _, u := range uses {
		if over > 0 && u.lines > u.usual {
			blame(u, fmt.Sprintf("takes %d lines in the smallest legible letters, which is too much for stock %s",
				u.lines, s.stock.Name))
		}
		if u.lines > longest.lines {
			longest = u
		}
	}
	if len(errs) == 0 {
		blame(longest, fmt.Sprintf("all texts together are %.0f mm too high for stock %s in the smallest legible letters; "+
			"this is the longest", InMM(over)+0.5, s.stock.Name))
	}
	return errs
}

// codesOf encodes the links of labels of one kind; where one cannot be encoded its place is
// nil, and drawing reports it with the label's id.
func codesOf[T any](labels []T, link func(T) string) []*Matrix {
	texts := make([]string, len(labels))
	for i, l := range labels {
		texts[i] = link(l)
	}
	codes, _ := EncodeQR(texts)
	return codes
}

// drawAll draws labels of one kind, code i being that of label i. The error holds those of
// all labels.
func drawAll[T any](labels []T, codes []*Matrix, draw func(T, *Matrix) (*Drawing, error)) ([]*Drawing, error) {
	drawings := make([]*Drawing, len(labels))
	errs := make([]error, len(labels))
	for i, l := range labels {
		drawings[i], errs[i] = draw(l, codes[i])
	}
	return drawings, errors.Join(errs...)
}

// starts reports a first place, from 1, that a page of the stock does not have; 0 is 1.
func (s Stock) starts(at int) error {
	if at < 0 || at > s.Places() {
		return fmt.Errorf("stock %s has places 1 to %d, not %d", s.Name, s.Places(), at)
	}
	return nil
}
