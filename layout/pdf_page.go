package layout

import (
	"bytes"
	"compress/zlib"
	"fmt"

	"vouchmark/fonts"
)

// pdfPage writes one page after the other, on one core.
type pdfPage struct {
	inks   []Spot // the document's spot colors
	used   usage  // by all pages that it wrote
	packer *zlib.Writer
	packed bytes.Buffer

	height       float64 // of the current page
	b            []byte  // its content
	face         *fonts.Face
	runes        *runes // of that face, in used
	size         float64
	fill, stroke []byte // the operators as last set on the page
	ink          []byte // an operator being made
	width        float64
}

// written is a page as it goes into the file: its dictionary and its compressed content.
type written struct {
	objects bytes.Buffer
	content int // where the second one begins
	paper   Size
	facts   jobFacts
	err     error
}

// packing is the level of compression of pages. The usual one would take four times as long,
// a quarter of all the time of a job, for a file that is 13 % smaller.
const packing = zlib.BestSpeed

func newPDFPage(inks []Spot) *pdfPage {
	packer, _ := zlib.NewWriterLevel(nil, packing) // a level that exists
	return &pdfPage{inks: inks, packer: packer}
}

// write draws a page, whose objects have the numbers n and n+1.
func (p *pdfPage) write(page *Page, n int, to *written) {
	p.start(page)
	for _, at := range page.Drawings {
		p.draw(at.Drawing, at.X, at.Y)
	}
	out := &to.objects // never fails
	out.Reset()
	h := page.Size.H
	fmt.Fprintf(out, "%d 0 obj\n<</Type /Page\n/Parent %d 0 R\n/MediaBox [0 0 %.2f %.2f]\n", n, pageTree, page.Size.W, h)
	for _, box := range [...]struct {
		name string
		Area
	}{{"Bleed", page.Bleed}, {"Trim", page.Trim}} {
		if box.W > 0 { // from the lower left
			y := h - box.Y - box.H
			fmt.Fprintf(out, "/%sBox [%.2f %.2f %.2f %.2f]\n", box.name, box.X, y, box.X+box.W, y+box.H)
		}
	}
	fmt.Fprintf(out, "/Resources %d 0 R\n/Contents %d 0 R>>\nendobj\n", resources, n+1)
	to.content = out.Len()
	p.packed.Reset()
	p.packer.Reset(&p.packed)
	p.packer.Write(p.b)
	p.packer.Close()
	fmt.Fprintf(out, "%d 0 obj\n<</Filter /FlateDecode /Length %d>>\nstream\n%s%s", n+1, p.packed.Len(), p.packed.Bytes(), streamEnd)
}

// start begins a page, on which no ink, width or font is set yet.
func (p *pdfPage) start(page *Page) {
	p.b, p.fill, p.stroke = p.b[:0], p.fill[:0], p.stroke[:0]
	p.height, p.face, p.size, p.width = page.Size.H, nil, 0, -1
}

// draw paints d with its upper left corner at x, y of the page.
func (p *pdfPage) draw(d *Drawing, x, y float64) {
	for i := range d.Ops {
		o := &d.Ops[i]
		px, py := x+o.X, p.height-(y+o.Y)
		switch o.Kind {
		case Text:
			p.setFill(d, o.Ink)
			p.text(o, px, py)
		case Line:
			p.setStroke(d, o.Ink, o.Stroke)
			p.put("m ", px, py)
			p.put("l S\n", px+o.W, py-o.H)
		case Rect, Path:
			p.setFill(d, o.Fill)
			p.setStroke(d, o.Ink, o.Stroke)
			p.shape(o, x, p.height-y)
			p.put(paints(o))
		case QR:
			p.setFill(d, Black)
			p.code(o.Matrix, px, py-o.W, o.W)
		}
	}
}
