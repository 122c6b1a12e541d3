package press

import (
	"strings"
	"testing"

	"vouchmark/assess"
	"vouchmark/label"
	"vouchmark/label/record"
	"vouchmark/layout"
)

// The papers of a job speak the first language of the site, whatever else they
// have to say: every kind of task, its notes, and what has to be done before.
func TestPapersSpeakTheSitesLanguage(t *testing.T) {
	y := newYard(t, 6)
	y.labels(Choice{IDs: []string{"P0", "P1", "P2", "P3"}})
	y.mounted("P0", "P1")
	y.note(record.Mounted, "", "P2")
	y.next()
	y.withdraw("P1")
	y.row("P2").Unlabeled = true
	y.drop("P3")
	y.labels(Choice{IDs: []string{"P4"}})
	v := y.view()
	rows := NewWalk(v)
	for lang, want := range map[string][]string{
		"en": {"Walk list: labels to change", "Verify, then remove", "Mount", "withdrawn on", "has no label", "whether the equipment is gone", "print these first", "Do this first"},
		"es": {"Recorrido", "Verifique y retire", "Instale", "retirada el", "no lleva etiqueta", "si el equipo ya no está", "imprimir primero", "Primero:"},
		"fr": {"Tournée", "Vérifier, puis enlever", "Poser", "retirée le", "ne porte pas", "encore là", "à imprimer", "Pas encore possible"},
	} {
		look := Look{Presentation: label.Presentation{Languages: []string{lang, "en"}}}
		pdf, err := WalkPDF(rows, v, look, layout.Papers[0])
		if err != nil {
			t.Fatal(err)
		}
		reads(t, "walk in "+lang, pdf, want...)
	}
}

// So does the slip, also in what it counts.
func TestSlipCountsInTheSitesLanguage(t *testing.T) {
	y := newYard(t, 2)
	c := &y.row("P1").Cases[0]
	c.Energy, c.Boundary = 0.5, 11*assess.MMPerInch
	v := y.view()
	for lang, want := range map[string]struct{ title, below string }{"en": {"Job slip", "below 1.2"},
		"es": {"Orden de impresión", "menos de 1.2"}, "fr": {"Couleur", "moins de 1,2"}} {
		look := Look{Presentation: label.Presentation{Languages: []string{lang}}}
		p, err := New(v, Choice{}, look)
		if err != nil {
			t.Fatal(err)
		}
		stock, err := layout.StockNamed("4x4")
		if err != nil {
			t.Fatal(err)
		}
		out, err := p.Print(Options{Stock: stock, Start: 1, Slip: &layout.Slip{Words: look.Slip(), Paper: layout.Papers[0]}})
		if err != nil {
			t.Fatal(err)
		}
		reads(t, "slip in "+lang, out[0].PDF, want.title, "1"+p.Items[0].Label().Words[0].Signal+", Kit A", "1"+p.Items[1].Label().Words[0].Signal+", "+want.below)
	}
}

// reads looks for texts on pages, whatever the white between their letters.
func reads(t *testing.T, what string, pdf []byte, want ...string) {
	t.Helper()
	text := pageText(t, pdf)
	for _, w := range want {
		if !strings.Contains(text, strings.ReplaceAll(w, " ", "")) {
			t.Errorf("%s: no %q in\n%s", what, w, text)
		}
	}
}
