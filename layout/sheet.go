package layout

import (
	"errors"
	"fmt"
	"sync"

	"vouchmark/assess"
	"vouchmark/label"
)

// Job are the labels to print into one document.
type Job struct {
	Stock  Stock
	Labels []Entry // in the order of printing
	Start  int     // first place to use on the first sheet, from 1; 0 is 1

	// Progress is called with how many of all labels are drawn; it may be nil.
	Progress func(drawn, all int)
}

// Entry is a label of a job: its signal word, which must be known before the first is drawn,
// and the label, which is made only when it is drawn. Many may be made at the same time.
type Entry struct {
	Danger bool
	Label  func() *label.Label
}

// Placed says where a label of a job is.
type Placed struct {
	Page  int // from 1
	Place int // on the page, from 1
}

// Placed lists where each label of the job is, in order.
func (j *Job) Placed() []Placed {
	all := make([]Placed, len(j.Labels))
	for i := range j.Labels {
		page, place := j.Stock.at(i, j.Start)
		all[i] = Placed{Page: page + 1, Place: place + 1}
	}
	return all
}

// at is the page of label i of a job that starts at place start (from 1; 0 is 1), and
// the label's place on it, both counted from 0.
func (s Stock) at(i, start int) (page, place int) {
	i += max(start, 1) - 1
	return i / s.Places(), i % s.Places()
}

// Sheets are the job's labels on their places.
func (j *Job) Sheets() (*Sheets, error) {
	s, err := sheetsOf(len(j.Labels), func(i int) *label.Label { return j.Labels[i].Label() }, func(l *label.Label) string { return l.QR },
		setLabel, j.Stock, 1, j.Start)
	if err != nil {
		return nil, err
	}
	for _, l := range j.Labels {
		if ink := j.Stock.signal(l.Danger); j.Stock.Color == assess.Spot && spotNumber(s.signals, ink) == 0 {
			s.signals = append(s.signals, ink)
		}
	}
	if j.Progress != nil {
		s.drawn = func(pages int) {
			j.Progress(min(pages*j.Stock.Places()-max(j.Start, 1)+1, len(j.Labels)), len(j.Labels))
		}
	}
	return s, nil
}

// Sheets are the sheets of a job. Each is drawn when [PDF.Sheets] writes it, so that not
// many of them are in memory.
type Sheets struct {
	N int

	page    func(i int) (Page, error) // sheet i, from 0; on several cores at a time
	written func(*Page)               // takes back what page made; nil where others have it
	signals []Spot                    // the spot colors that they may use
	drawn   func(pages int)           // called after each; nil for nobody
	facts   jobFacts                  // of those that were drawn
}

// drawing draws labels of one kind.
type drawing[T any] struct {
	n     int
	label func(i int) T
	link  func(T) string
	draw  func(T, Stock, *Matrix, *memory) (*Drawing, error)
	lines sync.Pool // of *memory: what was set on some label is set on many others
	used  sync.Pool // of *Drawing, in the PDF already: most of the memory for a label is its operations
}

// one draws label i. A text that cannot be encoded has no code, which is then what does not
// fit.
func (d *drawing[T]) one(i int, stock Stock) (*Drawing, error) {
	lines, _ := d.lines.Get().(*memory)
	if lines == nil {
		lines = new(memory)
	}
	defer d.lines.Put(lines)
	if was, _ := d.used.Get().(*Drawing); was != nil {
		lines.ops = was.Ops
	}
	l := d.label(i)
	code, _ := newMatrix(d.link(l))
	return d.draw(l, stock, code, lines)
}

// sheetsOf places n labels of one kind on sheets of stock from place start on (from 1; 0 is
// 1): on each place as many as stay legible, up to a number of strips. The errors of labels
// that do not fit have the smallest built-in stock that holds each.
func sheetsOf[T any](n int, at func(i int) T, link func(T) string, draw func(T, Stock, *Matrix, *memory) (*Drawing, error),
	stock Stock, strips, start int) (*Sheets, error) {
	if start < 0 || start > stock.Places() {
		return nil, fmt.Errorf("stock %s has places 1 to %d, not %d", stock.Name, stock.Places(), start)
	}
	d := &drawing[T]{n: n, label: at, link: link, draw: draw}
	for strips > 1 && !d.fit(StripStock(stock, strips)) {
		strips--
	}
	strip, first := StripStock(stock, strips), max(start, 1)-1 // the places before are used
	places := (n + strips - 1) / strips
	return &Sheets{
		N: (first + places + stock.Places() - 1) / stock.Places(),
		page: func(sheet int) (Page, error) {
			from := (sheet*stock.Places() - first) * strips
			var drawings []*Drawing
			var errs []error
			for i := max(from, 0); i < min(from+stock.Places()*strips, n); i++ {
				drawn, err := d.one(i, strip)
				if err != nil {
					fitOn(stock, err, func(s Stock) error {
						_, err := d.one(i, s)
						return err
					})
					errs = append(errs, err)
				}
				drawings = append(drawings, drawn)
			}
			if errs != nil {
				return Page{}, errors.Join(errs...)
			}
			page := stock.page()
			page.place(drawings, stock, max(first-sheet*stock.Places(), 0), strips)
			return page, nil
		},
		written: func(p *Page) {
			for _, at := range p.Drawings {
				d.used.Put(at.Drawing)
			}
		},
	}, nil
}

// fit reports whether all labels fit on strips.
func (d *drawing[T]) fit(strip Stock) bool {
	fits := true
	inOrder(d.n, func() func(int) error {
		return func(i int) error {
			_, err := d.one(i, strip)
			return err
		}
	}, func(_ int, err error) { fits = fits && err == nil })
	return fits
}
