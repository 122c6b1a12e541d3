package press

import (
	"bytes"
	"errors"
	"fmt"
	"io"
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
	// File is where the PDF goes: it is drawn into a temporary file next to its place.
	// If it is nil the PDF stays in memory.
	File *string

	Progress func(drawn, all int) // nil for nobody
}

// Output is one PDF of a print, nearly always the only one.
type Output struct {
	Suffix string // to the file's name, where there are several
	File   string // where it was written; "" where it stays in memory
	Items  []Item // in the order of their positions, copies one after the other
	Placed []layout.Placed
	Sheets int
	Proof  bool   // there is a proof page behind them
	PDF    []byte // where it stays in memory

	ready *record.Pending // the file, not yet in its place
}

// Discard drops the files that are not in their places.
func Discard(outputs []Output) {
	for i := range outputs {
		if f := outputs[i].ready; f != nil {
			f.Discard()
		}
	}
}

// Path is the output's file name; file is the name that was asked for.
func (o *Output) Path(file string) string {
	if o.Suffix == "" {
		return file
	}
	ext := filepath.Ext(file)
	return strings.TrimSuffix(file, ext) + "-" + o.Suffix + ext
}

// Print draws the plan; [Carry] or [Show] moves what it wrote into place, or else
// [Discard] drops it. A label that does not fit on the stock is refused, and
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
		refused = append(refused, Refusal{ID: m.ID, Do: elsewhere(m), FitsOn: m.FitsOn,
			Why: fmt.Sprintf("does not fit on %s in legible letters: %s", m.Stock, why)})
	}
	p.Refused = append(p.Refused, refused...)
}

// elsewhere is the remedy for a label that does not fit on its stock.
func elsewhere(m *layout.FitError) string {
	if m.FitsOn == "" {
		return "it fits on no built-in stock: shorten these texts, or describe a larger stock in site.toml"
	}
	do := fmt.Sprintf("it fits on %s: --stock %s", m.FitsOn, m.FitsOn)
	if m.Field != "languages" {
		do += "; or shorten these texts"
	}
	return do
}

func (p *Plan) draw(o Options) (outputs []Output, err error) {
	defer func() {
		if err != nil {
			Discard(outputs)
			outputs = nil
		}
	}()
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
		if err := p.write(&out, o); err != nil {
			return outputs, err
		}
		outputs = append(outputs, out)
	}
	return outputs, nil
}

// write draws one output into its file, or into memory.
func (p *Plan) write(out *Output, o Options) error {
	if o.File == nil {
		var pdf bytes.Buffer
		err := p.fill(&pdf, out, o)
		out.PDF = pdf.Bytes()
		return err
	}
	out.File = out.Path(*o.File)
	var err error
	out.ready, err = record.PreparePDFFrom(out.File, func(w io.Writer) error { return p.fill(w, out, o) })
	if unwritten := new(record.WriteError); errors.As(err, &unwritten) {
		what := "printed"
		if out.Items[0].preview() {
			what = "written"
		}
		return fmt.Errorf("%w; nothing was %s", err, what)
	}
	return err
}

// suffix is the suffix of the PDF that an item goes into.
func (p *Plan) suffix(i Item, s layout.Stock) string {
	switch {
	case p.Thing != Labels || !s.Preprinted:
		return ""
	case i.danger():
		return "danger"
	}
	return "warning"
}

// fill draws one output.
func (p *Plan) fill(to io.Writer, out *Output, o Options) error {
	var sheets *layout.Sheets
	var err error
	document := layout.Document{Date: newest(p.Items), Condition: o.Stock.Condition}
	switch p.Thing {
	case Markings:
		all := each(out.Items, func(i Item) *label.Marking { return i.Marking })
		document.Title, document.Language = "Available fault current markings", all[0].Words[0].Language
		sheets, err = layout.MarkingSheets(all, o.Stock, o.Start)
	case Overlays:
		all := each(out.Items, func(i Item) *label.Overlay { return i.Overlay })
		document.Title, document.Language = "Overlays", all[0].Words[0].Language
		sheets, err = layout.OverlaySheets(all, o.Stock, o.Start)
	default:
		job := &layout.Job{Stock: o.Stock, Start: o.Start, Progress: o.Progress}
		for k := range out.Items {
			i := &out.Items[k]
			job.Labels = append(job.Labels, layout.Entry{Danger: i.danger(), Label: i.Label})
		}
		document.Title, document.Language = "Arc-flash labels", out.Items[0].look.Languages[0]
		out.Placed = job.Placed()
		sheets, err = job.Sheets()
	}
	if err != nil {
		return err
	}
	pdf := layout.NewPDF(to, document)
	if err := pdf.Sheets(sheets); err != nil {
		return err
	}
	out.Sheets = sheets.N
	var slip []layout.Page
	if o.Slip != nil {
		slip = slipOf(out, o)
		pdf.Pages(slip)
	}
	if o.Proof != nil {
		proof, err := layout.ProofPages(&layout.Proof{Words: o.Proof, Stock: o.Stock}, sheets, slip)
		if err != nil {
			return err
		}
		pdf.Pages(proof)
		out.Proof = true
	}
	return pdf.Finish()
}

// each picks what is printed from the items.
func each[T any](items []Item, of func(Item) T) []T {
	all := make([]T, len(items))
	for i := range items {
		all[i] = of(items[i])
	}
	return all
}

// Show moves previews into their places, and writes nothing to the ledger.
func Show(outputs []Output) error {
	for i := range outputs {
		if err := outputs[i].ready.Commit(); err != nil {
			return err
		}
	}
	return nil
}

// Carry enters a job in the ledger and moves its outputs into their places; where
// they have no files the caller takes them from memory. Without any output nothing
// is written. job need not name its sheets.
func Carry(s *record.Store, job record.Job, outputs []Output) error {
	if len(outputs) == 0 {
		return nil
	}
	var files []*record.Pending
	for n := range outputs {
		o := &outputs[n]
		for _, i := range o.Items {
			job.Sheet = append(job.Sheet, record.Sheet{Record: i.Record, Code: i.Code, Strip: i.interim()})
		}
		if o.ready != nil {
			files = append(files, o.ready)
		}
	}
	return s.Carry(job, files...)
}
