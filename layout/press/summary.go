package press

import (
	"fmt"
	"strings"

	"vouchmark/assess"
	"vouchmark/label/report"
	"vouchmark/layout"
)

// Summary says what a print made and what it did not.
type Summary struct {
	File    string   `json:"file"` // "" where nothing was made
	Files   []string `json:"files"`
	Stock   string   `json:"stock"`
	Sheets  int      `json:"sheets"`
	Warning int      `json:"warning"`
	Danger  int      `json:"danger"`
	Interim int      `json:"interim"`           // of them, with the strip
	Preview bool     `json:"preview,omitempty"` // nothing is stored, and no label may be used
	Proof   bool     `json:"proof,omitempty"`   // a proof page is behind the labels
	// PDFX is the version of PDF/X that the files claim, and OutputCondition the printing
	// condition in them; both are empty if the stock has no such condition.
	PDFX            string `json:"pdfx,omitempty"`
	OutputCondition string `json:"output_condition,omitempty"`

	Labels  []LabelMade `json:"labels"`
	Refused []Refusal   `json:"not_printed"`
	Nothing string      `json:"nothing,omitempty"` // that nothing is to be printed, and why; else ""
	// Problems repeats the refusals under the key that every failing command uses.
	Problems []map[string]string `json:"problems"`

	thing Thing
	color assess.Color
}

// LabelMade says where a label is in the job.
type LabelMade struct {
	ID    string `json:"id"`
	Code  string `json:"code"`
	File  string `json:"file"`
	Sheet int    `json:"sheet,omitempty"`
	Place int    `json:"place,omitempty"`
}

// Summary sums up what was printed of a plan.
func (p *Plan) Summary(stock layout.Stock, outputs []Output) Summary {
	s := Summary{
		Files: []string{}, Stock: stock.Name, Labels: []LabelMade{}, thing: p.Thing,
		Refused: append([]Refusal{}, p.Refused...), Problems: []map[string]string{}, color: stock.Color,
	}
	if len(outputs) > 0 && stock.Condition != "" {
		s.PDFX, s.OutputCondition = layout.PDFX, stock.Condition
	}
	for _, r := range s.Refused {
		s.Problems = append(s.Problems, map[string]string{"id": r.ID, "message": r.Why})
	}
	for _, o := range outputs {
		s.Files = append(s.Files, o.File)
		s.Sheets += o.Sheets
		s.Proof = s.Proof || o.Proof
		for i, item := range o.Items {
			made := LabelMade{ID: item.Record.Location.ID, Code: string(item.Code), File: o.File}
			if item.preview() {
				s.Preview, made.Code = true, "" // no record is behind it
			}
			if i < len(o.Placed) {
				made.Sheet, made.Place = o.Placed[i].Page, o.Placed[i].Place
			}
			s.Labels = append(s.Labels, made)
			if item.interim() {
				s.Interim++
			}
			switch {
			case item.look == nil:
			case item.danger():
				s.Danger++
			default:
				s.Warning++
			}
		}
	}
	if len(s.Files) > 0 {
		s.File = s.Files[0]
	}
	if len(s.Labels) == 0 && len(s.Refused) == 0 {
		s.Nothing = p.Nothing
	}
	return s
}

// String says it in plain sentences.
func (s Summary) String() string {
	var b strings.Builder
	n := len(s.Labels)
	sheets := report.Plural(s.Sheets, "sheet") + " of stock " + s.Stock
	files := strings.Join(s.Files, " and ")
	what, split := map[Thing]string{Labels: "label", Markings: "fault current marking", Overlays: "overlay"}[s.thing], ""
	if s.Preview {
		what = "preview"
	}
	if s.thing == Labels {
		split = fmt.Sprintf(" (%d WARNING, %d DANGER)", s.Warning, s.Danger)
	}
	switch {
	case s.Nothing != "":
		b.WriteString(s.Nothing + "\n")
	case n == 0 && s.thing == Overlays:
		b.WriteString("no overlay was printed\n")
	case n == 0:
		b.WriteString("nothing was printed\n")
	case s.Preview:
		fmt.Fprintf(&b, "%s: %s on %s%s; not for use, and nothing was stored\n", files, report.Plural(n, what), sheets, split)
	default:
		fmt.Fprintf(&b, "%s: %s on %s%s; print at 100 %%, no scaling\n", files, report.Plural(n, what), sheets, split)
	}
	b.WriteString(s.forPress())
	if s.Interim > 0 {
		fmt.Fprintf(&b, "%d of them INTERIM: printed although the label does not hold\n", s.Interim)
	}
	if len(s.Refused) > 0 {
		fmt.Fprintf(&b, "not printed (%d):\n", len(s.Refused))
		for i, r := range s.Refused {
			fmt.Fprintf(&b, "  %s: %s\n", r.ID, r.Why)
			if i+1 == len(s.Refused) || s.Refused[i+1].Do != r.Do { // a remedy for several is given once, below the last
				fmt.Fprintf(&b, "    -> %s\n", r.Do)
			}
		}
	}
	return b.String()
}

// forPress says whether the files are PDF/X: always where they are, and with a proof page
// also why they are not.
func (s Summary) forPress() string {
	switch {
	case s.PDFX != "":
		return fmt.Sprintf("%s for the printing condition %s\n", s.PDFX, s.OutputCondition)
	case !s.Proof:
		return ""
	case s.color == assess.Spot || s.color == assess.Process:
		return "not PDF/X: to make it PDF/X, describe the stock as a [[stock]] of site.toml with output_condition, " +
			"the printing condition that your print shop names\n"
	}
	return fmt.Sprintf("not PDF/X: stock %s is printed in %s; PDF/X requires spot or process colors\n", s.Stock, s.color)
}
