package layout

import (
	"fmt"

	"vouchmark/fonts"
)

// text sets a line of text with its baseline's start at x, y.
func (p *pdfPage) text(o *Op, x, y float64) {
	if p.register(o) {
		// gofpdf embeds the glyphs of the runes that went through its Text.
		p.flush()
		p.doc.SetFont(o.Face.Name, "", o.Size)
		pieces(o, func(text string, dx float64, _ int) {
			p.doc.Text(x+dx, p.height-y, text)
		})
		p.face, p.size = o.Face, o.Size
		return
	}
	p.put("BT ")
	if o.Face != p.face || o.Size != p.size {
		p.face, p.size = o.Face, o.Size
		p.put(fontName(o.Face.Name) + " ")
		p.put("Tf ", o.Size)
	}
	begin, end := "Td (", ") Tj ET\n"
	if o.Kern {
		begin, end = "Td [(", ")] TJ ET\n"
	}
	p.put(begin, x, y)
	pieces(o, func(text string, _ float64, kern int) {
		if kern != 0 {
			p.b = fmt.Appendf(p.b, ")%d(", -kern)
		}
		for _, r := range text {
			p.b = appendRune(p.b, r)
		}
	})
	p.put(end)
}

// pieces calls set for the pieces of o's text between kerned letters, with the
// distance of each from the start, and the kerning before it in thousandths of the
// type size.
func pieces(o *Op, set func(text string, dx float64, kern int)) {
	start, from, dx, kern := 0, 0.0, 0.0, 0
	var before rune
	for i, r := range o.Text {
		if k := o.Face.Kern(before, r); o.Kern && k != 0 {
			set(o.Text[start:i], from, kern)
			dx += float64(k) * o.Size / 1000
			start, from, kern = i, dx, k
		}
		dx += float64(o.Face.Advance(r)) * o.Size / 1000
		before = r
	}
	set(o.Text[start:], from, kern)
}

// register notes the runes of o and reports whether one is new to its font.
func (p *pdfPage) register(o *Op) (fresh bool) {
	for _, r := range o.Text {
		if g := (glyph{o.Face, r}); !p.seen[g] {
			p.seen[g], fresh = true, true
		}
	}
	return fresh
}

// appendRune appends r, of the basic plane, as two bytes of a PDF string.
func appendRune(b []byte, r rune) []byte {
	for _, c := range [...]byte{byte(r >> 8), byte(r)} {
		switch c {
		case '(', ')', '\\':
			b = append(b, '\\', c)
		case '\r':
			b = append(b, '\\', 'r')
		default:
			b = append(b, c)
		}
	}
	return b
}

// glyph is a letter of a face.
type glyph struct {
	*fonts.Face
	rune
}
