package layout

import (
	"os"
	"path/filepath"
	"slices"
	"testing"

	"vouchmark/assess"
	"vouchmark/label"
)

// TestLook writes every sample on every stock to the folder in LOOK, for a person to
// look at:
//
//	LOOK=/tmp/look go test -run TestLook ./layout
func TestLook(t *testing.T) {
	dir := os.Getenv("LOOK")
	if dir == "" {
		t.Skip("LOOK names no folder")
	}
	for _, s := range Stocks() {
		write := func(kind string, s Stock, labels []*label.Label) {
			if labels = fitting(s, labels); len(labels) == 0 {
				return
			}
			pdf, err := jobPDF(&Job{Stock: s, Labels: entries(labels)})
			if err == nil {
				err = os.WriteFile(filepath.Join(dir, s.Name+kind+".pdf"), pdf, 0o666)
			}
			if err != nil {
				t.Errorf("%s: %v", s.Name, err)
			}
		}
		write("", s, samples())
		write("-rare", s, rareSamples())
		write("-interim", s, interimSamples())
		if s.Languages > 1 {
			var two []*label.Label
			for _, l := range slices.Concat(samples(), rareSamples(), interimSamples()) {
				two = append(two, inSpanish(l))
			}
			write("-two", s, two)
		}
		s.Color = assess.OneColor
		write("-black", s, slices.Concat(samples(), interimSamples()))
	}
}

// interimSamples are the labels of each kind, printed though they do not hold.
func interimSamples() (all []*label.Label) {
	for _, l := range samples()[:3] {
		w := &l.Words[0]
		w.Interim = "INTERIM"
		w.Doubt = "IN QUESTION since 2026-08-11: the electrical system has changed since the study. " +
			"Printed values may be too low. Before any work, contact Q. Example, ext. 4711."
		if w.WearTitle != "" {
			w.WearWhy, w.Wear = "", nil
		}
		if !l.Danger {
			w.WearTitle = "PPE NOT CONFIRMED: ask before any work"
		}
		all = append(all, l)
	}
	return all
}

// lookLabels are the samples which the stock can hold.
func lookLabels(s Stock) []*label.Label { return fitting(s, samples()) }

func fitting(s Stock, labels []*label.Label) (fit []*label.Label) {
	for _, l := range labels {
		code, err := matrix(l.QR)
		if err != nil {
			continue
		}
		if _, err := Draw(l, s, code); err == nil {
			fit = append(fit, l)
		}
	}
	return fit
}

// TestLookProof writes the proof of every stock in every language, as TestLook does.
func TestLookProof(t *testing.T) {
	if os.Getenv("LOOK") == "" {
		t.Skip("LOOK names no folder")
	}
	var all []Page
	for _, stock := range Stocks() {
		for _, language := range []string{"en", "es", "fr"} {
			pages, _ := proofOf(t, stock, language, fitting(stock, samples()))
			all = append(all, pages...)
		}
	}
	lookAt(t, "proofs", all)
}
