package layout

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"vouchmark/fonts"
	"vouchmark/label"
)

// setting is one label being set: a hazard label, a fault current marking or an overlay.
type setting struct {
	label *label.Label // for a marking or an overlay one without texts, for the blocks that all of them use
	stock Stock
	code  *Matrix
	lines *memory
	texts []field
	plans [][]node // arrangements; a later group is for labels that do not fit in an earlier one
	inner float64  // how far the frame reaches in from its outer line

	compact bool // a hazard label in the compact form
	frame   func(c *canvas)
}

// field is a text of the label, and what it is.
type field struct{ name, text string }

// draw sets it at the most generous level at which everything fits, in the arrangement of a
// group that allows the largest scale.
func (s *setting) draw() (*Drawing, error) {
	if err := languagesFit(s.label, s.stock); err != nil {
		return nil, err
	}
	if err := s.unfit(); err != nil {
		return nil, err
	}
	for _, some := range s.tiers() {
		if !s.possible(some[len(some)-1]) {
			continue // nor at a roomier level
		}
		for _, group := range s.plans {
			for _, lv := range some {
				if c, n := s.largestOf(lv, group); c != nil {
					return s.finish(c, n), nil
				}
			}
		}
	}
	return nil, s.tooMuch()
}

// tiers are the levels that a label of the stock may be set at; those of a later tier are
// for what fits nowhere else.
func (s *setting) tiers() [][]level {
	usual := len(levels) - 1
	switch {
	case s.compact:
		return [][]level{compactLevels}
	case s.stock.large():
		return [][]level{levels[:usual], levels[usual:]}
	}
	return [][]level{levels[:usual]}
}

func (s *setting) misfit(field, text, why string) error {
	return &FitError{ID: s.label.ID, Field: field, Text: text, Stock: s.stock.Name, Why: why}
}

// unfit reports what no scale can fix: runes without a glyph, a link that is too long for any
// code or whose modules would be too small.
func (s *setting) unfit() error {
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
			fmt.Sprintf("needs a version %d code, and there is room for version 5 in modules of 0.4 mm", s.code.Version())))
	}
	return errors.Join(errs...)
}

// canvas starts a drawing.
func (s *setting) canvas(lv level, scale float64) *canvas {
	st := newStyle(s.stock, lv, scale)
	st.inset += s.inner
	c := &canvas{style: st, label: s.label, words: &s.label.Words[0], code: s.code, lines: s.lines}
	c.Drawing = &Drawing{Size: s.stock.Label, Scale: scale}
	edge := st.margin - st.inset
	c.place = place{ox: st.margin, oy: st.inset, edgeLeft: edge, edgeRight: edge}
	return c
}

// room is the width for text and the height inside the frame.
func (c *canvas) room() (w, h float64) { return c.Size.W - 2*c.margin, c.Size.H - 2*c.inset }

// largestOf finds the arrangement of a group that fits at the largest scale of the level; of
// equal ones the first. At nil none fits.
func (s *setting) largestOf(lv level, group []node) (best *canvas, with node) {
	least := lv.least
	for _, n := range group {
		if c := s.largest(lv, n, least); c != nil {
			best, with, least = c, n, c.Scale+scaleStep
		}
	}
	return best, with
}

// possible reports whether some arrangement fits at the least scale of a level. What does
// not fit at the tightest level of a tier fits at none of it, so this saves trying them all.
func (s *setting) possible(tightest level) bool {
	for _, group := range s.plans {
		for _, n := range group {
			c := s.canvas(tightest, tightest.least)
			if w, h := c.room(); n.measure(c, w) <= h && !c.failed {
				return true
			}
		}
	}
	return false
}

// largest finds the largest scale of the level, from at least on, at which the arrangement
// fits. It halves the range in whole steps. At nil none fits.
func (s *setting) largest(lv level, n node, least float64) *canvas {
	low, high := 0, int((lv.most-least)/scaleStep+0.5)
	if high < 0 {
		return nil
	}
	try := func(step int) *canvas {
		c := s.canvas(lv, least+float64(step)*scaleStep)
		if w, h := c.room(); n.measure(c, w) > h || c.failed {
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

// finish draws what fits, and the frame around it.
func (s *setting) finish(c *canvas, n node) *Drawing {
	w, h := c.room()
	c.Ops, s.lines.ops = slices.Grow(s.lines.ops[:0], 96), nil
	c.heights = make([]height, 0, 32)
	n.draw(c, w, h)
	c.place = place{}
	c.begin("frame", c.Size.W, c.Size.H)
	s.frame(c)
	return c.Drawing
}

// boxed draws a frame of one line.
func (c *canvas) boxed(radius float64) {
	c.box(c.inset, c.inset, c.Size.W-2*c.inset, c.Size.H-2*c.inset, radius, None, Black, c.frame)
}

// tooMuch finds the texts because of which not everything fits on a label: those with a word
// that is too wide, otherwise those that take more lines than on a label that fits, otherwise
// the longest.
func (s *setting) tooMuch() error {
	last := s.tiers()
	lv := last[len(last)-1][len(last[len(last)-1])-1]
	c := s.canvas(lv, lv.least)
	w, h := c.room()
	group := s.plans[len(s.plans)-1]
	n := group[len(group)-1]
	if s.compact {
		n = c.lowest(s.plans[0], w)
	}
	var uses []use
	c.used = &uses
	over := n.measure(c, w) - h

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
			blame(u, "has a word that is too wide")
		}
	}
	longest := use{field: "texts"}
	for _, u := range uses {
		if over > 0 && u.lines > u.usual {
			blame(u, fmt.Sprintf("takes %d lines", u.lines))
		}
		if u.lines > longest.lines {
			longest = u
		}
	}
	if len(errs) == 0 {
		blame(longest, fmt.Sprintf("is the longest of all texts, which together are %.0f mm too high", InMM(over)+0.5))
	}
	return errors.Join(errs...)
}

// lowest is the arrangement that needs the least height, if possible of those without a
// word that is too wide.
func (c *canvas) lowest(all []node, w float64) (lowest node) {
	least := math.Inf(1)
	for _, n := range all {
		h := 0.0
		if c.tried(func() { h = n.measure(c, w) }) {
			h += 1e6
		}
		if h < least {
			least, lowest = h, n
		}
	}
	return lowest
}

// newSmall is a label without a signal word: a marking or an overlay.
func newSmall(id, link string, stock Stock, code *Matrix, lines *memory) *setting {
	return &setting{stock: stock, code: code, lines: lines,
		label: &label.Label{ID: id, QR: link, Chosen: -1, Words: make([]label.Words, 1)}}
}

// smallFits reports a small label with too many languages or with none, and a stock on which no
// small label can be printed.
func smallFits(kind, id string, languages int, stock Stock) error {
	switch {
	case languages < 1 || languages > 2:
		return &FitError{ID: id, Field: "languages", Text: fmt.Sprint(languages), Why: kind + " holds one or two languages"}
	case stock.Preprinted:
		return fmt.Errorf("stock %s has a signal word panel printed on it; markings and overlays go on blank stock",
			stock.Name)
	}
	return nil
}
