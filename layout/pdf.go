package layout

import (
	"bytes"
	"fmt"
	"math"
	"strconv"
	"time"
	"unicode/utf16"

	"github.com/jung-kurt/gofpdf"

	"vouchmark/assess"
	"vouchmark/fonts"
)

// Document is what a PDF says of itself. Date is the only date in it.
type Document struct {
	Title, Language string
	Date            time.Time
}

// WritePages writes pages, which may differ in size, as one PDF. The same pages
// give the same bytes with the same build: the only date is the document's, and
// gofpdf's maps are put in order.
func WritePages(doc Document, pages []Page) ([]byte, error) {
	if len(pages) == 0 {
		return nil, fmt.Errorf("no page to write")
	}
	p := newPDF(doc, pages)
	drawings := 0
	for i := range pages {
		p.newPage(&pages[i])
		for _, at := range pages[i].Drawings {
			p.draw(at.Drawing, at.X, at.Y)
			drawings++
		}
	}
	p.flush()
	var out bytes.Buffer
	out.Grow(drawings << 12)
	if err := p.doc.Output(&out); err != nil {
		return nil, fmt.Errorf("PDF: %w", err)
	}
	// Without scaling: a label printed "to fit" is no longer of its stock's
	// size, and its letters fall below the legible minimum.
	return rewrite(out.Bytes(), "/Lang ("+doc.Language+")\n/ViewerPreferences <</PrintScaling /None>>\n")
}

// pdfPage writes the content of pages. All operators but the font's are
// written directly; the text goes through gofpdf where it brings runes that
// are not yet in the subset of the font that will be embedded.
type pdfPage struct {
	doc    *gofpdf.Fpdf
	height float64                          // of the page at hand
	seen   map[*fonts.Face]*[1 << 10]uint64 // runes in the subset
	spots  map[string]int                   // gofpdf's number of the colour

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
	p := &pdfPage{doc: f, seen: map[*fonts.Face]*[1 << 10]uint64{}, spots: map[string]int{}}
	for _, face := range fonts.Faces() {
		f.AddUTF8FontFromBytes(face.Name, "", face.Bytes())
		p.seen[face] = new([1 << 10]uint64)
	}
	for _, page := range pages {
		for _, d := range page.Drawings {
			for _, s := range d.spots() {
				if p.spots[s.Name] == 0 {
					f.AddSpotColor(s.Name, s.C, s.M, s.Y, s.K)
					p.spots[s.Name] = len(p.spots) + 1
				}
			}
		}
	}
	return p
}

// newPage begins a page. The graphics state begins anew, the font too.
func (p *pdfPage) newPage(page *Page) {
	p.flush()
	h := page.Size.H
	p.doc.AddPageFormat("P", gofpdf.SizeType{Wd: page.Size.W, Ht: h})
	for _, box := range []struct {
		name string
		Area
	}{{"trim", page.Trim}, {"bleed", page.Bleed}} {
		if box.W > 0 {
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
			p.numbers(px, py)
			p.b = append(p.b, "m "...)
			p.numbers(px+o.W, py-o.H)
			p.b = append(p.b, "l S\n"...)
		case Rect:
			p.setFill(d, o.Fill)
			p.setStroke(d, o.Ink, o.Stroke)
			p.rect(px, py, o)
			p.paint(o)
		case Path:
			p.setFill(d, o.Fill)
			p.setStroke(d, o.Ink, o.Stroke)
			p.path(x, p.height-y, o.Path)
			p.paint(o)
		case QR:
			p.setFill(d, Black)
			p.b = o.Matrix.path(p.b, px, py-o.W, o.W)
		}
	}
}

// numbers appends coordinates with the two decimals (3.5 micrometres) that
// gofpdf keeps too.
func (p *pdfPage) numbers(v ...float64) {
	for _, x := range v {
		hundredths := int64(math.Round(x * 100))
		if hundredths < 0 {
			p.b = append(p.b, '-')
			hundredths = -hundredths
		}
		p.b = strconv.AppendInt(p.b, hundredths/100, 10)
		if f := hundredths % 100; f != 0 {
			p.b = append(p.b, '.', '0'+byte(f/10))
			if f%10 != 0 {
				p.b = append(p.b, '0'+byte(f%10))
			}
		}
		p.b = append(p.b, ' ')
	}
}

func (p *pdfPage) paint(o *Op) {
	switch {
	case o.Fill != None && o.Ink != None:
		p.b = append(p.b, "B\n"...)
	case o.Fill != None:
		p.b = append(p.b, "f\n"...)
	default:
		p.b = append(p.b, "S\n"...)
	}
}

// rect appends a rectangle, its upper left corner at x, y.
func (p *pdfPage) rect(x, y float64, o *Op) {
	if o.Corners == (Corners{}) {
		p.numbers(x, y-o.H, o.W, o.H)
		p.b = append(p.b, "re "...)
		return
	}
	const k = 0.5523 // a quarter of a circle as one cubic curve
	t, u := o.Corners.Top, o.Corners.Bottom
	x1, y1 := x+o.W, y-o.H
	p.numbers(x+t, y)
	p.b = append(p.b, "m "...)
	p.lineTo(x1-t, y)
	p.curve(x1-t+k*t, y, x1, y-t+k*t, x1, y-t, t)
	p.lineTo(x1, y1+u)
	p.curve(x1, y1+u-k*u, x1-u+k*u, y1, x1-u, y1, u)
	p.lineTo(x+u, y1)
	p.curve(x+u-k*u, y1, x, y1+u-k*u, x, y1+u, u)
	p.lineTo(x, y-t)
	p.curve(x, y-t+k*t, x+t-k*t, y, x+t, y, t)
	p.b = append(p.b, "h "...)
}

