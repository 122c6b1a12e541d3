package press

import (
	"fmt"
	"strings"

	"vouchmark/label/report"
	"vouchmark/layout"
)

// Summary is what a print made and what it did not.
type Summary struct {
	File    string      `json:"file"`
	Stock   string      `json:"stock"`
	Sheets  int         `json:"sheets"`
	Warning int         `json:"warning"`
	Danger  int         `json:"danger"`
	Labels  []LabelMade `json:"labels"`
	Refused []Refusal   `json:"not_printed"`
}

// LabelMade says where a label stands in the job.
type LabelMade struct {
	ID    string `json:"id"`
	Code  string `json:"code"`
	Sheet int    `json:"sheet"`
	Place int    `json:"place"`
}

// Summary sums up the plan as printed into a file.
func (p *Plan) Summary(file string, stock layout.Stock, start int) Summary {
	j := p.job(stock, start)
	s := Summary{File: file, Stock: stock.Name, Sheets: j.Pages(), Labels: []LabelMade{}, Refused: append([]Refusal{}, p.Refused...)}
	for i, at := range j.Placed() {
		s.Labels = append(s.Labels, LabelMade{at.ID, at.Code, at.Page, at.Place})
		if p.Items[i].Label.Danger {
			s.Danger++
		} else {
			s.Warning++
		}
	}
	return s
}

// String says it in plain sentences.
func (s Summary) String() string {
	var b strings.Builder
	n := len(s.Labels)
	if n == 0 {
		b.WriteString("nothing was printed\n")
	} else {
		fmt.Fprintf(&b, "%s: %s on %s of stock %s (%d WARNING, %d DANGER); print at 100 %%, no scaling\n",
			s.File, report.Plural(n, "label"), report.Plural(s.Sheets, "sheet"), s.Stock, s.Warning, s.Danger)
	}
	if len(s.Refused) > 0 {
		fmt.Fprintf(&b, "not printed (%d):\n", len(s.Refused))
		for i, r := range s.Refused {
			fmt.Fprintf(&b, "  %s: %s\n", r.ID, r.Why)
			if i+1 == len(s.Refused) || s.Refused[i+1].Do != r.Do { // what clears several is said once, below the last
				fmt.Fprintf(&b, "    -> %s\n", r.Do)
			}
		}
	}
	return b.String()
}
