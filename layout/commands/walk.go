package commands

import (
	"bytes"
	"errors"
	"fmt"

	"github.com/spf13/pflag"

	"vouchmark/assess/infile"
	"vouchmark/label/record"
	"vouchmark/layout/press"
)

// Walk is the command of that name.
func Walk(fs *pflag.FlagSet) func(*Env, []string) error {
	on := paperFlag(fs)
	out := fs.String("out", "walk.pdf", "`FILE` the file to write (with --csv: walk.csv)")
	asCSV := fs.Bool("csv", false, "write a spreadsheet (CSV) with a column to tick, for mounted --from")
	return func(e *Env, _ []string) error {
		if *asCSV && fs.Changed("paper") {
			return &usageError{text: "--paper does not go with --csv"}
		}
		if *asCSV && !fs.Changed("out") {
			*out = "walk.csv"
		}
		v, f, err := e.view()
		if err != nil {
			return err
		}
		rows := press.NewWalk(v)
		var ready *record.Pending
		if *asCSV {
			var b bytes.Buffer
			press.WalkCSV(&b, rows) // memory takes all
			ready, err = record.PrepareOver(*out, b.Bytes(), unticked)
		} else {
			paper, e := on(&v.Site.Policy)
			if e != nil {
				return e
			}
			pdf, e := press.WalkPDF(rows, v, f.look(&v.Site.Policy), paper)
			if e != nil {
				return e
			}
			ready, err = record.PreparePDF(*out, pdf)
		}
		if err != nil {
			return fmt.Errorf("%w; nothing was written", err)
		}
		if err := ready.Commit(); err != nil {
			return err
		}
		return e.tell(map[string]any{"file": *out, "rows": rows}, "%s: %s", *out, press.WalkText(rows))
	}
}

// unticked says why a file must not be overwritten: it is not a walk, or somebody
// ticked rows in it.
func unticked(file string) error {
	data, err := infile.ReadPath(file, press.MostOfWalk)
	switch {
	case err != nil:
		return err
	case press.IsWalk(data):
		return nil
	}
	return errors.New("somebody has ticked rows in this file; note them with mounted --from, " +
		"then delete it, or name another file with --out")
}
