package press

import (
	"fmt"
	"path/filepath"
	"slices"
	"strings"

	"vouchmark/label"
	"vouchmark/label/record"
	"vouchmark/layout"
)

// Options are how a plan is printed.
type Options struct {
	Stock  layout.Stock
	Start  int // first free place of a partly used sheet, from 1
	Copies int // of each; 0 is 1
	// Slip is what the slip says besides the job itself; nil for no slip.
	Slip *layout.Slip
	// Proof words the proof page behind all others; nil for no proof.
	Proof *label.Proof

	Progress func(drawn, all int) // nil for nobody
}

// Output is one PDF of a print, nearly always the only one.
type Output struct {
	Suffix string // to the file's name, where there are several
	File   string // where it was written; "" where it stays in memory
	Items  []Item // in the order of their positions, copies one after the other
	Placed []layout.Placed
	Sheets int
	Proof  bool // there is a proof page behind them
	PDF    []byte
}

// Path is the output's file name; file is the name that was asked for.
func (o *Output) Path(file string) string {
	if o.Suffix == "" {
		return file
	}
	ext := filepath.Ext(file)
	return strings.TrimSuffix(file, ext) + "-" + o.Suffix + ext
}

// Print draws the plan. A label that does not fit on the stock is refused, and
// the rest is drawn without it. On preprinted stock the job is split by signal
// word, one PDF for each kind of panel.
func (p *Plan) Print(o Options) ([]Output, error) {
	for {
		outputs, err := p.draw(o)
		misfits := layout.Misfits(err)
		if misfits == nil {
			return outputs, err
		}
		p.refuse(misfits)
	}
}

func (p *Plan) refuse(misfits []*layout.FitError) {
	var refused []Refusal
	for _, m := range misfits {
		p.Items = slices.DeleteFunc(p.Items, func(i Item) bool { return i.Record.Location.ID == m.ID })
		why := fmt.Sprintf("%s: %s", m.Field, m.Why)
		if n := len(refused); n > 0 && refused[n-1].ID == m.ID {
			refused[n-1].Why += "; " + why
			continue
		}
		refused = append(refused, Refusal{m.ID, why, "shorten these texts, or use another stock"})
	}
	p.Refused = append(p.Refused, refused...)
}

func (p *Plan) draw(o Options) ([]Output, error) {
	var outputs []Output
	for _, suffix := range []string{"", "warning", "danger"} {
		out := Output{Suffix: suffix}
		for _, i := range p.Items {
			if p.suffix(i, o.Stock) == suffix {
				out.Items = append(out.Items, slices.Repeat([]Item{i}, max(o.Copies, 1))...)
			}
		}
		if len(out.Items) == 0 {
			continue
		}
		if err := p.fill(&out, o); err != nil {
			return nil, err
		}
		outputs = append(outputs, out)
	}
	return outputs, nil
}

// suffix is the suffix of the PDF that an item goes into.
func (p *Plan) suffix(i Item, s layout.Stock) string {
	switch {
	case p.Thing != Labels || !s.Preprinted:
		return ""
	case i.Label.Danger:
		return "danger"
	}
	return "warning"
}

// fill draws one output.
func (p *Plan) fill(out *Output, o Options) error {
	var pages []layout.Page
	var err error
	document := layout.Document{Date: newest(p.Items), Condition: o.Stock.Condition}
	switch p.Thing {
	case Markings:
		all := each(out.Items, func(i Item) *label.Marking { return i.Marking })
		document.Title, document.Language = "Available fault current markings", all[0].Words[0].Language
		pages, err = layout.MarkingPages(all, o.Stock, o.Start)
	case Overlays:
		all := each(out.Items, func(i Item) *label.Overlay { return i.Overlay })
		document.Title, document.Language = "Overlays", all[0].Words[0].Language
		pages, err = layout.OverlayPages(all, o.Stock, o.Start)
	default:
		job := &layout.Job{Stock: o.Stock, Start: o.Start, Progress: o.Progress}
		job.Labels = each(out.Items, func(i Item) *label.Label { return i.Label })
		document.Title, document.Language = "Arc-flash labels", job.Labels[0].Words[0].Language
		out.Placed = job.Placed()
		pages, err = job.Sheets()
	}
	if err != nil {
		return err
	}
	out.Sheets = len(pages)
	if o.Slip != nil {
		pages = append(pages, slipOf(out, o)...)
	}
	if o.Proof != nil {
		proof, err := layout.ProofPages(&layout.Proof{Words: o.Proof, Stock: o.Stock}, pages[:out.Sheets], pages[out.Sheets:])
		if err != nil {
			return err
		}
		pages, out.Proof = append(pages, proof...), true
	}
	out.PDF, err = layout.WritePages(document, pages)
	return err
}

// each picks what is printed from the items.
func each[T any](items []Item, of func(Item) T) []T {
	all := make([]T, len(items))
	for i := range items {
		all[i] = of(items[i])
	}
	return all
}

// Show writes previews: outputs to their files, and nothing to the ledger.
func Show(outputs []Output, file string) error {
	var files []*record.Pending
	for n := range outputs {
		o := &outputs[n]
		o.File = o.Path(file)
		f, err := record.PreparePDF(o.File, o.PDF)
		if err != nil {
			return fmt.Errorf("%w; nothing was written", err)
		}
		defer f.Discard()
		files = append(files, f)
	}
	for _, f := range files {
		if err := f.Commit(); err != nil {
			return err
		}
	}
	return nil
}

// Carry enters a job in the ledger and writes its outputs to their files;
// without a file the caller takes them from memory. Without any output nothing
// is written. job need not name its sheets.
func Carry(s *record.Store, job record.Job, outputs []Output, file *string) error {
	if len(outputs) == 0 {
		return nil
	}
	var files []*record.Pending
	for n := range outputs {
		o := &outputs[n]
		for _, i := range o.Items {
			job.Sheet = append(job.Sheet, record.Sheet{Record: i.Record, Strip: i.interim()})
		}
		if file == nil {
			continue
		}
		o.File = o.Path(*file)
		f, err := record.PreparePDF(o.File, o.PDF)
		if err != nil {
			return fmt.Errorf("%w; nothing was printed", err)
		}
		defer f.Discard()
		files = append(files, f)
	}
	return s.Carry(job, files...)
}
