package layout

import (
	"bytes"
	"encoding/xml"
	"io"
	"strings"
	"testing"
)

// The SVG is well-formed and has every text of the drawing, no script, and none of the
// owner's text as markup.
func TestSVG(t *testing.T) {
	for _, l := range samples() {
		l.ID = `A<b>&"x`
		d := draw(t, l, mustStock(t, "4x4"))
		out := SVG(d, "label "+l.ID, "")
		var text strings.Builder
		dec := xml.NewDecoder(bytes.NewReader(out))
		for {
			tok, err := dec.Token()
			if err == io.EOF {
				break
			}
			if err != nil {
				t.Fatalf("%s: %v", l.ID, err)
			}
			switch tok := tok.(type) {
			case xml.StartElement:
				if n := tok.Name.Local; n != "svg" && n != "title" && n != "desc" && n != "rect" && n != "text" && n != "path" &&
					n != "g" {
					t.Errorf("element %s", n)
				}
			case xml.CharData:
				text.Write(tok)
				text.WriteByte('\n')
			}
		}
		for _, o := range d.Ops {
			if o.Kind == Text && !strings.Contains(text.String(), o.Text) {
				t.Errorf("%s: the SVG lacks %q", l.ID, o.Text)
			}
		}
		if !bytes.Equal(out, SVG(d, "label "+l.ID, "")) {
			t.Error("two SVGs of one drawing differ")
		}
	}
}
