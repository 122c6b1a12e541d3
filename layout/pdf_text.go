package layout

import "strconv"

// text sets a line of text with its baseline's start at x, y.
func (p *pdfPage) text(o *Op, x, y float64) {
	p.put("BT ")
	if o.Face != p.face || o.Size != p.size {
		p.face, p.size, p.runes = o.Face, o.Size, p.used.of(o.Face)
		p.put(fontName(o.Face.Name) + " ")
		p.put("Tf ", o.Size)
	}
	begin, end := "Td (", ") Tj ET\n"
	if o.Kern {
		begin, end = "Td [(", ")] TJ ET\n"
	}
	p.put(begin, x, y)
	before := rune(0)
	for _, r := range o.Text {
		if o.Kern {
			if k := o.Face.Kern(before, r); k != 0 { // in thousandths of the type size
				p.b = append(strconv.AppendInt(append(p.b, ')'), int64(-k), 10), '(')
			}
			before = r
		}
		p.runes.add(r)
		p.b = appendRune(p.b, r)
	}
	p.put(end)
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
