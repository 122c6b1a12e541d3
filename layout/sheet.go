package layout

import (
	"errors"
	"fmt"

	"vouchmark/label"
)

// Job is the labels that are printed into one document.
type Job struct {
	Stock  Stock
	Labels []*label.Label // in the order of printing
	Start  int            // first place to use on the first sheet, from 1; 0 is 1

	// Progress is told how many labels of all are drawn; nil for nobody.
	Progress func(drawn, all int)
}

// Placed says where a label of a job stands.
type Placed struct {
	ID, Code string
	Page     int // from 1
	Place    int // on the page, from 1
}

// Placed lists where each label of the job stands, in order.
func (j *Job) Placed() []Placed {
	all := make([]Placed, len(j.Labels))
	for i, l := range j.Labels {
		page, place := j.Stock.at(i, j.Start)
		all[i] = Placed{ID: l.ID, Code: l.Code, Page: page + 1, Place: place + 1}
	}
	return all
}

// at is the page of label i of a job that begins at place start (from 1; 0 is
// 1), and the label's place on it, both counted from 0.
func (s Stock) at(i, start int) (page, place int) {
	i += max(start, 1) - 1
	return i / s.Places(), i % s.Places()
}

// Sheets are the job's labels, drawn and placed. Where some do not fit, the
// error holds a [FitError] for each text of each of them.
func (j *Job) Sheets() ([]Page, error) {
	drawn := 0
	draw := func(l *label.Label, code *Matrix) (*Drawing, error) {
		d, err := Draw(l, j.Stock, code)
		if drawn++; j.Progress != nil {
			j.Progress(drawn, len(j.Labels))
		}
		return d, err
	}
	return sheets(j.Labels, func(l *label.Label) string { return l.QR }, draw, j.Stock, j.Start)
}

// sheets draws labels of one kind, and places them on sheets of stock from
// place start on (from 1; 0 is 1). The error holds those of all labels.
func sheets[T any](labels []T, link func(T) string, draw func(T, *Matrix) (*Drawing, error),
	stock Stock, start int) ([]Page, error) {
	if err := stock.starts(start); err != nil {
		return nil, err
	}
	drawings, err := drawAll(labels, codesOf(labels, link), draw)
	if err != nil {
		return nil, err
	}
	return stripPages(drawings, stock, 1, start), nil
}

// codesOf encodes the links of labels of one kind; where one cannot be encoded
// its place is nil, and drawing reports it with the label's id.
func codesOf[T any](labels []T, link func(T) string) []*Matrix {
	texts := make([]string, len(labels))
	for i, l := range labels {
		texts[i] = link(l)
	}
	codes, _ := EncodeQR(texts)
	return codes
}

// drawAll draws labels of one kind, code i being that of label i.
func drawAll[T any](labels []T, codes []*Matrix, draw func(T, *Matrix) (*Drawing, error)) ([]*Drawing, error) {
	drawings := make([]*Drawing, len(labels))
	errs := make([]error, len(labels))
	for i, l := range labels {
		drawings[i], errs[i] = draw(l, codes[i])
	}
	return drawings, errors.Join(errs...)
}

// starts reports a first place, from 1, that a page of the stock does not have; 0 is 1.
func (s Stock) starts(at int) error {
	if at < 0 || at > s.Places() {
		return fmt.Errorf("stock %s has places 1 to %d, not %d", s.Name, s.Places(), at)
	}
	return nil
}
