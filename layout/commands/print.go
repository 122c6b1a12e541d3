package commands

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"github.com/spf13/pflag"

	"vouchmark/assess"
	"vouchmark/assess/near"
	"vouchmark/label/basis"
	"vouchmark/label/plant"
	"vouchmark/label/record"
	"vouchmark/layout"
	"vouchmark/layout/press"
)

// job is what print and reprint are to do, from flags or from a form.
type job struct {
	kind                                record.Kind
	out                                 *string // the PDF to write; nil where a browser takes it
	stock, by, applied, reason, interim string
	start, copies                       int
	slip, proof                         bool
	of                                  []string // the labels it is about; nil for the whole site
	whole                               bool     // nothing where anything is refused
	preview                             bool     // drawn and marked as such, and nothing stored
}

func (j *job) flags(fs *pflag.FlagSet, out, interim string) {
	fs.StringVar(&j.stock, "stock", "", "`STOCK` the label stock: a [[stock]] of site.toml, or "+
		strings.Join(layout.StockNames(), ", ")+" (default: the first [[stock]], else 4x4)")
	j.out = fs.String("out", out, "`FILE` the PDF to write")
	fs.IntVar(&j.start, "start", 1, "`POSITION` the first free label position on a partly used sheet")
	fs.IntVar(&j.copies, "copies", 1, "`NUMBER` how many copies of each")
	fs.StringVar(&j.by, "by", "", "`NAME` who prints, for the ledger (default: by in site.toml, else the login name)")
	fs.StringVar(&j.interim, "interim", "",
		"`REASON` "+interim)
	fs.StringVar(&j.applied, "applied", "", "`DATE` the mounting date to print in the labels' box \"installed\" (default: a blank box)")
}

// check checks the texts of a job, and makes one line of each.
func (j *job) check() error {
	if j.interim != "" && strings.TrimSpace(j.interim) == "" {
		return &usageError{text: "--interim: say why the labels are printed although they do not hold"}
	}
	err := errors.Join(
		said("interim", &j.interim, record.LongestReason),
		said("reason", &j.reason, record.LongestReason),
		said("by", &j.by, record.LongestName),
	)
	if err == nil && j.applied != "" {
		_, err = assess.ParseDate(j.applied)
		err = wrongFlag("applied", err)
	}
	return err
}

// look says how the job's labels are drawn.
func (j *job) look(f folder, p *assess.Policy) press.Look {
	look := f.look(p)
	look.Applied, look.Interim, look.Preview = j.applied, j.interim, j.preview
	return look
}

// planner says what of a site is printed.
type planner func(v *plant.Plant, look press.Look) (*press.Plan, error)

// attempts is how often a print is planned whose site changes meanwhile.
const attempts = 3

// carry is the only way to a print: it reads the site, plans, draws, enters the
// job in the ledger, and writes the PDFs if the job has a file for them. If the site
// has changed by then, so that something else would be printed, it begins again.
func (j *job) carry(e *Env, plan planner) (made press.Summary, outputs []press.Output, err error) {
	for range attempts {
		if made, outputs, err = j.attempt(e, plan); !errors.Is(err, errOvertaken) {
			return made, outputs, err
		}
	}
	return press.Summary{}, nil, err
}

func (j *job) attempt(e *Env, plan planner) (made press.Summary, outputs []press.Output, err error) {
	go e.store().Ledger() // read ahead: the store keeps it
	before := stateOf(e.site)
	v, f, err := e.viewOf(j.of...)
	if err != nil {
		return made, nil, err
	}
	if err := j.check(); err != nil {
		return made, nil, err
	}
	policy := &v.Site.Policy
	if why := policy.Stopped(); why != "" && !j.preview {
		return made, nil, errors.New(why)
	}
	look := j.look(f, policy)
	p, err := plan(v, look)
	if err != nil {
		return made, nil, err
	}
	judged := judgment{before, v.History.Ledger.Head(), slices.Clone(p.Items), slices.Clone(p.Refused)}
	stock, err := layout.Choose(j.stock, policy.Stocks)
	if err != nil {
		return made, nil, wrongFlag("stock", err)
	}
	if j.start < 1 || j.start > stock.Places() || j.copies < 1 || j.copies > 999 {
		return made, nil, &usageError{text: fmt.Sprintf("--start: stock %s has label positions 1 to %d, not %d; "+
			"--copies: from 1 to 999", stock.Name, stock.Places(), j.start)}
	}
	store, by := e.store(), printer(j.by, policy.By)
	o := press.Options{Stock: stock, Start: j.start, Copies: j.copies, Progress: e.progress.of("drawing label")}
	if j.slip {
		l, err := store.Ledger()
		if err != nil {
			return made, nil, err
		}
		o.Slip = &layout.Slip{
			Words: look.Slip(), Site: policy.Name, Date: e.today.String(), By: by, ChainHead: l.Head(),
			Paper: press.PaperOf(policy),
		}
	}
	if j.proof {
		o.Proof = look.Proof()
	}
	o.File = j.out
	if outputs, err = p.Print(o); err != nil {
		return made, nil, err
	}
	defer press.Discard(outputs)
	if j.whole && len(p.Refused) > 0 {
		press.Discard(outputs)
		outputs = nil
	}
	if j.preview {
		err = press.Show(outputs)
		return p.Summary(stock, outputs), outputs, err
	}
	store.Progress = e.progress.of("storing record")
	err = press.Carry(store, record.Job{
		Kind: j.kind, Date: e.today, Thing: string(p.Thing), Stock: stock.Name,
		Reason: j.reason, Interim: j.interim, By: by, Tool: version(),
		Planned: v.History.Ledger,
		Judge:   func() error { return judged.holds(e, j, plan) },
	}, outputs)
	return p.Summary(stock, outputs), outputs, err
}

