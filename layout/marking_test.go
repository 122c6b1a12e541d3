package layout

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"vouchmark/label"
)

func sampleMarking() *label.Marking {
	return &label.Marking{ID: "SWB-1", Area: "Utilities", Code: "7K3M-9QTD-RC4A-0W2E", QR: sample().QR,
		Words: []label.MarkingWords{{
			Language: "en", Title: "AVAILABLE FAULT CURRENT", Current: "18.4 kA", Supply: "480 V AC 3-phase",
			Where: "Switchboard · Main electrical room · fed from T-1", Date: "calculated 2026-03-14",
			Source: "LC-26-03 rev 1", Do: "Recalculate after any change to the electrical system.", Scan: "Scan: calculation and label status",
		}}}
}

func bilingualMarking() *label.Marking {
	m := sampleMarking()
	m.Words = append(m.Words, label.MarkingWords{
		Language: "es", Title: "CORRIENTE DE FALLA DISPONIBLE", Current: "18.4 kA", Supply: "480 V CA trifásica",
		Where: "Tablero de distribución · Sala eléctrica principal · alimentado desde T-1", Date: "calculada 2026-03-14",
		Source: "LC-26-03 rev 1", Do: "Vuelva a calcularla después de cualquier cambio en el sistema eléctrico.", Scan: "Escanee: cálculo y vigencia actual",
	})
	return m
}

// ratedMarking has more current than the equipment is rated for, and the clearing
// time of the service's own device.
func ratedMarking() *label.Marking {
	m := bilingualMarking()
	en, es := &m.Words[0], &m.Words[1]
	en.Rated, es.Rated = "fault current: RATED 18 kA, AVAILABLE 18.4 kA", "corriente de falla: CAPACIDAD 18 kA, DISPONIBLE 18.4 kA"
	en.Clearing = "clearing time of the service device: 50 ms at this current"
	es.Clearing = "tiempo de interrupción del dispositivo de la acometida: 50 ms a esta corriente"
	return m
}

func drawnMarking(t *testing.T, m *label.Marking, s Stock) *Drawing {
	t.Helper()
	d, err := drawMarking(m, s, mustCode(t, m.QR), new(memory))
	if err != nil {
		t.Fatalf("%s: %v", s.Name, err)
	}
	return d
}

func TestMarkingOnEveryStock(t *testing.T) {
	for _, s := range Stocks() {
		long := sampleMarking()
		long.ID = "PACKAGING-HALL-MCC-12B"
		long.Words[0].Where = "Motor control center · Packaging hall, mezzanine at column C7 · fed from SWB-1 and SWB-2"
		long.Words[0].Current = "123.4 kA"
		for _, m := range []*label.Marking{sampleMarking(), bilingualMarking(), ratedMarking(), long} {
			if _, err := drawMarking(m, s, mustCode(t, m.QR), new(memory)); s.compact() && len(m.Words) > 1 && Misfits(err) != nil {
				continue
			}
			d := drawnMarking(t, m, s)
			if err := textsSound(d, minCapitals(s)); err != nil {
				t.Errorf("%s: %v", s.Name, err)
			}
			if err := colorless(d); err != nil {
				t.Errorf("%s: %v", s.Name, err)
			}
			var texts []string
			for _, f := range (marking{m}).texts() {
				texts = append(texts, f.text)
			}
			if err := says(texts, d); err != nil {
				t.Errorf("%s: %v", s.Name, err)
			}
			largest, text := 0.0, ""
			for _, o := range d.Ops {
				if o.Kind == Text && o.Size > largest {
					largest, text = o.Size, o.Text
				}
			}
			if text != m.Words[0].Current {
				t.Errorf("%s: the largest text is %q", s.Name, text)
			}
		}
	}
}

func TestMarkingGolden(t *testing.T) {
	s, _ := StockNamed("4x4")
	golden(t, "marking", drawnMarking(t, sampleMarking(), s).String()+drawnMarking(t, bilingualMarking(), s).String())
}

func TestMarkingFitErrors(t *testing.T) {
	s, _ := StockNamed("70x100")
	for _, c := range []struct {
		field  string
		change func(m *label.Marking, w *label.MarkingWords)
	}{
		{"equipment and place", func(_ *label.Marking, w *label.MarkingWords) {
			w.Where = strings.Repeat("behind the boiler house ", 90)
		}},
		{"study", func(_ *label.Marking, w *label.MarkingWords) { w.Source = strings.Repeat("x", 90) }},
		{"supply", func(_ *label.Marking, w *label.MarkingWords) { w.Supply = "480 V 😀" }},
		{"QR code", func(m *label.Marking, _ *label.MarkingWords) { m.QR = "" }},
		{"QR code", func(m *label.Marking, _ *label.MarkingWords) { m.QR += strings.Repeat("X", 80) }},
		{"languages", func(m *label.Marking, _ *label.MarkingWords) { m.Words = nil }},
	} {
		m := sampleMarking()
		c.change(m, &m.Words[0])
		_, err := pagesOf(MarkingSheets([]*label.Marking{sampleMarking(), m}, s, 0))
		if got := fieldsOf(t, err, m.ID); !strings.Contains(got, c.field) {
			t.Errorf("%s: error names %s", c.field, got)
		}
	}
}

