package layout

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"vouchmark/fonts"
	"vouchmark/label"
)

// tidy reports texts of pages that overlap, leave the margins, have no glyph
// or are smaller than the legible minimum of a label.
func tidy(pages []Page) error {
	for n, p := range pages {
		d := p.Drawings[0].Drawing
		for i := range d.Ops {
			o := &d.Ops[i]
			if o.Kind != Text {
				continue
			}
			x0, y0, x1, y1 := o.Box()
			if least := MM(10); x0 < least || y0 < least || x1 > p.Size.W-least || y1 > p.Size.H-least {
				return fmt.Errorf("page %d: %q leaves the margins", n+1, o.Text)
			}
			if m := fonts.Missing(o.Text); m != nil {
				return fmt.Errorf("page %d: no glyph for %q", n+1, string(m))
			}
			if caps := (font{face: o.Face, size: o.Size}).caps(); caps < MM(2) {
				return fmt.Errorf("page %d: %q has capitals of %.2f mm", n+1, o.Text, InMM(caps))
			}
			for j := range d.Ops[:i] {
				a0, b0, a1, b1 := d.Ops[j].Box()
				if d.Ops[j].Kind == Text && x0 < a1 && a0 < x1 && y0+0.3 < b1 && b0+0.3 < y1 {
					return fmt.Errorf("page %d: %q overlaps %q", n+1, o.Text, d.Ops[j].Text)
				}
			}
		}
	}
	return nil
}

func said(pages []Page) string {
	var b strings.Builder
	for _, p := range pages {
		for _, o := range p.Drawings[0].Ops {
			b.WriteString(o.Text + "\n")
		}
	}
	return b.String()
}

// A walk over a thousand locations fills its pages and loses none of them.
func TestWalkPages(t *testing.T) {
	for _, paper := range Papers {
		w := &Walk{Words: in("en").Walk(), Site: "Invented plant", Date: "2026-05-01", Paper: paper}
		for i := range 1000 {
			w.Rows = append(w.Rows, WalkRow{Area: fmt.Sprintf("Area %d", i/30), ID: fmt.Sprintf("MCC-%d", i),
				Equipment: strings.Repeat("Motor control center ", i%5+1), Do: walkSteps(w.Words, "MMMM-WWWW-0000-MMMM", "7K3M-9QTD-RC4A-0W2E")})
		}
		pages := WalkPages(w)
		if err := tidy(pages); err != nil {
			t.Error(err)
		}
		text := said(pages)
		for _, r := range w.Rows {
			if !strings.Contains(text, r.ID+"\n") {
				t.Errorf("%s is lost", r.ID)
			}
		}
		if !strings.Contains(text, fmt.Sprintf("1 / %d\n", len(pages))) || len(pages) < 20 {
			t.Errorf("%d pages without numbers", len(pages))
		}
	}
}

// The slip's rules are as long as they say on every paper, and every label of the job
// is on it.
func TestSlipPages(t *testing.T) {
	for _, paper := range Papers {
		s := &Slip{Words: in("en").Slip(), Site: "Invented plant", Date: "2026-05-01", By: "tester", Stock: mustStock(t, "4x4"), Copies: 2, ChainHead: strings.Repeat("0", 64), Paper: paper,
			Counts: []Count{{"WARNING, Kit A", 900}, {"DANGER", 100}}}
		for i := range 1000 {
			s.Labels = append(s.Labels, SlipLine{fmt.Sprintf("MCC-%d", i), "7K3M-9QTD-RC4A-0W2E"})
		}
		pages := SlipPages(s)
		if err := tidy(pages); err != nil {
			t.Error(err)
		}
		text := said(pages)
		for _, want := range []string{"MCC-0\n", "MCC-999\n", "SAFETY RED", "100 mm", "4 in", "2000, 2 of each"} {
			if !strings.Contains(text, want) {
				t.Errorf("%s: no %q", paper.Name, want)
			}
		}
		rules := map[float64]bool{}
		for _, o := range pages[0].Drawings[0].Ops {
			if o.Kind == Line && o.H == 0 {
				rules[o.W] = true
			}
		}
		if !rules[MM(100)] || !rules[Inch(4)] {
			t.Errorf("%s: rules %v", paper.Name, rules)
		}
	}
}

// The guide is one page with a number for each part of the label, or an error.
func TestGuidePage(t *testing.T) {
	g := &label.Guide{Site: "Invented plant", Title: "How to read the labels of this site", Lead: strings.Repeat("What word, which equipment, how far. ", 4), Sample: sample(),
		Before: label.Section{Title: "Before a task", Lines: []string{"Ask.", "Read."}}, Doubt: label.Section{Title: "What makes it doubtful", Lines: []string{"A date.", "A change."}},
		Ladder: label.Section{Title: "The ladder"}, Rungs: sample().Ladder, Cutoff: "above 40 cal/cm²: DANGER", Ask: "In doubt: stop.", Cautions: strings.Repeat("Qualified persons only. ", 8)}
	for _, b := range []string{"signal", "message", "place", "reach", "kit", "gloves", "foot", "QR code"} {
		g.Callouts = append(g.Callouts, label.Callout{Block: b, Title: "The " + b, Text: strings.Repeat("What it asks of you. ", 7)})
	}
	for _, paper := range Papers {
		pages, err := GuidePage(g, paper)
		if err != nil || len(pages) != 1 {
			t.Fatalf("%d pages, %v", len(pages), err)
		}
		if err := tidy(pages); err != nil {
			t.Errorf("%s: %v", paper.Name, err)
		}
		for i := range g.Callouts {
			n := 0
			for _, o := range pages[0].Drawings[0].Ops {
				if o.Text == fmt.Sprint(i+1) {
					n++
				}
			}
			if n < 2 {
				t.Errorf("%s: number %d is there %d times, want it on the label and next to its text", paper.Name, i+1, n)
			}
		}
	}
	g.Cautions = strings.Repeat(g.Cautions, 40)
	if _, err := GuidePage(g, Papers[0]); Misfits(err) == nil {
		t.Errorf("a guide of two pages: %v", err)
	}
}

