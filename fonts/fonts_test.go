package fonts

import (
	"math"
	"sync"
	"testing"

	"golang.org/x/image/font"
	"golang.org/x/image/font/sfnt"
)

func TestCoversEnglishSpanishFrench(t *testing.T) {
	const needed = " ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789" +
		"ÁÉÍÓÚÜÑáéíóúüñ¿¡ÀÂÆÇÈÊËÎÏÔŒÙÛŸàâæçèêëîïôœùûÿ«»" +
		"²·≥≤°Ω–—’‘“”…±×%&@#/+-=()[]:;,.!?'\"\u00a0"
	if m := Missing(needed); m != nil {
		t.Errorf("Missing = %q, want none", m)
	}
}

func TestMissing(t *testing.T) {
	for _, c := range []struct {
		text string
		want string
	}{
		{"MCC-4", ""},
		{"a\tb\nc\td", "\t\n"},
		{"😀 and 😀", "😀"},
		{"\xff", "\ufffd"},
		{"a\xc3", "\ufffd"},
		{"配电", "配电"},
		{"\x7f", "\x7f"},
		{"\U00010000", "\U00010000"},
	} {
		if got := string(Missing(c.text)); got != c.want {
			t.Errorf("Missing(%q) = %q, want %q", c.text, got, c.want)
		}
	}
}

func TestMeasures(t *testing.T) {
	for _, f := range Faces() {
		if f.CapHeight() != 711 { // 1456 of 2048 units, the font's OS/2 table
			t.Errorf("%s: CapHeight = %v, want 711", f.Name, f.CapHeight())
		}
		if f.Has(0x10000) || f.Has(-1) || f.Advance(0x10000) != 0 {
			t.Errorf("%s claims glyphs beyond the basic plane", f.Name)
		}
		if f.Kern('W', 'A') >= 0 {
			t.Errorf("%s: Kern(W, A) = %d, want it negative", f.Name, f.Kern('W', 'A'))
		}
	}
	if Bold.Advance('W') <= Regular.Advance('i') {
		t.Error("advances make no sense")
	}
}

func TestBytesIsACopy(t *testing.T) {
	b := Regular.Bytes()
	b[0] ^= 0xFF
	if Regular.Bytes()[0] == b[0] {
		t.Error("Bytes shares memory with the embedded font")
	}
}

// Run with -race: the tables are filled on first use.
func TestConcurrentUse(t *testing.T) {
	f := &Face{Name: "fresh", data: medium}
	var wg sync.WaitGroup
	for range 4 {
		wg.Go(func() {
			for r := rune(' '); r < 0x500; r++ {
				if f.Advance(r) != Medium.Advance(r) || f.Kern('A', r) != Medium.Kern('A', r) {
					t.Errorf("%q differs", r)
				}
			}
		})
	}
	wg.Wait()
}

// A glyph's outline is as high and wide as the font's own bounds of it.
func TestOutline(t *testing.T) {
	var buf sfnt.Buffer
	for _, f := range Faces() {
		for _, c := range []struct {
			r     rune
			lines int
		}{{'P', 2}, {'O', 2}, {'E', 1}, {':', 2}, {'Ç', 2}, {' ', 0}, {'山', 0}} {
			outline := f.Outline(c.r)
			if len(outline) != c.lines {
				t.Errorf("%s %c: %d lines, want %d", f.Name, c.r, len(outline), c.lines)
			}
			if c.lines == 0 {
				continue
			}
			glyph, err := f.sfnt.GlyphIndex(&buf, c.r)
			if err != nil {
				t.Fatal(err)
			}
			b, _, err := f.sfnt.GlyphBounds(&buf, glyph, f.em(), font.HintingNone)
			if err != nil {
				t.Fatal(err)
			}
			x0, y0, x1, y1 := math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)
			for _, line := range outline {
				for _, p := range line {
					x0, y0, x1, y1 = min(x0, p.X), min(y0, p.Y), max(x1, p.X), max(y1, p.Y)
				}
			}
			for _, edge := range [][2]float64{{x0, f.thousandths(b.Min.X)}, {y0, f.thousandths(b.Min.Y)},
				{x1, f.thousandths(b.Max.X)}, {y1, f.thousandths(b.Max.Y)}} {
				if math.Abs(edge[0]-edge[1]) > 3 {
					t.Errorf("%s %c: %g %g %g %g, the font says %v", f.Name, c.r, x0, y0, x1, y1, b)
				}
			}
		}
	}
}