// TestMarkingSheets checks that places are counted from the start on, sheet after
// sheet.
func TestMarkingSheets(t *testing.T) {
	s, _ := StockNamed("letter-4x3")
	var all []*label.Marking
	for range 10 {
		all = append(all, sampleMarking())
	}
	pages, err := pagesOf(MarkingSheets(all, s, 4))
	if err != nil {
		t.Fatal(err)
	}
	if len(pages) != 3 || len(pages[0].Drawings) != 3 || len(pages[1].Drawings) != 6 || len(pages[2].Drawings) != 1 {
		t.Fatalf("%d pages", len(pages))
	}
	if x, y := s.Place(3); pages[0].Drawings[0].X != x || pages[0].Drawings[0].Y != y {
		t.Errorf("first at %.1f, %.1f, want %.1f, %.1f", pages[0].Drawings[0].X, pages[0].Drawings[0].Y, x, y)
	}
	if _, err := pagesOf(MarkingSheets(all, s, 7)); err == nil {
		t.Error("place 7 of 6 is taken")
	}
}

// lookAt writes pages as a PDF to the folder in LOOK.
func lookAt(t *testing.T, name string, pages []Page) {
	t.Helper()
	pdf, err := WritePages(Document{Title: name, Language: "en", Date: sampleDate}, pages)
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(os.Getenv("LOOK"), name+".pdf"), pdf, 0o666); err != nil {
		t.Fatal(err)
	}
}

// TestLookSmall writes markings and overlays on every stock, as TestLook does.
func TestLookSmall(t *testing.T) {
	if os.Getenv("LOOK") == "" {
		t.Skip("LOOK names no folder")
	}
	var markings, overlays []Page
	for _, s := range Stocks() {
		p, err := pagesOf(MarkingSheets([]*label.Marking{sampleMarking(), bilingualMarking(), ratedMarking()}, s, 0))
		if err != nil {
			t.Error(err)
		}
		markings = append(markings, p...)
		for _, o := range []*label.Overlay{sampleOverlay(), bilingualOverlay()} {
			p, err := pagesOf(OverlaySheets([]*label.Overlay{o, o, o, o}, s, 0))
			if err != nil {
				t.Error(err)
				continue
			}
			overlays = append(overlays, p[0])
		}
	}
	lookAt(t, "marking", markings)
	lookAt(t, "overlay", overlays)
}

// TestSmallOnPreprinted checks that stock is refused on which a signal word would be
// above something that is not a hazard label.
func TestSmallOnPreprinted(t *testing.T) {
	s, _ := StockNamed("4x4")
	s.Preprinted, s.Panel = true, 38
	if _, err := pagesOf(MarkingSheets([]*label.Marking{sampleMarking()}, s, 0)); err == nil || Misfits(err) != nil {
		t.Errorf("marking: %v", err)
	}
	if _, err := pagesOf(OverlaySheets([]*label.Overlay{sampleOverlay()}, s, 0)); err == nil || Misfits(err) != nil {
		t.Errorf("overlay: %v", err)
	}
}

// TestSmallWithBleed checks that the drawing is on the trimmed page, inside bleed and
// marks.
func TestSmallWithBleed(t *testing.T) {
	s, _ := StockNamed("4x4")
	s.Bleed, s.CropMarks = MM(3), true
	markings, err := pagesOf(MarkingSheets([]*label.Marking{sampleMarking()}, s, 0))
	if err != nil {
		t.Fatal(err)
	}
	overlays, err := pagesOf(OverlaySheets([]*label.Overlay{sampleOverlay()}, s, 0))
	if err != nil {
		t.Fatal(err)
	}
	for _, p := range append(markings, overlays...) {
		d := p.Drawings[len(p.Drawings)-1]
		if p.Size.W <= s.Page.W || d.X != p.Trim.X || d.Y != p.Trim.Y {
			t.Errorf("at %.1f, %.1f of a page %.1f wide, trimmed at %.1f, %.1f", d.X, d.Y, p.Size.W, p.Trim.X, p.Trim.Y)
		}
	}
}
