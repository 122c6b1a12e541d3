package layout

import (
	"fmt"
	"strings"
	"testing"

	"vouchmark/assess"
	"vouchmark/label"
)

// acrossAll reports whether outlined letters cover a whole drawing: nearly from edge
// to edge both ways, above all its shapes and below all its texts.
func acrossAll(d *Drawing) error {
	x0, y0, x1, y1 := d.Size.W, d.Size.H, 0.0, 0.0
	letters, texts := 0, 0
	for i := range d.Ops {
		o := &d.Ops[i]
		letter := d.Blocks[o.Block].Name == "preview"
		switch {
		case o.Kind == Text:
			texts++
		case letter && (texts > 0 || o.Fill != None):
			return fmt.Errorf("operation %d hides a text", i)
		case letter:
			a0, b0, a1, b1 := o.Box()
			x0, y0, x1, y1 = min(x0, a0), min(y0, b0), max(x1, a1), max(y1, b1)
			letters++
		case letters > 0 && o.Fill != None:
			return fmt.Errorf("operation %d hides the letters", i)
		}
	}
	// A colon has two lines; P, R, O, O and R have one inside too; each is drawn twice.
	if want := 2 * (len("PREVIEW:NOTFORUSE") + 1 + len("PROOR")); letters != want {
		return fmt.Errorf("%d lines of letters, want %d", letters, want)
	}
	if x0 < 0 || y0 < 0 || x1 > d.Size.W || y1 > d.Size.H || x1-x0 < 0.88*d.Size.W || y1-y0 < 0.88*d.Size.H {
		return fmt.Errorf("the letters are at %.0f,%.0f to %.0f,%.0f of %v", x0, y0, x1, y1, d.Size)
	}
	return nil
}

// A preview has the strip and no code to scan, on every stock on which it fits; the
// real label has the code and no strip.
func TestPreview(t *testing.T) {
	plain := sample()
	preview := sample()
	preview.MarkPreview(label.Presentation{Languages: []string{"en"}})
	held := 0
	stocks := append(Stocks(), mustStock(t, "letter-4x3"))
	one := &stocks[len(stocks)-1]
	one.Name, one.Color = "one color", assess.OneColor
	for _, s := range stocks {
		code, err := matrix(plain.QR)
		if err != nil {
			t.Fatal(err)
		}
		printed, err := Draw(plain, s, code)
		if err != nil {
			if Misfits(err) == nil {
				t.Fatal(err)
			}
			continue
		}
		drawn, err := Draw(preview, s, nil)
		if err != nil {
			t.Errorf("%s holds the label and not its preview: %v", s.Name, err)
			continue
		}
		held++
		if err := sound(preview, s, drawn); err != nil {
			t.Errorf("%s: %v", s.Name, err)
		}
		for _, d := range []struct {
			drawing *Drawing
			preview bool
		}{{printed, false}, {drawn, true}} {
			text := d.drawing.String()
			if err := acrossAll(d.drawing); (err == nil) != d.preview {
				t.Errorf("%s: preview %v, letters across it: %v", s.Name, d.preview, err)
			}
			if strings.Contains(text, "PREVIEW:") != d.preview || strings.Contains(text, plain.Code) == d.preview ||
				strings.Contains(text, "  qr ") == d.preview {
				t.Errorf("%s: preview %v\n%s", s.Name, d.preview, text)
			}
		}
	}
	if held < 10 {
		t.Errorf("%d stocks hold a preview", held)
	}
}
