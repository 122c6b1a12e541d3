package layout

import (
	"bytes"
	"fmt"
	"time"

	"github.com/jung-kurt/gofpdf"

	"vouchmark/assess"
	"vouchmark/fonts"
)

// Document has the properties of a PDF. Date is the only date in it.
type Document struct {
	Title, Language string
	Date            time.Time
	Condition       string // the stock's printing condition: the PDF is PDF/X-1a:2003; "" for a PDF that is not
}

// WritePages writes pages, which may differ in size, as one PDF. The same pages
// give the same bytes with the same build: the only date is the document's, and
// gofpdf's maps are put in order.
func WritePages(doc Document, pages []Page) ([]byte, error) {
	if len(pages) == 0 {
		return nil, fmt.Errorf("no page to write")
	}
	if doc.Condition != "" {
		if err := claimable(pages); err != nil {
			return nil, err
		}
	}
	p := newPDF(doc, pages)
	for i := range pages {
		p.newPage(&pages[i])
		for _, at := range pages[i].Drawings {
			p.draw(at.Drawing, at.X, at.Y)
		}
	}
	p.flush()
	var out bytes.Buffer
	if err := p.doc.Output(&out); err != nil {
		return nil, fmt.Errorf("PDF: %w", err)
	}
	return rewrite(out.Bytes(), doc)
}

// pdfPage writes the content of pages. All operators except those of fonts are written
// directly; text goes through gofpdf if it has runes that are not yet in the subset of
// the font to embed.
type pdfPage struct {
	doc    *gofpdf.Fpdf
	height float64         // of the current page
	seen   map[glyph]bool  // in the subset
	spots  map[string]int  // gofpdf's number of the color
	boxes  map[string]bool // that a page had

	b            []byte // what is not yet handed to gofpdf
	face         *fonts.Face
	size         float64
	fill, stroke string // as last set on the page
	width        float64
}

func newPDF(doc Document, pages []Page) *pdfPage {
	f := gofpdf.NewCustom(&gofpdf.InitType{
		OrientationStr: "P", // "L" would swap width and height
		UnitStr:        "pt",
		Size:           gofpdf.SizeType{Wd: pages[0].Size.W, Ht: pages[0].Size.H},
	})
	date := time.Date(doc.Date.Year(), doc.Date.Month(), doc.Date.Day(), 0, 0, 0, 0, time.UTC)
	f.SetCatalogSort(true)
	f.SetCompression(false) // rewrite packs the pages
	f.SetCreationDate(date)
	f.SetModificationDate(date)
	f.SetProducer("vouchmark", true)
	f.SetTitle(doc.Title, true)
	f.SetMargins(0, 0, 0)
	f.SetCellMargin(0)
	f.SetAutoPageBreak(false, 0)
	p := &pdfPage{doc: f, seen: map[glyph]bool{}, spots: map[string]int{}, boxes: map[string]bool{}}
	for _, face := range fonts.Faces() {
		f.AddUTF8FontFromBytes(face.Name, "", face.Bytes())
	}
	for _, page := range pages {
		for _, d := range page.Drawings {
			if s := d.Signal; d.color == assess.Spot && p.spots[s.Name] == 0 && d.uses(Signal) {
				f.AddSpotColor(s.Name, s.C, s.M, s.Y, s.K)
				p.spots[s.Name] = len(p.spots) + 1
			}
		}
	}
	return p
}

// newPage starts a page, on which no ink, width or font is set yet.
func (p *pdfPage) newPage(page *Page) {
	p.flush()
	h := page.Size.H
	p.doc.AddPageFormat("P", gofpdf.SizeType{Wd: page.Size.W, Ht: h})
	for _, box := range []struct {
		name string
		Area
	}{{"trim", page.Trim}, {"bleed", page.Bleed}} {
		if box.W == 0 && p.boxes[box.name] { // else gofpdf repeats that of the page before
			box.Area = Area{0, 0, page.Size.W, h}
		}
		if box.W > 0 {
			p.boxes[box.name] = true
			p.doc.SetPageBox(box.name, box.X, h-box.Y-box.H, box.W, box.H) // from the lower left
		}
	}
	p.height = h
	p.face, p.size, p.fill, p.stroke, p.width = nil, 0, "", "", -1
}

func (p *pdfPage) flush() {
	if len(p.b) > 0 {
		p.doc.RawWriteStr(string(p.b[:len(p.b)-1])) // gofpdf ends it with a new line
		p.b = p.b[:0]
	}
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
