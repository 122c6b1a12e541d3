package layout

import (
	"strings"
	"testing"

	"vouchmark/label"
)

func sampleOverlay() *label.Overlay {
	return &label.Overlay{ID: "MCC-4", Area: "Packaging", Code: "7K3M-9QTD-RC4A-0W2E", QR: sample().QR,
		Words: []label.OverlayWords{{
			Language: "en", Title: "DO NOT USE THE LABEL BELOW", Why: "IN QUESTION since 2026-08-11: the electrical system has changed since the study.",
			Do:     []string{"Before any work, contact the site electrical safety lead.", "Treat the equipment as energized; the values printed below may be wrong."},
			Covers: "covers 7K3M-9QTD-RC4A-0W2E",
		}}}
}

func bilingualOverlay() *label.Overlay {
	o := sampleOverlay()
	o.Words = append(o.Words, label.OverlayWords{
		Language: "es", Title: "NO USE LA ETIQUETA DE ABAJO", Why: "EN DUDA desde 2026-08-11: el sistema eléctrico cambió después del estudio.",
		Do:     []string{"Antes de cualquier trabajo, comuníquese con el responsable de seguridad eléctrica del sitio.", "Trate el equipo como energizado; los valores impresos abajo pueden ser incorrectos."},
		Covers: "cubre 7K3M-9QTD-RC4A-0W2E",
	})
	return o
}

func TestOverlayOnEveryStock(t *testing.T) {
	for _, s := range Stocks() {
		for _, o := range []*label.Overlay{sampleOverlay(), bilingualOverlay()} {
			pages, err := pagesOf(OverlaySheets([]*label.Overlay{o, o, o, o, o}, s, 0))
			if s.compact() && len(o.Words) > 1 && Misfits(err) != nil {
				continue
			}
			if err != nil {
				t.Errorf("%s: %v", s.Name, err)
				continue
			}
			strips := 0
			for _, p := range pages {
				for _, at := range p.Drawings {
					if at.X < 0 || at.Y < 0 || at.X+at.Size.W > p.Size.W+0.01 || at.Y+at.Size.H > p.Size.H+0.01 {
						t.Errorf("%s: a drawing leaves its page", s.Name)
					}
					if at.Size.H == 0 {
						continue // a line to cut along
					}
					strips++
					if at.Size.H < leastStrip-0.01 {
						t.Errorf("%s: a strip %.0f mm high", s.Name, InMM(at.Size.H))
					}
					if err := textsSound(at.Drawing, max(MM(2), s.Reading/300)); err != nil {
						t.Errorf("%s: %v", s.Name, err)
					}
					if err := colorless(at.Drawing); err != nil {
						t.Errorf("%s: %v", s.Name, err)
					}
					var texts []string
					for _, f := range (overlay{o}).texts() {
						texts = append(texts, f.text)
					}
					if err := says(texts, at.Drawing); err != nil {
						t.Errorf("%s: %v", s.Name, err)
					}
				}
			}
			if strips != 5 {
				t.Errorf("%s: %d strips of 5", s.Name, strips)
			}
		}
	}
}

func TestOverlayGolden(t *testing.T) {
	s, _ := StockNamed("4x4")
	pages, err := pagesOf(OverlaySheets([]*label.Overlay{sampleOverlay(), sampleOverlay()}, s, 0))
	if err != nil || len(pages) != 1 {
		t.Fatalf("%d pages, %v", len(pages), err)
	}
	golden(t, "overlay", pages[0].Drawings[0].String())
}

// TestOverlaySheets starts in the middle of a sheet and cuts each label's place into
// strips.
func TestOverlaySheets(t *testing.T) {
	s, _ := StockNamed("letter-4x4")
	var all []*label.Overlay
	for range 5 {
		all = append(all, sampleOverlay())
	}
	pages, err := pagesOf(OverlaySheets(all, s, 3))
	if err != nil {
		t.Fatal(err)
	}
	// Two places with two strips and a cut each, then one more strip.
	if len(pages) != 2 || len(pages[0].Drawings) != 6 || len(pages[1].Drawings) != 1 {
		t.Fatalf("%d pages, the first with %d drawings", len(pages), len(pages[0].Drawings))
	}
	x, y := s.Place(2)
	first, second := pages[0].Drawings[0], pages[0].Drawings[1]
	if first.X != x || first.Y != y || second.Y != y+s.Label.H/2 {
		t.Errorf("strips at %.1f, %.1f and %.1f", first.X, first.Y, second.Y)
	}
	if _, err := pagesOf(OverlaySheets(all, s, 5)); err == nil {
		t.Error("place 5 of 4 is taken")
	}
}

func TestOverlayFitErrors(t *testing.T) {
	s, _ := StockNamed("70x100")
	for _, c := range []struct {
		field  string
		change func(o *label.Overlay, w *label.OverlayWords)
	}{
		{"what to do", func(_ *label.Overlay, w *label.OverlayWords) { w.Do[0] = strings.Repeat("ask the shift lead ", 60) }},
		{"reason", func(_ *label.Overlay, w *label.OverlayWords) { w.Why = strings.Repeat("x", 120) }},
		{"title", func(_ *label.Overlay, w *label.OverlayWords) { w.Title = "NO 😀" }},
		{"QR code", func(o *label.Overlay, _ *label.OverlayWords) { o.QR = "" }},
		{"languages", func(o *label.Overlay, _ *label.OverlayWords) { o.Words = nil }},
	} {
		o := sampleOverlay()
		c.change(o, &o.Words[0])
		_, err := pagesOf(OverlaySheets([]*label.Overlay{o}, s, 0))
		if got := fieldsOf(t, err, o.ID); !strings.Contains(got, c.field) {
			t.Errorf("%s: error names %s", c.field, got)
		}
	}
}

// TestLeanBand checks that the bars are inside their band and the two halves are
// mirror images.
func TestLeanBand(t *testing.T) {
	for _, w := range []float64{100, 198, 288, 431.3} {
		for _, downward := range []bool{false, true} {
			c := &canvas{pen: pen{Drawing: &Drawing{}}, style: &style{}}
			c.leanBand(0, 0, w, 7, downward)
			black := 0.0
			for i := range c.Ops {
				x0, y0, x1, y1 := c.Ops[i].Box()
				if x0 < -1e-9 || x1 > w+1e-9 || y0 < -1e-9 || y1 > 7+1e-9 {
					t.Errorf("%.0f: bar %d leaves the band", w, i)
				}
				p := c.Ops[i].Path
				area := 0.0
				for j := range p {
					k := (j + 1) % len(p)
					area += float64(p[j].X*p[k].Y) - float64(p[k].X*p[j].Y)
				}
				black += max(area, -area) / 2
			}
			if share := black / (w * 7); share < 0.45 || share > 0.55 {
				t.Errorf("%.0f: %.2f of the band is black", w, share)
			}
		}
	}
}
