package layout

import (
	"errors"
	"fmt"
	"time"

	"vouchmark/label"
)

// Job is what is printed into one document.
type Job struct {
	Stock  Stock
	Labels []*label.Label // in the order of printing
	Start  int            // first place to use on the first sheet, from 1; 0 is 1
	Date   time.Time      // newest study date of the labels: the only date in the document
	Title  string

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
		at := i + max(j.Start, 1) - 1
		all[i] = Placed{ID: l.ID, Code: l.Code, Page: at/j.Stock.Places() + 1, Place: at%j.Stock.Places() + 1}
	}
	return all
}

// Pages is how many sheets the job takes.
func (j *Job) Pages() int {
	if len(j.Labels) == 0 {
		return 0
	}
	return (len(j.Labels)+max(j.Start, 1)-2)/j.Stock.Places() + 1
}

// Sheets are the job's labels, drawn and placed.
func (j *Job) Sheets() ([]Page, error) {
	drawings, err := j.Drawings()
	if err != nil {
		return nil, err
	}
	return j.pages(drawings), nil
}

// Drawings draws every label of the job. Where some do not fit, the error
// holds a [FitError] for each text of each of them.
func (j *Job) Drawings() ([]*Drawing, error) {
	if err := j.Stock.validate(); err != nil {
		return nil, err
	}
	if j.Start < 0 || j.Start > j.Stock.Places() {
		return nil, fmt.Errorf("stock %s has places 1 to %d, not %d", j.Stock.Name, j.Stock.Places(), j.Start)
	}
	texts := make([]string, len(j.Labels))
	for i, l := range j.Labels {
		texts[i] = l.QR
	}
	codes, err := EncodeQR(texts)
	var errs []error
	if err != nil {
		for i, l := range j.Labels {
			if codes[i] == nil {
				errs = append(errs, &FitError{ID: l.ID, Field: "QR code", Text: l.QR, Why: "is empty, or more than a code can hold"})
			}
		}
		return nil, errors.Join(errs...)
	}
	drawings := make([]*Drawing, len(j.Labels))
	for i, l := range j.Labels {
		d, err := Draw(l, j.Stock, codes[i])
		if err != nil {
			errs = append(errs, err)
		}
		drawings[i] = d
		if j.Progress != nil {
			j.Progress(i+1, len(j.Labels))
		}
	}
	if len(errs) > 0 {
		return nil, errors.Join(errs...)
	}
	return drawings, nil
}
