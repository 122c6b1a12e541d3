package commands

import (
	"github.com/spf13/pflag"

	"vouchmark/label/report"
	"vouchmark/layout/press"
)

// Round is the command of that name.
func Round(fs *pflag.FlagSet) func(*Env, []string) error {
	csv := fs.Bool("csv", false, "write a spreadsheet (CSV) to standard output, to fill in on a walk, for seen --from")
	return func(e *Env, _ []string) error {
		if *csv && e.json {
			return &usageError{text: "--json and --csv exclude each other"}
		}
		v, _, err := e.view()
		if err != nil {
			return err
		}
		if *csv {
			return press.RoundCSV(e.raw, v)
		}
		r := report.NewRound(v)
		return e.show(r, r.Text)
	}
}
