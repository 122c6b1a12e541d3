package commands

import (
	"errors"
	"fmt"
	"os"

	"github.com/spf13/pflag"

	"vouchmark/assess/site"
	"vouchmark/label/basis"
	"vouchmark/label/record"
	"vouchmark/label/report"
	"vouchmark/layout/press"
)

// Init is the command of that name.
func Init(*pflag.FlagSet) func(*Env, []string) error {
	return func(e *Env, args []string) error {
		if err := site.Start(args[0]); err != nil {
			if errors.Is(err, os.ErrExist) {
				return err
			}
			return &record.WriteError{Path: args[0], Err: err}
		}
		fmt.Fprintf(e.Stdout, "%s: starter folder created; "+
			"put your own policy into site.toml, then let intake read your study: it replaces the two invented rows\n"+
			"  vouchmark intake FILE --site %s\n", args[0], quote(args[0]))
		return nil
	}
}

// Check is the command of that name.
func Check(fs *pflag.FlagSet) func(*Env, []string) error {
	full := fs.Bool("full", false, fmt.Sprintf("list every location and its findings; without it, more than %d locations "+
		"are summed up, with findings of one kind together", report.FewLocations))
	failed := fs.Bool("errors", false, "show only locations with an error, and only the errors")
	only := fs.StringArray("only", nil, "`IDS` show only these locations; repeatable, or separated by commas")
	area := fs.StringArray("area", nil, "`AREA` show only these areas, in any letter case; repeatable, or separated by commas")
	csv := fs.Bool("csv", false, "write a spreadsheet (CSV) to standard output, a row for each location and finding")
	return func(e *Env, _ []string) error {
		if *csv && (e.json || *full) || e.json && *full {
			return &usageError{text: "--json, --csv and --full exclude each other"}
		}
		v, _, err := e.view()
		if err != nil {
			return err
		}
		choice := press.Choice{IDs: v.IDs(*only), Areas: v.Areas(*area)}
		if fs.Changed("only") && len(choice.IDs) == 0 || fs.Changed("area") && len(choice.Areas) == 0 {
			return &usageError{text: "--only, --area: nothing was given; leave it out to show all"}
		}
		chosen, err := choice.Pick(v)
		if err != nil {
			return err
		}
		c := report.NewCheck(v, chosen, report.Filter{Errors: *failed, Only: choice.IDs, Area: choice.Areas})
		switch every := *full || !c.Brief(); {
		case *csv:
			err = c.CSV(e.raw)
		case e.json:
			chosen.MeasureHeadroom()
			err = c.JSON(e.Stdout)
		default:
			if every {
				chosen.MeasureHeadroom()
			}
			err = c.Text(e.Stdout, e.Width, every)
		}
		return verdict(err, !c.Stopped())
	}
}

// Basis is the command of that name.
func Basis(*pflag.FlagSet) func(*Env, []string) error {
	return func(e *Env, args []string) error {
		all, _, err := e.viewOf(args[0])
		if err != nil {
			return err
		}
		shelf := basis.NewShelf(all, e.store())
		v, err := shelf.Find(args[0])
		if _, listed := all.Place(args[0]); listed && errors.Is(err, basis.ErrNotPrinted) {
			v, err = shelf.Draft(args[0])
		}
		if err != nil {
			return err
		}
		return verdict(e.show(v.JSON(), v.Text), len(v.Differences) == 0)
	}
}

// History is the command of that name.
func History(*pflag.FlagSet) func(*Env, []string) error {
	return func(e *Env, args []string) error {
		v, _, err := e.viewOf(args[0])
		if err != nil {
			return err
		}
		s, err := report.NewStory(v, args[0])
		if err != nil {
			return err
		}
		return e.show(s, s.Text)
	}
}
