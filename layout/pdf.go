package layout

import (
	"bytes"
	"fmt"
	"math"
	"strconv"
	"strings"
	"time"

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
	// Without scaling: a label printed "to fit" is no longer of its stock's
	// size, and its letters fall below the legible minimum.
	return rewrite(out.Bytes(), "/Lang ("+doc.Language+")\n/ViewerPreferences <</PrintScaling /None>>\n")
}

// pdfPage writes the content of pages. All operators but the font's are
// written directly; the text goes through gofpdf where it brings runes that
// are not yet in the subset of the font that will be embedded.
type pdfPage struct {
	doc    *gofpdf.Fpdf
	height float64        // of the page at hand
	seen   map[glyph]bool // in the subset
	spots  map[string]int // gofpdf's number of the colour

	b            []byte // what is not yet handed to gofpdf
	face         *fonts.Face
	size         float64
	fill, stroke string // as last set on the page
	width        float64
}

// glyph is a letter of a face.
type glyph struct {
	*fonts.Face
	rune
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
	p := &pdfPage{doc: f, seen: map[glyph]bool{}, spots: map[string]int{}}
	for _, face := range fonts.Faces() {
		f.AddUTF8FontFromBytes(face.Name, "", face.Bytes())
	}
	for _, page := range pages {
		for _, d := range page.Drawings {
			if s := d.Signal; d.colour == assess.Spot && p.spots[s.Name] == 0 && d.uses(Signal) {
				f.AddSpotColor(s.Name, s.C, s.M, s.Y, s.K)
				p.spots[s.Name] = len(p.spots) + 1
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
			p.put("m ", px, py)
			p.put("l S\n", px+o.W, py-o.H)
		case Rect, Path:
			p.setFill(d, o.Fill)
			p.setStroke(d, o.Ink, o.Stroke)
			p.shape(o, x, p.height-y)
			p.b = append(p.b, paints(o)...)
		case QR:
			p.setFill(d, Black)
			p.b = o.Matrix.path(p.b, px, py-o.W, o.W)
		}
	}
}

// put appends an operator behind the coordinates that it takes, with the two
// decimals (3.5 micrometres) that gofpdf keeps too.
func (p *pdfPage) put(operator string, v ...float64) {
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
	p.b = append(p.b, operator...)
}

// paints is the operator that fills a shape, outlines it, or both.
func paints(o *Op) string {
	switch {
	case o.Ink == None:
		return "f\n"
	case o.Fill == None:
		return "S\n"
	}
	return "B\n"
}

// shape appends a rectangle or a path of a drawing whose corner is at x, y.
func (p *pdfPage) shape(o *Op, x, y float64) {
	points, k := o.Path, 2.0/3 // a quadratic curve as the cubic one that PDF has
	if o.Kind == Rect {
		if o.Corners == (Corners{}) {
			p.put("re ", x+o.X, y-o.Y-o.H, o.W, o.H)
			return
		}
		points, k = o.rounded(), 0.5523 // a quarter of a circle as one cubic curve
	}
	var from Point
	for i, to := range points {
		toward := func(a, by float64) float64 { return a + k*(by-a) }
		switch {
		case i == 0:
			p.put("m ", x+to.X, y-to.Y)
		case !to.Curve:
			p.put("l ", x+to.X, y-to.Y)
		case to.X != from.X || to.Y != from.Y:
			p.put("c ", x+toward(from.X, to.CX), y-toward(from.Y, to.CY),
				x+toward(to.X, to.CX), y-toward(to.Y, to.CY), x+to.X, y-to.Y)
		}
		from = to
	}
	p.put("h ")
}

// rounded is a rectangle with rounded corners as a path.
func (o *Op) rounded() []Point {
	t, u := o.Corners.Top, o.Corners.Bottom
	x0, y0, x1, y1 := o.X, o.Y, o.X+o.W, o.Y+o.H
	return []Point{
		{X: x0 + t, Y: y0},
		{X: x1 - t, Y: y0}, {X: x1, Y: y0 + t, CX: x1, CY: y0, Curve: true},
		{X: x1, Y: y1 - u}, {X: x1 - u, Y: y1, CX: x1, CY: y1, Curve: true},
		{X: x0 + u, Y: y1}, {X: x0, Y: y1 - u, CX: x0, CY: y1, Curve: true},
		{X: x0, Y: y0 + t}, {X: x0 + t, Y: y0, CX: x0, CY: y0, Curve: true},
	}
}

// operator is the PDF operator that chooses ink for filling.
func (p *pdfPage) operator(d *Drawing, ink Ink) string {
	switch ink {
	case White:
		return "1 g"
	case Tint:
		return share(100-TintPercent, 100) + " g"
	case Signal:
		s := d.Signal
		switch d.colour {
		case assess.Process:
			return share(s.C, 100) + " " + share(s.M, 100) + " " + share(s.Y, 100) + " " + share(s.K, 100) + " k"
		case assess.RGB:
			r, g, b := s.rgb()
			return share(r, 255) + " " + share(g, 255) + " " + share(b, 255) + " rg"
		}
		return fmt.Sprintf("/CS%d cs 1 scn", p.spots[s.Name])
	}
	return "0 g"
}

func share(part, whole uint8) string {
	return strconv.FormatFloat(float64(part)/float64(whole), 'f', -1, 32)
}

func (p *pdfPage) setFill(d *Drawing, ink Ink) {
	if ink == None {
		return
	}
	if s := p.operator(d, ink); s != p.fill {
		p.fill = s
		p.put(s + "\n")
	}
}

func (p *pdfPage) setStroke(d *Drawing, ink Ink, width float64) {
	if ink == None {
		return
	}
	if s := strings.ToUpper(p.operator(d, ink)); s != p.stroke { // in capitals it is for lines
		p.stroke = s
		p.put(s + "\n")
	}
	if width != p.width {
		p.width = width
		p.put("w\n", width)
	}
}

// text sets a line of text with its baseline's start at x, y.
func (p *pdfPage) text(o *Op, x, y float64) {
	if p.register(o) {
		// gofpdf embeds the glyphs of those runes which went through its Text.
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

// pieces calls set for the pieces of o's text between which letters are
// kerned, with how far from the beginning each stands, and the kerning before
// it in thousandths of the type size.
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