func (p *pdfPage) lineTo(x, y float64) {
	p.numbers(x, y)
	p.b = append(p.b, "l "...)
}

func (p *pdfPage) curve(x1, y1, x2, y2, x, y, radius float64) {
	if radius > 0 {
		p.numbers(x1, y1, x2, y2, x, y)
		p.b = append(p.b, "c "...)
	}
}

// path appends a closed shape whose origin is at x, y.
func (p *pdfPage) path(x, y float64, points []Point) {
	for i, pt := range points {
		switch {
		case i == 0:
			p.numbers(x+pt.X, y-pt.Y)
			p.b = append(p.b, "m "...)
		case pt.Curve:
			// A quadratic curve as the cubic one that PDF has.
			from := points[i-1]
			cubic := func(a, c float64) float64 { return a + (c-a)*2/3 }
			p.curve(x+cubic(from.X, pt.CX), y-cubic(from.Y, pt.CY),
				x+cubic(pt.X, pt.CX), y-cubic(pt.Y, pt.CY), x+pt.X, y-pt.Y, 1)
		default:
			p.lineTo(x+pt.X, y-pt.Y)
		}
	}
	p.b = append(p.b, "h "...)
}

// operator is the PDF operator that chooses ink, for filling or, in capitals,
// for lines.
func (p *pdfPage) operator(d *Drawing, ink Ink, lines bool) string {
	gray, space, tint, cmyk, rgb := "g", "cs", "scn", "k", "rg"
	if lines {
		gray, space, tint, cmyk, rgb = "G", "CS", "SCN", "K", "RG"
	}
	switch ink {
	case White:
		return "1 " + gray
	case Tint:
		return share(100-TintPercent, 100) + " " + gray
	case Signal:
		s := d.Signal
		switch d.colour {
		case assess.Process:
			return share(s.C, 100) + " " + share(s.M, 100) + " " + share(s.Y, 100) + " " + share(s.K, 100) + " " + cmyk
		case assess.RGB:
			r, g, b := s.rgb()
			return share(r, 255) + " " + share(g, 255) + " " + share(b, 255) + " " + rgb
		}
		return "/CS" + strconv.Itoa(p.spots[s.Name]) + " " + space + " 1 " + tint
	}
	return "0 " + gray
}

func share(part, whole uint8) string {
	return strconv.FormatFloat(float64(part)/float64(whole), 'f', -1, 32)
}

func (p *pdfPage) setFill(d *Drawing, ink Ink) {
	if ink == None {
		return
	}
	if s := p.operator(d, ink, false); s != p.fill {
		p.fill = s
		p.b = append(append(p.b, s...), '\n')
	}
}

func (p *pdfPage) setStroke(d *Drawing, ink Ink, width float64) {
	if ink == None {
		return
	}
	if s := p.operator(d, ink, true); s != p.stroke {
		p.stroke = s
		p.b = append(append(p.b, s...), '\n')
	}
	if width != p.width {
		p.width = width
		p.numbers(width)
		p.b = append(p.b, "w\n"...)
	}
}

// text sets a line of text with its baseline's start at x, y.
func (p *pdfPage) text(o *Op, x, y float64) {
	if p.register(o) {
		// gofpdf embeds the glyphs of those runes which went through its Text.
		p.flush()
		p.doc.SetFont(o.Face.Name, "", o.Size)
		p.pieces(o, func(text string, dx float64) {
			p.doc.Text(x+dx, p.height-y, text)
		})
		p.face, p.size = o.Face, o.Size
		return
	}
	p.b = append(p.b, "BT "...)
	if o.Face != p.face || o.Size != p.size {
		p.face, p.size = o.Face, o.Size
		p.b = append(append(p.b, fontName(o.Face.Name)...), ' ')
		p.numbers(o.Size)
		p.b = append(p.b, "Tf "...)
	}
	p.numbers(x, y)
	if !o.Kern {
		p.b = append(p.b, "Td ("...)
		for _, r := range o.Text {
			p.b = appendRune(p.b, r)
		}
		p.b = append(p.b, ") Tj ET\n"...)
		return
	}
	p.b = append(p.b, "Td [("...)
	var before rune
	for _, r := range o.Text {
		if k := o.Face.Kern(before, r); k != 0 {
			p.b = append(p.b, ')')
			p.b = strconv.AppendInt(p.b, int64(-k), 10)
			p.b = append(p.b, '(')
		}
		p.b = appendRune(p.b, r)
		before = r
	}
	p.b = append(p.b, ")] TJ ET\n"...)
}

// pieces calls set for the pieces of o's text between which letters are
// kerned, with how far from the beginning each stands.
func (p *pdfPage) pieces(o *Op, set func(text string, dx float64)) {
	if !o.Kern {
		set(o.Text, 0)
		return
	}
	start, from, dx := 0, 0.0, 0.0
	var before rune
	for i, r := range o.Text {
		if k := o.Face.Kern(before, r); k != 0 {
			set(o.Text[start:i], from)
			dx += float64(k) * o.Size / 1000
			start, from = i, dx
		}
		dx += float64(o.Face.Advance(r)) * o.Size / 1000
		before = r
	}
	set(o.Text[start:], from)
}

// register notes the runes of o and reports whether one is new to its font.
func (p *pdfPage) register(o *Op) bool {
	seen, fresh := p.seen[o.Face], false
	for _, r := range o.Text {
		if bit := uint64(1) << (r & 63); seen[r>>6]&bit == 0 {
			seen[r>>6] |= bit
			fresh = true
		}
	}
	return fresh
}

// appendRune appends r, of the basic plane, as two bytes of a PDF string.
func appendRune(b []byte, r rune) []byte {
	if utf16.RuneLen(r) != 1 {
		r = '?' // cannot be: such runes were refused before drawing
	}
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
