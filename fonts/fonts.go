// Package fonts has the typeface of the labels, Roboto Condensed in three weights,
// and its measures. The files and their license are in the same folder; README.md
// says where they come from.
package fonts

import (
	"bytes"
	_ "embed"
	"fmt"
	"math"
	"slices"
	"sync"
	"sync/atomic"
	"unicode"
	"unicode/utf8"

	"golang.org/x/image/font"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"
)

var (
	//go:embed RobotoCondensed-Regular.ttf
	regular []byte
	//go:embed RobotoCondensed-Medium.ttf
	medium []byte
	//go:embed RobotoCondensed-Bold.ttf
	bold []byte
	//go:embed LICENSE
	license []byte
)

// License is the typeface's license, which is copied wherever the files are.
func License() []byte { return bytes.Clone(license) }

// Family is the first part of the three faces' PostScript names, such as
// RobotoCondensed-Bold.
const Family = "RobotoCondensed"

// The three weights.
var (
	Regular = &Face{Name: "regular", data: regular, web: webRegular}
	Medium  = &Face{Name: "medium", data: medium, web: webMedium}
	Bold    = &Face{Name: "bold", data: bold, web: webBold}
)

// Faces are all faces, lightest first.
func Faces() []*Face { return []*Face{Regular, Medium, Bold} }

// Face is one weight of the typeface. All its measures are in thousandths of
// the type size, rounded as a PDF's width table rounds them: what is measured
// here is what a PDF reader draws. A Face may be used by several goroutines.
type Face struct {
	Name string // lower-case ASCII: it becomes part of the font's name in a PDF

	data []byte
	web  []byte
	once sync.Once
	sfnt *sfnt.Font
	caps float64

	// pages is the table of advances, 256 runes a page, each page filled when
	// one of its runes is first asked for: a label uses two or three of the
	// 256 pages. An entry is the advance plus one, or zero where there is no glyph.
	pages [256]atomic.Pointer[[256]uint16]
	// kerns caches the kerning of pairs of printable ASCII, offset by kernSeen.
	kerns [95 * 95]atomic.Int32
}

// Bytes returns a copy of the TrueType file. It is a copy because gofpdf
// writes into the slice it is given.
func (f *Face) Bytes() []byte { return bytes.Clone(f.data) }

func (f *Face) load() {
	f.once.Do(func() {
		parsed, err := sfnt.Parse(f.data)
		if err != nil {
			panic(fmt.Sprintf("fonts: %s: %v", f.Name, err)) // embedded data: a defect of the build
		}
		f.sfnt = parsed
		m, err := parsed.Metrics(nil, f.em(), font.HintingNone)
		if err != nil {
			panic(fmt.Sprintf("fonts: %s: %v", f.Name, err))
		}
		f.caps = f.thousandths(m.CapHeight)
	})
}

// em is the size at which a font unit is one pixel.
func (f *Face) em() fixed.Int26_6 { return fixed.I(int(f.sfnt.UnitsPerEm())) }

func (f *Face) thousandths(v fixed.Int26_6) float64 {
	return math.Round(float64(v) / 64 * 1000 / float64(f.sfnt.UnitsPerEm()))
}

// CapHeight is the height of a flat capital letter.
func (f *Face) CapHeight() float64 { f.load(); return f.caps }

// Has reports whether the face has a glyph for r.
func (f *Face) Has(r rune) bool { return f.entry(r) != 0 }

// Advance is the width of r, or 0 where the face has no glyph.
func (f *Face) Advance(r rune) int {
	if e := f.entry(r); e != 0 {
		return int(e) - 1
	}
	return 0
}

// Width is the width of s, kerned or not: the sum of what [Face.Advance] and [Face.Kern] give.
func (f *Face) Width(s string, kern bool) int {
	w, before := 0, rune(0)
	latin := f.table(0) // nearly every rune is there, and a label is measured rune by rune
	for _, r := range s {
		e := uint16(0)
		if r <= 0xFF {
			e = latin[r]
		} else {
			e = f.entry(r)
		}
		if e != 0 {
			w += int(e) - 1
		}
		if kern {
			w += f.Kern(before, r)
			before = r
		}
	}
	return w
}

func (f *Face) entry(r rune) uint16 {
	if r < 0 || r > 0xFFFF {
		return 0
	}
	return f.table(r >> 8)[r&0xFF]
}

