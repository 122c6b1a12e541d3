package commands

import (
	"github.com/spf13/pflag"

	"vouchmark/label/basis/picture"
	"vouchmark/label/report"
)

// Tree is the command of that name.
func Tree(fs *pflag.FlagSet) func(*Env, []string) error {
	from := fs.String("from", "", "`ID` show only this location and what it feeds")
	svg := fs.Bool("svg", false, "write a drawing (SVG) to standard output")
	return func(e *Env, _ []string) error {
		if e.json && *svg {
			return &usageError{text: "--json and --svg exclude each other"}
		}
		v, _, err := e.view()
		if err != nil {
			return err
		}
		t := report.NewTree(v)
		if fs.Changed("from") {
			if t, err = report.NewBranch(v, *from); err != nil {
				return err
			}
		}
		if *svg {
			o := picture.TreeOptions{Title: t.Title(), Headed: true, States: t.States, Foot: t.Explained()}
			_, err = e.uncolored().Write(picture.Tree(t.Rows, o))
			return err
		}
		return e.show(t, t.Text)
	}
}
