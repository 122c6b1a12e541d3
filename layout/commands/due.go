package commands

import (
	"errors"
	"fmt"

	"github.com/spf13/pflag"

	"vouchmark/label/report"
)

// Due is the command of that name.
func Due(fs *pflag.FlagSet) func(*Env, []string) error {
	within := fs.Int("within", 0, "`DAYS` list only what falls due within this many days, plus the labels that already do not hold")
	csv := fs.Bool("csv", false, "write a spreadsheet (CSV) to standard output")
	ics := fs.Bool("ics", false, "write a calendar (iCalendar, RFC 5545) to standard output")
	return func(e *Env, _ []string) error {
		if *csv && *ics || e.json && (*csv || *ics) {
			return &usageError{text: "--json, --csv and --ics exclude each other"}
		}
		if !fs.Changed("within") {
			within = nil
		} else if *within < 0 || *within > 36525 {
			return &usageError{text: "--within: from 0 to 36525 days"}
		}
		v, _, err := e.view()
		if err != nil {
			return err
		}
		d := report.NewDue(v, within)
		switch {
		case *csv:
			return d.CSV(e.raw)
		case *ics:
			err := d.Calendar(e.raw, v.Site.Policy.NoticeDays)
			if nothing := (*report.ErrNothingDue)(nil); errors.As(err, &nothing) {
				fmt.Fprintf(e.Stderr, "vouchmark: %v\n", err)
				return nil
			}
			return err
		}
		return e.show(d, d.Text)
	}
}