// table is page n of the advances.
func (f *Face) table(n rune) *[256]uint16 {
	p := f.pages[n].Load()
	if p == nil {
		p = f.page(n)
		f.pages[n].Store(p) // a second goroutine stores an equal page
	}
	return p
}

func (f *Face) page(n rune) *[256]uint16 {
	f.load()
	var buf sfnt.Buffer
	page := new([256]uint16)
	for i := range page {
		glyph, err := f.sfnt.GlyphIndex(&buf, n<<8|rune(i))
		if err != nil || glyph == 0 {
			continue
		}
		advance, err := f.sfnt.GlyphAdvance(&buf, glyph, f.em(), font.HintingNone)
		if err != nil {
			continue
		}
		page[i] = uint16(f.thousandths(advance)) + 1
	}
	return page
}

// kernSeen distinguishes a cached kerning of zero from one not yet looked up.
const kernSeen = 1 << 16

// Kern is the correction of the space between a and b, mostly negative; it is
// 0 for any rune outside ASCII. Large letters need it: W and A in a signal
// word would look too far apart without it.
func (f *Face) Kern(a, b rune) int {
	if a < ' ' || a > '~' || b < ' ' || b > '~' {
		return 0
	}
	slot := &f.kerns[(a-' ')*95+(b-' ')]
	if v := slot.Load(); v != 0 {
		return int(v) - kernSeen
	}
	f.load()
	var buf sfnt.Buffer
	ga, _ := f.sfnt.GlyphIndex(&buf, a)
	gb, _ := f.sfnt.GlyphIndex(&buf, b)
	k := 0
	if v, err := f.sfnt.Kern(&buf, ga, gb, f.em(), font.HintingNone); err == nil {
		k = int(f.thousandths(v))
	}
	slot.Store(int32(k + kernSeen))
	return k
}

// Missing returns the runes of s that no label can show, each once, in order:
// those that a face lacks, control characters, and U+FFFD for bytes that are
// not UTF-8. It returns nil for a text that can be drawn.
func Missing(s string) []rune {
	var missing []rune
	for i, r := range s {
		if ' ' <= r && r <= '~' && plain() {
			continue
		}
		bad := !everyFaceHas(r) || unicode.IsControl(r)
		if r == utf8.RuneError {
			_, size := utf8.DecodeRuneInString(s[i:])
			bad = bad || size == 1
		}
		if bad && !slices.Contains(missing, r) {
			missing = append(missing, r)
		}
	}
	return missing
}

func everyFaceHas(r rune) bool { return Regular.Has(r) && Medium.Has(r) && Bold.Has(r) }

// plain reports whether every face has all printable characters of ASCII. Nearly all texts have no
// others.
var plain = sync.OnceValue(func() bool {
	for r := ' '; r <= '~'; r++ {
		if !everyFaceHas(r) {
			return false
		}
	}
	return true
})

// Contour is a closed line of a glyph, in thousandths of the type size from the
// start of the baseline, y downward.
type Contour []ContourPoint

// ContourPoint is a point of a contour. One whose Curve is set is reached by a
// quadratic curve with the control point CX, CY.
type ContourPoint struct {
	X, Y, CX, CY float64
	Curve        bool
}

// Outline is the shape of r, for letters drawn as outlines; nil where the face has no
// glyph or the glyph is blank.
func (f *Face) Outline(r rune) []Contour {
	f.load()
	var buf sfnt.Buffer
	glyph, err := f.sfnt.GlyphIndex(&buf, r)
	if err != nil || glyph == 0 {
		return nil
	}
	segments, err := f.sfnt.LoadGlyph(&buf, glyph, f.em(), nil)
	if err != nil {
		return nil
	}
	var all []Contour
	for _, s := range segments {
		to := s.Args[0]
		p := ContourPoint{}
		switch s.Op {
		case sfnt.SegmentOpMoveTo:
			all = append(all, nil)
		case sfnt.SegmentOpQuadTo: // TrueType has no curves of higher degree
			to, p.Curve = s.Args[1], true
			p.CX, p.CY = f.thousandths(s.Args[0].X), f.thousandths(s.Args[0].Y)
		}
		p.X, p.Y = f.thousandths(to.X), f.thousandths(to.Y)
		last := &all[len(all)-1]
		*last = append(*last, p)
	}
	return all
}
