package commands

import (
	"fmt"

	"github.com/spf13/pflag"

	"vouchmark/assess"
	"vouchmark/label/record"
	"vouchmark/layout"
	"vouchmark/layout/press"
)

// page are the flags of a page for reading.
type page struct{ paper, out string }

func (g *page) flags(fs *pflag.FlagSet, out string) {
	fs.StringVar(&g.paper, "paper", "", "letter or a4 (default: letter, a4 where the site's units are si)")
	fs.StringVar(&g.out, "out", out, "the PDF to write")
}

// on is the paper that was asked for, or is usual under a policy; nil for none.
func (g *page) on(p *assess.Policy) (layout.Paper, error) {
	if g.paper == "" {
		return press.PaperOf(p), nil
	}
	paper, err := layout.PaperNamed(g.paper)
	if err != nil {
		return paper, &usageError{"--paper: " + err.Error()}
	}
	return paper, nil
}

// write writes the page, and tells that it did.
func (g *page) write(e *Env, pdf []byte, told any) error {
	f, err := record.PreparePDF(g.out, pdf)
	if err != nil {
		return fmt.Errorf("%w; nothing was written", err)
	}
	if err := f.Commit(); err != nil {
		return err
	}
	return e.tell(told, "%s: print at 100 %%, no scaling\n", g.out)
}

// Guide is the command of that name.
func Guide(fs *pflag.FlagSet) func(*Env, []string) error {
	var g page
	g.flags(fs, "guide.pdf")
	return func(e *Env, _ []string) error {
		v, f, err := e.view()
		if err != nil {
			return err
		}
		paper, err := g.on(&v.Site.Policy)
		if err != nil {
			return err
		}
		pdf, err := press.GuidePDF(v, paper, f.look(&v.Site.Policy))
		if err != nil {
			return err
		}
		return g.write(e, pdf, map[string]string{"file": g.out})
	}
}

// Walk is the command of that name.
func Walk(fs *pflag.FlagSet) func(*Env, []string) error {
	var g page
	g.flags(fs, "walk.pdf")
	return func(e *Env, _ []string) error {
		v, _, err := e.view()
		if err != nil {
			return err
		}
		paper, err := g.on(&v.Site.Policy)
		if err != nil {
			return err
		}
		rows := press.NewWalk(v)
		pdf, err := press.WalkPDF(rows, v, paper)
		if err != nil {
			return err
		}
		return g.write(e, pdf, map[string]any{"file": g.out, "rows": rows})
	}
}
