package commands

import (
	"errors"
	"fmt"
	"io"
	"strings"

	"github.com/spf13/pflag"

	"vouchmark/assess"
	"vouchmark/label"
	"vouchmark/label/basis"
	"vouchmark/label/record"
	"vouchmark/label/report"
	"vouchmark/layout"
	"vouchmark/layout/press"
)

// job are the flags that print and reprint share.
type job struct {
	stock, out, by, applied, reason, interim string
	start, copies                            int
	slip                                     bool
}

func (j *job) flags(fs *pflag.FlagSet, out string) {
	fs.StringVar(&j.stock, "stock", "", "what to print on: a [[stock]] of site.toml, or "+strings.Join(layout.StockNames(), ", ")+" (default: the first [[stock]], else 4x4)")
	fs.StringVar(&j.out, "out", out, "the PDF to write")
	fs.IntVar(&j.start, "start", 1, "first free place of a partly used sheet")
	fs.IntVar(&j.copies, "copies", 1, "how many of each")
	fs.StringVar(&j.by, "by", "", "who prints, for the ledger (default: by in site.toml, else the account)")
	fs.StringVar(&j.interim, "interim", "", "print what has lapsed or is in question too, with a visible strip; say why, for the ledger")
	fs.StringVar(&j.applied, "applied", "", "the date on which the labels are mounted (default: a blank box)")
}

// look is how labels are presented.
func (j *job) look(p *assess.Policy, f folder) (press.Look, error) {
	if j.interim != "" && strings.TrimSpace(j.interim) == "" {
		return press.Look{}, &usageError{"--interim: say why the labels are printed all the same"}
	}
	if err := errors.Join(said("interim", &j.interim, record.LongestReason), said("reason", &j.reason, record.LongestReason), said("by", &j.by, record.LongestName)); err != nil {
		return press.Look{}, err
	}
	if j.applied != "" {
		if _, err := assess.ParseDate(j.applied); err != nil {
			return press.Look{}, &usageError{"--applied: " + err.Error()}
		}
	}
	return press.Look{Presentation: label.Presentation{Link: p.Link, Catalogue: f.catalogue, Languages: p.Languages, Applied: j.applied}, Interim: j.interim, Ask: p.Ask}, nil
}

// carry draws a plan, then stores and writes it, and says what was made.
func (j *job) carry(e *Env, plan *press.Plan, kind record.Kind, whole bool, p *assess.Policy) error {
	stock, err := layout.Choose(j.stock, p.Stocks)
	if err != nil {
		return &usageError{"--stock: " + err.Error()}
	}
	if j.start < 1 || j.start > stock.Places() || j.copies < 1 || j.copies > 999 {
		return &usageError{fmt.Sprintf("stock %s has the places 1 to %d for --start, not %d; --copies is from 1 to 999", stock.Name, stock.Places(), j.start)}
	}
	o := press.Options{Stock: stock, Start: j.start, Copies: j.copies, Progress: e.Progress}
	if j.slip {
		l, err := record.Open(e.site).Ledger()
		if err != nil {
			return err
		}
		o.Slip = &press.Slip{Site: p.Name, Date: e.today.String(), By: printer(j.by, p.By), ChainHead: l.Head(), Paper: press.PaperOf(p)}
	}
	outputs, err := plan.Print(o)
	if err != nil {
		return err
	}
	if whole && len(plan.Refused) > 0 {
		outputs = nil
	}
	if err := press.Carry(record.Open(e.site), j.told(e, kind, plan, stock, p), outputs, j.out); err != nil {
		return err
	}
	made := plan.Summary(j.out, stock, outputs)
	if e.json {
		err = report.WriteJSON(e.Stdout, made)
	} else {
		_, err = io.WriteString(e.Stdout, made.String())
	}
	if err == nil && len(plan.Refused) > 0 {
		err = errSilent
	}
	return err
}

// told is the job as the ledger tells it.
func (j *job) told(e *Env, kind record.Kind, plan *press.Plan, stock layout.Stock, p *assess.Policy) record.Job {
	return record.Job{Kind: kind, Date: e.today, Thing: string(plan.Thing), Stock: stock.Name, Reason: j.reason, Interim: j.interim, By: printer(j.by, p.By), Tool: version()}
}

// Print is the command of that name.
func Print(fs *pflag.FlagSet) func(*Env, []string) error {
	var j job
	j.flags(fs, "labels.pdf")
	only := fs.StringArray("only", nil, "print these ids alone; repeat it, or part them by commas")
	kind := fs.String("kind", "label", "what to print: label, fault (available fault current markings) or overlay (strips over labels that do not hold)")
	fs.BoolVar(&j.slip, "slip", false, "add a job slip behind the labels")
	whole := fs.Bool("all-or-none", false, "print nothing if any label is refused")
	return func(e *Env, _ []string) error {
		v, f, err := e.view()
		if err != nil {
			return err
		}
		look, err := j.look(&v.Site.Policy, f)
		if err != nil {
			return err
		}
		ids := v.IDs(*only)
		if fs.Changed("only") && len(ids) == 0 {
			return &usageError{"--only names no id; leave it out to print all"}
		}
		var plan *press.Plan
		switch *kind {
		case "label":
			plan, err = press.New(v, ids, look)
		case "fault":
			plan, err = press.NewMarkings(v, ids, look)
		case "overlay":
			plan, err = press.NewOverlays(v, ids, look)
		default:
			err = &usageError{fmt.Sprintf("--kind: %q is not label, fault or overlay", *kind)}
		}
		if err != nil {
			return err
		}
		return j.carry(e, plan, record.Print, *whole, &v.Site.Policy)
	}
}

// Reprint is the command of that name.
func Reprint(fs *pflag.FlagSet) func(*Env, []string) error {
	var j job
	j.flags(fs, "label.pdf")
	fs.StringVar(&j.reason, "reason", "", "why it is printed again, for the ledger")
	return func(e *Env, args []string) error {
		v, f, err := e.view()
		if err != nil {
			return err
		}
		look, err := j.look(&v.Site.Policy, f)
		if err != nil {
			return err
		}
		b, err := basis.NewShelf(v, record.Open(e.site)).Find(args[0])
		if err != nil {
			return err
		}
		return j.carry(e, press.Again(b, look), record.Reprint, true, &v.Site.Policy)
	}
}
