package layout

import (
	"bytes"
	"compress/zlib"
	"errors"
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"time"

	"github.com/jung-kurt/gofpdf"

	"vouchmark/fonts"
)

// What all pages share is taken from a document that gofpdf v1.16.2 makes, with one empty
// page and the fonts with the runes that are used. It is split into its objects, and all but
// the page are corrected, numbered after the pages, and written:
//
//   - Fonts get short names in place of forty hex digits.
//   - Spot colors are written here: gofpdf writes them in the order of a Go map.
//   - The catalog gets further entries, and the trailer an /ID that is derived from the
//     content, not from the clock.
//   - A document for a printing condition becomes PDF/X-1a (pdfx.go).

// objects are the objects of a PDF.
type objects struct {
	body  [][]byte // by object number; what follows "N 0 obj\n"
	order []int    // object numbers in the order of the file
}

var errNotAsWritten = errors.New("rewrite PDF: not as gofpdf writes it")

// crossReference is the end of a file: its table, and the trailer's entries.
var crossReference = regexp.MustCompile(
	`^\nxref\n0 \d+\n((?:\d{10} \d{5} [fn] \n){2,})trailer\n<<\n((?s).*)>>\nstartxref\n`)

// takeApart finds the objects by the cross-reference table.
func takeApart(pdf []byte) (*objects, error) {
	tail := max(0, bytes.LastIndex(pdf, []byte("\nxref\n")))
	found := crossReference.FindSubmatch(pdf[tail:])
	if found == nil {
		return nil, errNotAsWritten
	}
	var offset []int
	for entry := range bytes.Lines(found[1]) {
		at, _ := strconv.Atoi(string(entry[:10]))
		offset = append(offset, at)
	}
	o := &objects{body: make([][]byte, len(offset))}
	for i := range offset[1:] {
		o.order = append(o.order, i+1)
	}
	slices.SortFunc(o.order, func(a, b int) int { return offset[a] - offset[b] })
	end := tail + 1
	for _, n := range slices.Backward(o.order) {
		body, ok := bytes.CutPrefix(pdf[min(offset[n], end):end], fmt.Appendf(nil, "%d 0 obj\n", n))
		if !ok {
			return nil, errNotAsWritten
		}
		o.body[n], end = body, offset[n]
	}
	return o, nil
}

// inserted is body with more after a beginning that it must have.
func inserted(body []byte, after, more string) ([]byte, bool) {
	rest, ok := bytes.CutPrefix(body, []byte(after))
	return slices.Concat([]byte(after+more), rest), ok
}

// end writes what follows the pages.
func (p *PDF) end() error {
	shell, err := p.shell()
	if err != nil {
		return fmt.Errorf("PDF: %w", err)
	}
	o, err := takeApart(shell)
	if err != nil {
		return err
	}
	if !bytes.Contains(o.body[resources], []byte(noColors)) {
		return errNotAsWritten
	}
	if err := o.correct(&p.doc); err != nil {
		return err
	}
	p.tree()
	colors := p.colors()
	more := len(p.at) - afterPage
	for _, n := range o.order {
		body := renumbered(o.body[n], more)
		switch {
		case n == resources:
			body = bytes.Replace(body, []byte(noColors), []byte(colors), 1)
		case n < afterPage:
			continue
		}
		p.object(moved(n, more), body)
	}
	p.closing(moved(o.info(), more), moved(o.root(), more))
	return p.err
}

// afterPage is the first number after those of gofpdf's empty page; numbers from there on
// grow by those of the pages and the spot colors.
const afterPage = firstPage + 2

func moved(n, more int) int {
	if n >= afterPage {
		return n + more
	}
	return n
}

var reference = regexp.MustCompile(`\b\d+ 0 R`)

// renumbered is an object with its references moved.
func renumbered(body []byte, more int) []byte {
	dict, stream, ok := bytes.Cut(body, []byte("stream\n"))
	dict = reference.ReplaceAllFunc(dict, func(ref []byte) []byte {
		n, _ := strconv.Atoi(string(ref[:len(ref)-len(" 0 R")]))
		return fmt.Appendf(nil, "%d 0 R", moved(n, more))
	})
	if !ok {
		return dict
	}
	return slices.Concat(dict, []byte("stream\n"), stream)
}

// object writes an object that is not a page's.
func (p *PDF) object(n int, body []byte) {
	for n >= len(p.at) {
		p.at = append(p.at, 0)
	}
	p.at[n] = p.size
	p.write(fmt.Appendf(nil, "%d 0 obj\n", n))
	p.write(body)
}

// tree writes the list of the pages.
func (p *PDF) tree() {
	b := []byte("<</Type /Pages\n/Kids [")
	for i := range p.pages {
		b = fmt.Appendf(b, "%d 0 R ", firstPage+2*i)
	}
	p.object(pageTree, fmt.Appendf(b, "]\n/Count %d\n/MediaBox [0 0 %.2f %.2f]\n>>\nendobj\n", p.pages, p.paper.W, p.paper.H))
}

// noColors is how gofpdf lists no spot colors in the resources.
const noColors = "/ColorSpace <<\n>>\n"

