package layout

import (
	"strings"
	"testing"

	"vouchmark/label"
)

// The strip of an INTERIM label is white on black from edge to edge, below the signal
// word and above everything else, on every stock on which it fits.
func TestInterim(t *testing.T) {
	l := variant("MCC-4", func(l *label.Label, w *label.Words) {
		w.Interim = "INTERIM"
		w.Doubt = "IN QUESTION since 2026-08-11: the electrical system has changed since the study. Printed values may be too low. Before any work, contact electrical safety."
	})
	held := 0
	for _, s := range Stocks() {
		code, err := matrix(l.QR)
		if err != nil {
			t.Fatal(err)
		}
		d, err := Draw(l, s, code)
		if err != nil {
			if Misfits(err) == nil {
				t.Fatal(err)
			}
			continue
		}
		held++
		if err := sound(l, s, d); err != nil {
			t.Errorf("%s: %v", s.Name, err)
		}
		var strip, message Block
		for _, b := range d.Blocks {
			switch b.Name {
			case "interim":
				strip = b
			case "message":
				message = b
			}
		}
		if strip.H == 0 || strip.W < s.Label.W-2*MM(1) || message.Y < strip.Y+strip.H-0.01 {
			t.Errorf("%s: strip %+v above message %+v", s.Name, strip, message)
		}
		if !strings.Contains(d.String(), "INTERIM") {
			t.Errorf("%s: the word is missing", s.Name)
		}
	}
	if held < 10 {
		t.Errorf("%d stocks hold an interim label", held)
	}
}
