package layout

import (
	"strings"
	"testing"

	"vouchmark/label"
)

// A preview has the strip and no code to scan, on every stock that holds it;
// the same label that is none has the code and no strip.
func TestPreview(t *testing.T) {
	plain := sample()
	preview := sample()
	preview.MarkPreview(label.Presentation{Languages: []string{"en"}})
	held := 0
	for _, s := range Stocks() {
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
			if strings.Contains(text, "PREVIEW: NOT FOR USE") != d.preview || strings.Contains(text, plain.Code) == d.preview ||
				strings.Contains(text, "  qr ") == d.preview {
				t.Errorf("%s: preview %v\n%s", s.Name, d.preview, text)
			}
		}
	}
	if held < 10 {
		t.Errorf("%d stocks hold a preview", held)
	}
}
