package commands

import (
	"fmt"

	"github.com/spf13/pflag"

	"vouchmark/assess"
	"vouchmark/label/plant"
	"vouchmark/label/record"
	"vouchmark/layout"
	"vouchmark/layout/press"
)

// paperFlag adds the flag for the paper. It returns the paper that was asked
// for, or the usual one of a policy; nil for none.
func paperFlag(fs *pflag.FlagSet) func(*assess.Policy) (layout.Paper, error) {
	name := fs.String("paper", "", "`letter|a4` the paper (default: letter, or a4 where the site's units are si)")
	return func(p *assess.Policy) (layout.Paper, error) {
		if *name == "" {
			return press.PaperOf(p), nil
		}
		paper, err := layout.PaperNamed(*name)
		return paper, wrongFlag("paper", err)
	}
}

// makePage makes a page for reading, and what is said about it next to the file name.
type makePage func(v *plant.Plant, f folder, paper layout.Paper) (pdf []byte, told map[string]any, err error)

// writes is what a command does that writes such a page.
func (m makePage) writes(fs *pflag.FlagSet, file string) func(*Env, []string) error {
	on := paperFlag(fs)
	out := fs.String("out", file, "`FILE` the PDF to write")
	return func(e *Env, _ []string) error {
		v, f, err := e.view()
		if err != nil {
			return err
		}
		paper, err := on(&v.Site.Policy)
		if err != nil {
			return err
		}
		pdf, told, err := m(v, f, paper)
		if err != nil {
			return err
		}
		ready, err := record.PreparePDF(*out, pdf)
		if err != nil {
			return fmt.Errorf("%w; nothing was written", err)
		}
		if err := ready.Commit(); err != nil {
			return err
		}
		told["file"] = *out
		return e.tell(told, "%s: print at 100 %%, no scaling\n", *out)
	}
}

// Guide is the command of that name.
func Guide(fs *pflag.FlagSet) func(*Env, []string) error {
	return makePage(func(v *plant.Plant, f folder, paper layout.Paper) ([]byte, map[string]any, error) {
		pdf, err := press.GuidePDF(v, paper, f.look(&v.Site.Policy))
		return pdf, map[string]any{}, err
	}).writes(fs, "guide.pdf")
}