// run is carry for a command, which says what was made.
func (j *job) run(e *Env, plan planner) error {
	made, _, err := j.carry(e, plan)
	if err != nil {
		return err
	}
	return verdict(e.tell(made, "%s", made), len(made.Refused) == 0)
}

// Print is the command of that name.
func Print(fs *pflag.FlagSet) func(*Env, []string) error {
	j := job{kind: record.Print}
	j.flags(fs, "labels.pdf",
		"also print labels that have lapsed or are in question, with a visible INTERIM strip; say why, for the ledger")
	fs.Lookup("out").Usage = "`FILE` the PDF to write; markings go to markings.pdf, overlays to overlays.pdf"
	only := fs.StringArray("only", nil, "`IDS` print only these locations; repeatable, or separated by commas")
	area := fs.StringArray("area", nil, "`AREA` print only these areas, in any letter case; repeatable, or separated by commas")
	changed := fs.Bool("changed", false, "print only what is due: labels that differ from the last print, or were never printed")
	kind := fs.String("kind", "label", "`label|fault|overlay` what to print: labels, fault current markings, "+
		"or overlays (strips that cover mounted labels that do not hold)")
	fs.BoolVar(&j.slip, "slip", false, "add a job slip after the labels")
	fs.BoolVar(&j.proof, "proof", false, "add a proof page for a print shop at the end: each color, the smallest text, "+
		"a QR code and two rulers")
	fs.BoolVar(&j.whole, "all-or-none", false, "print nothing if any label is refused")
	fs.BoolVar(&j.preview, "preview", false, "draw each label with PREVIEW: NOT FOR USE across it and without a QR code; "+
		"nothing is stored (default file: preview.pdf)")
	return func(e *Env, _ []string) error {
		if err := j.previews(fs, *kind); err != nil {
			return err
		}
		return j.run(e, func(v *plant.Plant, look press.Look) (*press.Plan, error) {
			choice := press.Choice{IDs: v.IDs(*only), Areas: v.Areas(*area), Changed: *changed}
			if fs.Changed("only") && len(choice.IDs) == 0 {
				return nil, &usageError{text: "--only: name an id, or leave out --only to print all"}
			}
			if fs.Changed("area") && len(choice.Areas) == 0 {
				return nil, &usageError{text: "--area: name an area, or leave out --area to print all"}
			}
			switch *kind {
			case "label":
				return press.New(v, choice, look)
			case "fault":
				return press.NewMarkings(v, choice, look)
			case "overlay":
				return press.NewOverlays(v, choice, look)
			}
			return nil, &usageError{text: fmt.Sprintf("--kind: %q is not label, fault or overlay%s", *kind,
				near.Hint(*kind, []string{"label", "fault", "overlay"}))}
		})
	}
}

// previews sees to the flags of a preview: it is of labels alone, and like markings and
// overlays it goes into a file of its own.
func (j *job) previews(fs *pflag.FlagSet, kind string) error {
	if !j.preview {
		if file, own := map[string]string{"fault": "markings.pdf", "overlay": "overlays.pdf"}[kind]; own && !fs.Changed("out") {
			*j.out = file // so that it does not replace the labels
		}
		return nil
	}
	if kind != "label" || j.slip || j.interim != "" {
		return &usageError{text: "--preview is for labels only, without --slip or --interim"}
	}
	if !fs.Changed("out") {
		*j.out = "preview.pdf"
	}
	return nil
}

// Reprint is the command of that name.
func Reprint(fs *pflag.FlagSet) func(*Env, []string) error {
	j := job{kind: record.Reprint, whole: true}
	j.flags(fs, "label.pdf",
		"print the label although it has lapsed or is in question, with a visible INTERIM strip; say why, for the ledger")
	fs.StringVar(&j.reason, "reason", "", "`REASON` why the label is reprinted, for the ledger")
	return func(e *Env, args []string) error {
		j.of = args
		return j.run(e, e.again(func(s *basis.Shelf) (*basis.View, error) { return s.Find(args[0]) }))
	}
}

// again plans the label of the record that find finds.
func (e *Env) again(find func(*basis.Shelf) (*basis.View, error)) planner {
	return func(v *plant.Plant, look press.Look) (*press.Plan, error) {
		b, err := find(basis.NewShelf(v, e.store()))
		if err != nil {
			return nil, err
		}
		return press.Again(b, look), nil
	}
}
