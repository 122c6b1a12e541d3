package layout

import "vouchmark/label"

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
		at := i + max(j.Start, 1) - 1
		all[i] = Placed{ID: l.ID, Code: l.Code, Page: at/j.Stock.Places() + 1, Place: at%j.Stock.Places() + 1}
	}
	return all
}

// Sheets are the job's labels, drawn and placed.
func (j *Job) Sheets() ([]Page, error) {
	drawings, err := j.Drawings()
	if err != nil {
		return nil, err
	}
	return stripPages(drawings, j.Stock, 1, max(j.Start, 1)-1), nil
}

// Drawings draws every label of the job. Where some do not fit, the error
// holds a [FitError] for each text of each of them.
func (j *Job) Drawings() ([]*Drawing, error) {
	if err := j.Stock.validate(); err != nil {
		return nil, err
	}
	if err := j.Stock.starts(j.Start); err != nil {
		return nil, err
	}
	drawn := 0
	codes := codesOf(j.Labels, func(l *label.Label) string { return l.QR })
	drawings, err := drawAll(j.Labels, codes, func(l *label.Label, code *Matrix) (*Drawing, error) {
		d, err := Draw(l, j.Stock, code)
		if drawn++; j.Progress != nil {
			j.Progress(drawn, len(j.Labels))
		}
		return d, err
	})
	if err != nil {
		return nil, err
	}
	return drawings, nil
}