// Markings and overlays: sound on every stock, in two languages too, without
// color.
func TestMarkingsAndOverlays(t *testing.T) {
	m := &label.Marking{ID: "SWB-1", Code: "7K3M-9QTD-RC4A-0W2E", QR: sample().QR, Words: []label.MarkingWords{
		{Language: "en", Title: "AVAILABLE FAULT CURRENT", Current: "29 kA", Supply: "480 V AC 3-phase", Where: "Main switchboard 1 · Main electrical room · fed from T-1, SWB-2", Date: "calculated 2026-03-14", Source: "BC-26-03 rev 1", Do: "Recalculate after any change to the electrical system.", Scan: "Scan: calculation and label status"},
		{Language: "es", Title: "CORRIENTE DE FALLA DISPONIBLE", Current: "29 kA", Supply: "480 V CA trifásica", Date: "calculada 2026-03-14", Do: "Vuelva a calcularla después de cualquier cambio en el sistema eléctrico."}}}
	o := &label.Overlay{ID: "MCC-4", Code: "7K3M-9QTD-RC4A-0W2E", QR: sample().QR, Words: []label.OverlayWords{
		{Language: "en", Title: "DO NOT USE THE LABEL BELOW", Why: "LAPSED since 2031-03-15: the study was not reviewed in time.", Do: []string{"Before any work, contact the site electrical safety lead.", "Treat the equipment as energized; what is printed below may be wrong."}, Covers: "covers 7K3M-9QTD-RC4A-0W2E"},
		{Language: "es", Title: "NO CONFÍE EN ESTA ETIQUETA", Why: "VENCIDA desde 2031-03-15: el estudio no se revisó a tiempo.", Do: []string{"Antes de cualquier trabajo, comuníquese con la seguridad eléctrica de este sitio."}, Covers: "cubre 7K3M-9QTD-RC4A-0W2E"}}}
	for _, s := range Stocks() {
		for n := 1; n <= 2; n++ {
			one, two := *m, *o
			one.Words, two.Words = m.Words[:n], o.Words[:n]
			marks, err := pagesOf(MarkingSheets([]*label.Marking{&one, &one, &one}, s, 1))
			if err != nil {
				t.Errorf("%d languages, %s: %v", n, s.Name, err)
			}
			strips, err := pagesOf(OverlaySheets([]*label.Overlay{&two, &two, &two}, s, 1))
			if err != nil {
				t.Errorf("%d languages, %s: %v", n, s.Name, err)
			}
			for _, p := range append(marks, strips...) {
				for _, at := range p.Drawings {
					if at.uses(Signal) {
						t.Errorf("%s: a signal color", s.Name)
					}
					if err := apart(at.Drawing); err != nil {
						t.Errorf("%d languages, %s: %v", n, s.Name, err)
					}
				}
			}
		}
	}
}

// apart reports texts that overlap, and texts or shapes in a quiet zone.
func apart(d *Drawing) error {
	for i := range d.Ops {
		o := &d.Ops[i]
		if o.Kind == QR {
			inner := *d
			inner.Ops = slices.DeleteFunc(slices.Clone(d.Ops), func(p Op) bool { // the frame goes around it
				return p.Kind == Path && p.Fill == None || p.Kind == QR
			})
			if err := quiet(&inner, o); err != nil {
				return err
			}
		}
		if o.Kind != Text {
			continue
		}
		x0, y0, x1, y1 := o.Box()
		if x0 < 0 || y0 < 0 || x1 > d.Size.W || y1 > d.Size.H {
			return fmt.Errorf("%q leaves the label", o.Text)
		}
		if caps := (font{face: o.Face, size: o.Size}).caps(); caps < MM(2)-0.001 {
			return fmt.Errorf("%q has capitals of %.2f mm", o.Text, InMM(caps))
		}
		for j := range d.Ops[:i] {
			p := &d.Ops[j]
			a0, b0, a1, b1 := p.Box()
			if !strings.ContainsAny(p.Text, "gjpqyQ,;()Ç") {
				b1 = p.Y // nothing of it is below the line
			}
			if p.Kind == Text && x0 < a1 && a0 < x1 && y0+0.05 < b1 && b0+0.05 < y1 {
				return fmt.Errorf("%q overlaps %q", o.Text, p.Text)
			}
		}
	}
	return nil
}