// colors writes the spot colors that the pages use, and lists them for the resources.
func (p *PDF) colors() string {
	list := "/ColorSpace <<\n"
	for i, s := range p.inks {
		if !p.used.spots[i+1] {
			continue // a press would want a plate for it
		}
		list += fmt.Sprintf("/CS%d %d 0 R\n", i+1, len(p.at))
		share := func(percent uint8) float64 { return float64(percent) / 100 }
		p.object(len(p.at), fmt.Appendf(nil, "[/Separation /%s\n/DeviceCMYK <<\n/Range [0 1 0 1 0 1 0 1] /C0 [0 0 0 0] "+
			"/C1 [%.3f %.3f %.3f %.3f]\n/FunctionType 2 /Domain [0 1] /N 1>>]\nendobj\n",
			strings.ReplaceAll(s.Name, " ", "#20"), share(s.C), share(s.M), share(s.Y), share(s.K)))
	}
	return list + ">>\n"
}

// closing writes the cross-reference table and the trailer.
func (p *PDF) closing(info, root int) {
	p.to.Flush()
	sum, xref := p.sum.Sum(nil)[:16], p.size
	p.write(fmt.Appendf(nil, "xref\n0 %d\n0000000000 65535 f \n", len(p.at)))
	for _, at := range p.at[1:] {
		p.write(fmt.Appendf(nil, "%010d 00000 n \n", at))
	}
	p.write(fmt.Appendf(nil, "trailer\n<<\n/Size %d\n/Root %d 0 R\n/Info %d 0 R\n/ID [<%x> <%x>]\n>>\nstartxref\n%d\n%%%%EOF\n",
		len(p.at), root, info, sum, sum, xref))
}

// shell is the document that gofpdf makes.
func (p *PDF) shell() ([]byte, error) {
	f := gofpdf.NewCustom(&gofpdf.InitType{
		OrientationStr: "P", // "L" would swap width and height
		UnitStr:        "pt",
		Size:           gofpdf.SizeType{Wd: p.paper.W, Ht: p.paper.H},
	})
	day := p.doc.Date
	date := time.Date(day.Year(), day.Month(), day.Day(), 0, 0, 0, 0, time.UTC)
	f.SetCatalogSort(true)
	f.SetCompression(false) // what is not yet packed is packed below
	f.SetCreationDate(date)
	f.SetModificationDate(date)
	f.SetProducer("vouchmark", true)
	f.SetTitle(p.doc.Title, true)
	for _, face := range fonts.Faces() {
		f.AddUTF8FontFromBytes(face.Name, "", face.Bytes())
	}
	f.AddPage()
	for _, face := range fonts.Faces() {
		if r := p.used.faces[face]; r != nil {
			f.SetFont(face.Name, "", 1)
			f.Text(0, 0, r.text()) // so that their glyphs are embedded
		}
	}
	var out bytes.Buffer
	err := f.Output(&out)
	return out.Bytes(), err
}

// correct corrects gofpdf's objects, in place.
func (o *objects) correct(doc *Document) error {
	o.body[resources] = []byte(o.shortFonts().Replace(string(o.body[resources])))
	packer := zlib.NewWriter(nil)
	for _, n := range o.order {
		o.body[n] = packed(o.body[n], packer)
	}
	info, root := o.info(), o.root()
	// Without scaling: a label printed "to fit" no longer has the size of its stock,
	// and its letters are below the legible minimum.
	var ok bool
	if o.body[root], ok = inserted(o.body[root], "<<\n/Type /Catalog\n",
		"/Lang ("+doc.Language+")\n/ViewerPreferences <</PrintScaling /None>>\n"); !ok {
		return errNotAsWritten
	}
	o.body[info] = pdfDate.ReplaceAll(o.body[info], []byte("(D:${1}Z)")) // gofpdf omits the zone
	if doc.Condition != "" {
		return o.toPDFX(doc.Condition, info, root)
	}
	return nil
}

// info and root are the numbers of the document's properties and of its catalog, which
// gofpdf writes last.
func (o *objects) info() int { return o.order[len(o.order)-2] }
func (o *objects) root() int { return o.order[len(o.order)-1] }

var pdfDate = regexp.MustCompile(`\(D:(\d{14})\)`)

var (
	fontRef  = regexp.MustCompile(`(/F[0-9a-f]{40}) (\d+) 0 R\n`)
	baseFont = regexp.MustCompile(`/BaseFont /utf8(\w+)\n`)
)

// shortFonts replaces the names of the fonts with short ones.
func (o *objects) shortFonts() *strings.Replacer {
	var names []string
	for _, ref := range fontRef.FindAllSubmatch(o.body[resources], -1) {
		if num, _ := strconv.Atoi(string(ref[2])); num < len(o.body) {
			if face := baseFont.FindSubmatch(o.body[num]); face != nil {
				names = append(names, string(ref[1]), fontName(string(face[1])))
			}
		}
	}
	return strings.NewReplacer(names...)
}

// fontName is the name of a face's font in page content.
func fontName(face string) string { return "/" + face[:1] }

var streamHead = regexp.MustCompile(`^<</Length \d+>>\nstream\n`)

const streamEnd = "\nendstream\nendobj\n"

// packed is an object with its stream compressed, if it is not yet; other objects are
// unchanged.
func packed(body []byte, w *zlib.Writer) []byte {
	head := len(streamHead.Find(body))
	stream, ok := bytes.CutSuffix(body[head:], []byte(streamEnd))
	if head == 0 || !ok {
		return body
	}
	var out bytes.Buffer // never fails
	w.Reset(&out)
	w.Write(stream)
	w.Close()
	return fmt.Appendf(nil, "<</Filter /FlateDecode /Length %d>>\nstream\n%s%s", out.Len(), out.Bytes(), streamEnd)
}
