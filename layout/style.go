package layout

import (
	"vouchmark/assess"
	"vouchmark/fonts"
)

// A label has one scale. At scale 1 the text of the message has capitals of
// the legible minimum, and nothing on the label is smaller.

// minCapitals is the least height of capital letters on a stock: 1/300 of the
// reading distance in good light (ANSI Z535.2 and Z535.4), and never under 2 mm
// (0.08 in, for 2 ft; from memory of Z535.4). A label of 4 x 4 in and up has
// room for more: 2.2 mm there, for bad light. Only what would not fit on it at
// all, as some labels of two languages, is set in 2 mm.
func minCapitals(s Stock) float64 {
	least := MM(2)
	if s.large() {
		least = MM(2.2)
	}
	return max(least, s.Reading/300)
}

// minSignalCapitals is the least height of the signal word's letters: 1.5
// times the message's capitals and 1/150 of the viewing distance (Z535.2).
func minSignalCapitals(s Stock) float64 {
	return max(1.5*minCapitals(s), s.Reading/150)
}

// level is how generous the arrangement is. A roomier level in smaller letters
// is preferred to a tighter one in larger letters: what a person sees first is
// the order of the parts. The tight levels stay near the legible minimum, so
// that letters do not grow from one label of a plant to the next where the
// white between them shrinks.
type level struct {
	name        string
	least, most float64 // scale
	leading     float64 // distance of baselines, as a multiple of the type size
	pad         float64 // above and below the text of a block, at scale 1
	panel       float64 // height of the signal panel, at scale 1
	tight       bool    // smaller steps between the sizes of letters
	brief       bool    // without the scale note and the study's number, which the record has
	packed      bool    // short bars, beside the list of their names
	runs        bool    // lists of what to wear may run on, without marks
	compact     bool    // the compact form
}

// Before the list of what to wear gets small, the scale note and the study's
// number go; before it ceases to be a list, all else gets as small as it may.
var levels = []level{
	{name: "full", least: 1.08, most: 1.4, leading: 1.22, pad: 4.6, panel: 36},
	{name: "plain", least: 1, most: 1.4, leading: 1.19, pad: 3.6, panel: 33},
	{name: "plain, brief", least: 1, most: 1.2, leading: 1.17, pad: 3.2, panel: 31, brief: true},
	{name: "close", least: 1, most: 1.06, leading: 1.12, pad: 2.6, panel: 29, tight: true},
	{name: "close, brief", least: 1, most: 1.06, leading: 1.12, pad: 2.4, panel: 27, tight: true, brief: true},
	{name: "tight", least: 1, most: 1.04, leading: 1.08, pad: 1.8, panel: 24, tight: true, brief: true, packed: true},
	{name: "least", least: 1, most: 1.04, leading: 1.08, pad: 1.3, panel: 20.4, tight: true, brief: true, packed: true},
	{name: "running", least: 1, most: 1.04, leading: 1.07, pad: 1.1, panel: 20.2, tight: true, brief: true, packed: true, runs: true},
	{name: "smallest", least: 0.925, most: 0.985, leading: 1.07, pad: 1.1, panel: 20.4, tight: true, brief: true, packed: true, runs: true},
}

// scaleStep is the step in which scales are tried, so that a hair's difference
// between two machines cannot decide what a label looks like.
const scaleStep = 0.02

// font is a face at a size.
type font struct {
	face *fonts.Face
	size float64
	kern bool
}

// caps is the height of f's capitals.
func (f font) caps() float64 { return f.face.CapHeight() * f.size / 1000 }

// width is the width of s as a PDF reader draws it.
func (f font) width(s string) float64 {
	return float64(f.face.Width(s, f.kern)) * f.size / 1000
}

// style is every measure of a label at one scale and level.
type style struct {
	level
	unit float64 // one point at scale 1 and a reading distance of 2 ft
	lead float64 // from baseline to baseline of body text
	gap  float64 // between things side by side

	body, medium, strong         font // the legible minimum at scale 1
	head, id, supply             font
	energy, noWork               font
	signalLeast                  float64 // least capitals of the signal word
	hair, rule, thick            float64 // widths of lines
	inset, frame, margin, radius float64 // of the frame; margin is from trim to text

	notes      bool    // says what the QR code is for: all labels of a stock, or none
	mono       bool    // black only
	preprinted bool    // the signal panel is on the stock already
	bleed      float64 // how far the panel's color extends past the cut
}

// bodySize is the size of body text from which the other sizes are computed: close to
// the one whose capitals have the legible minimum for 2 ft.
const bodySize = 8

func newStyle(stock Stock, l level, scale float64) *style {
	// The size whose capitals are of the legible minimum, a hair above so that
	// the two decimals that a PDF keeps never fall below it.
	least := minCapitals(stock) / fonts.Regular.CapHeight() * 1000 * 1.0008
	u := least / bodySize * scale
	inset := MM(0.8)
	st := &style{level: l, unit: u,
		lead:        bodySize * u * l.leading,
		gap:         7 * u,
		body:        font{fonts.Regular, bodySize * u, false},
		medium:      font{fonts.Medium, bodySize * u, false},
		strong:      font{fonts.Bold, bodySize * u, false},
		head:        font{fonts.Bold, 10.5 * u, true},
		id:          font{fonts.Bold, 18 * u, true},
		supply:      font{fonts.Bold, 10.5 * u, true},
		energy:      font{fonts.Bold, 16 * u, true},
		noWork:      font{fonts.Bold, 17 * u, true},
		signalLeast: minSignalCapitals(stock),
		hair:        0.6, rule: 0.9, thick: 1.4,
		inset: inset, frame: 1.3, margin: inset + 7.5*u, radius: max(0, stock.Corner-inset),
		notes: stock.large(), mono: stock.Color == assess.OneColor, preprinted: stock.Preprinted, bleed: stock.Bleed,
	}
	st.pad = l.pad * u
	st.panel = l.panel * u
	if l.tight {
		st.id.size, st.energy.size, st.supply.size, st.head.size = 14.5*u, 13*u, 9.5*u, 9.5*u
		st.noWork.size = 13.5 * u
		st.gap, st.margin = 5.5*u, inset+5*u
		if stock.Label.W < narrow || l.compact {
			st.margin = inset + 3.8*u
		}
	}
	if l.compact {
		st.id.size, st.supply.size, st.head.size = 12.2*u, 8.6*u, 8.6*u
	}
	if stock.Preprinted {
		st.panel = stock.Panel - inset
	}
	return st
}

// at is f at another size.
func (f font) at(size float64) font { f.size = size; return f }

// fitting is f at the first of these shares of its size at which it fits, else
// at the last.
func (f font) fitting(fits func(font) bool, shares ...float64) (set font, ok bool) {
	for _, s := range shares {
		if set = f.at(f.size * s); fits(set) {
			return set, true
		}
	}
	return set, false
}
