package layout

import (
	"os"
	"path/filepath"
	"testing"

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
		pdf, err := jobPDF(sampleJob(s.Name, lookLabels(s)))
		if err != nil {
			t.Errorf("%s: %v", s.Name, err)
			continue
		}
		if err := os.WriteFile(filepath.Join(dir, s.Name+".pdf"), pdf, 0o666); err != nil {
			t.Fatal(err)
		}
		var rare []*label.Label
		for _, l := range rareSamples() {
			rare = append(rare, l)
			if s.Languages > 1 {
				rare = append(rare, inSpanish(l))
			}
		}
		if pdf, err = jobPDF(sampleJob(s.Name, fitting(s, rare))); err != nil {
			t.Errorf("%s: %v", s.Name, err)
			continue
		}
		if err := os.WriteFile(filepath.Join(dir, s.Name+"-rare.pdf"), pdf, 0o666); err != nil {
			t.Fatal(err)
		}
	}
}

// lookLabels are the samples that fit on the stock.
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
