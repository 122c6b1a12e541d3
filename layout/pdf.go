package layout

import (
	"bufio"
	"bytes"
	"crypto/sha256"
	"errors"
	"fmt"
	"hash"
	"io"
	"slices"
	"sync"
	"time"

	"vouchmark/assess"
)

// Document has the properties of a PDF. Date is the only date in it.
type Document struct {
	Title, Language string
	Date            time.Time
	Condition       string // the stock's printing condition: the PDF is PDF/X-1a:2003; "" for a PDF that is not
}

// WritePages writes pages, which may differ in size, as one PDF. The same pages
// give the same bytes with the same build: the only date is the document's.
func WritePages(doc Document, pages []Page) ([]byte, error) {
	var out bytes.Buffer
	p := NewPDF(&out, doc)
	p.Pages(pages)
	if err := p.Finish(); err != nil {
		return nil, err
	}
	return out.Bytes(), nil
}

// PDF is a document that is written while its pages are drawn. Pages are drawn and
// compressed on all cores and written in their order. Of a written page there remain
// the offsets of its two objects, and which runes and colors it uses: what all pages
// share, the fonts above all, is at the end of the file (pdf_end.go).
//
// Errors stick: Finish returns the first one.
type PDF struct {
	doc   Document
	to    *bufio.Writer
	sum   hash.Hash // of what is written, for the document's ID
	size  int64     // bytes written
	at    []int64   // offset of each object, by its number; 0 for one that is not written yet
	pages int
	paper Size   // of the first page
	inks  []Spot // the spot colors that were announced: the color with index i is /CS(i+1)
	used  usage
	err   error
}

// The objects that gofpdf numbers in the same way: page i has the two from firstPage+2*i on.
const (
	pageTree  = 1
	resources = 2
	firstPage = 3
)

// NewPDF starts a document.
func NewPDF(to io.Writer, doc Document) *PDF {
	p := &PDF{doc: doc, sum: sha256.New(), at: make([]int64, firstPage)}
	p.to = bufio.NewWriterSize(io.MultiWriter(to, p.sum), 1<<16)
	p.write(doc.head())
	return p
}

func (p *PDF) write(b []byte) {
	n, err := p.to.Write(b)
	p.size += int64(n)
	p.fail(err)
}

func (p *PDF) fail(err error) {
	if p.err == nil && err != nil {
		p.err = fmt.Errorf("PDF: %w", err)
	}
}

// announce gives a number to each spot color that pages to come may use.
func (p *PDF) announce(inks []Spot) {
	for _, s := range inks {
		if spotNumber(p.inks, s) == 0 {
			p.inks = append(p.inks, s)
		}
	}
}

// spotNumber is the number of a color, from 1; 0 for one that was not announced.
func spotNumber(inks []Spot, s Spot) int {
	for i := range inks {
		if inks[i].Name == s.Name {
			return i + 1
		}
	}
	return 0
}

// Pages writes pages that are drawn already.
func (p *PDF) Pages(pages []Page) {
	s := &Sheets{N: len(pages), page: func(i int) (Page, error) { return pages[i], nil }}
	for i := range pages {
		for _, d := range pages[i].Drawings {
			if d.color == assess.Spot && d.uses(Signal) && spotNumber(s.signals, d.Signal) == 0 {
				s.signals = append(s.signals, d.Signal)
			}
		}
	}
	p.Sheets(s)
}

// Sheets draws and writes the sheets of a job. If labels do not fit, the error contains a
// [FitError] for each text of each of them.
func (p *PDF) Sheets(s *Sheets) error {
	p.announce(s.signals)
	first := p.pages
	var each sync.Mutex
	var all []*pdfPage
	finished := sync.Pool{New: func() any { return new(written) }}
	var errs []error
	inOrder(s.N, func() func(i int) *written {
		page := newPDFPage(p.inks)
		each.Lock()
		all = append(all, page)
		each.Unlock()
		return func(i int) *written {
			w := finished.Get().(*written)
			drawn, err := s.page(i)
			if err == nil && p.doc.Condition != "" {
				err = claimable(&drawn)
			}
			if w.err = err; err == nil {
				w.paper, w.facts = drawn.Size, factsOf(&drawn)
				page.write(&drawn, firstPage+2*(first+i), w)
				if s.written != nil {
					s.written(&drawn)
				}
			}
			return w
		}
	}, func(i int, w *written) {
		switch {
		case w.err == nil:
			p.add(w)
			s.facts.add(&w.facts)
		case !slices.Contains(errs, w.err): // what is wrong with the stock is so on every page
			errs = append(errs, w.err)
		}
		finished.Put(w)
		if s.drawn != nil {
			s.drawn(i + 1)
		}
	})
	for _, page := range all {
		p.used.add(&page.used)
	}
	if p.err == nil {
		p.err = errors.Join(errs...)
	}
	return p.err
}

// add appends the objects of a page.
func (p *PDF) add(w *written) {
	if p.pages == 0 {
		p.paper = w.paper
	}
	p.pages++
	p.at = append(p.at, p.size, p.size+int64(w.content))
	p.write(w.objects.Bytes())
}

// Finish writes what all pages share, and returns the error of the whole document.
func (p *PDF) Finish() error {
	if p.err == nil && p.pages == 0 {
		return errors.New("no page to write")
	}
	if p.err == nil {
		p.err = p.end()
	}
	if p.err == nil {
		p.fail(p.to.Flush())
	}
	return p.err
}
