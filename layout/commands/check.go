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
			"put your own policy into site.toml and your study into locations.csv, then\n"+
			"  vouchmark check --site %s\n", args[0], quote(args[0]))
		return nil
	}
}

// Check is the command of that name.
func Check(*pflag.FlagSet) func(*Env, []string) error {
	return func(e *Env, _ []string) error {
		v, _, err := e.view()
		if err != nil {
			return err
		}
		v.MeasureHeadroom()
		if e.json {
			err = report.JSON(v, e.Stdout)
		} else {
			err = report.Table(v, e.Stdout, e.Width)
		}
		return verdict(err, !v.Stopped())
	}
}

// Basis is the command of that name.
func Basis(*pflag.FlagSet) func(*Env, []string) error {
	return func(e *Env, args []string) error {
		all, _, err := e.view()
		if err != nil {
			return err
		}
		shelf := basis.NewShelf(all, record.Open(e.site))
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
		v, _, err := e.view(args[0])
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
