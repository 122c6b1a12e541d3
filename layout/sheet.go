package layout

import (
	"errors"
	"fmt"

	"vouchmark/label"
)

// Job are the labels to print into one document.
type Job struct {
	Stock  Stock
	Labels []*label.Label // in the order of printing
	Start  int            // first place to use on the first sheet, from 1; 0 is 1

	// Progress is called with how many of all labels are drawn; it may be nil.
	Progress func(drawn, all int)
}

// Placed says where a label of a job is.
type Placed struct {
	ID, Code string
	Page     int // from 1
	Place    int // on the page, from 1
}

// Placed lists where each label of the job is, in order.
func (j *Job) Placed() []Placed {
	all := make([]Placed, len(j.Labels))
	for i, l := range j.Labels {
		page, place := j.Stock.at(i, j.Start)
		all[i] = Placed{ID: l.ID, Code: l.Code, Page: page + 1, Place: place + 1}
	}
	return all
}

// at is the page of label i of a job that starts at place start (from 1; 0 is 1), and
// the label's place on it, both counted from 0.
func (s Stock) at(i, start int) (page, place int) {
	i += max(start, 1) - 1
	return i / s.Places(), i % s.Places()
}

// Sheets are the job's labels, drawn and placed. If some do not fit, the error contains
// a [FitError] for each text of each of them.
func (j *Job) Sheets() ([]Page, error) {
	progress := func(drawn int) {
		if j.Progress != nil {
			j.Progress(drawn, len(j.Labels))
		}
	}
	return sheets(j.Labels, func(l *label.Label) string { return l.QR }, Draw, j.Stock, 1, j.Start, progress)
}

// sheets draws labels of one kind and places them on sheets of stock from place start
// on (from 1; 0 is 1): on each place as many as stay legible, up to a number of strips.
// progress is told how many were drawn. The error contains the errors of all labels, with
// the smallest built-in stock that holds each.
func sheets[T any](labels []T, link func(T) string, draw func(T, Stock, *Matrix) (*Drawing, error),
	stock Stock, strips, start int, progress func(drawn int)) ([]Page, error) {
	if start < 0 || start > stock.Places() {
		return nil, fmt.Errorf("stock %s has places 1 to %d, not %d", stock.Name, stock.Places(), start)
	}
	texts := make([]string, len(labels))
	for i, l := range labels {
		texts[i] = link(l)
	}
	codes, _ := EncodeQR(texts) // a text that cannot be encoded is reported where its label is drawn
	drawings, errs := make([]*Drawing, len(labels)), make([]error, len(labels))
	for n := strips; ; n-- {
		strip := StripStock(stock, n)
		for i, l := range labels {
			drawings[i], errs[i] = draw(l, strip, codes[i])
			progress(i + 1)
		}
		if err := errors.Join(errs...); err == nil {
			return stripPages(drawings, stock, n, start), nil
		} else if n == 1 {
			fitOn(stock, errs, func(i int, s Stock) error {
				_, err := draw(labels[i], s, codes[i])
				return err
			})
			return nil, err
		}
	}
}
