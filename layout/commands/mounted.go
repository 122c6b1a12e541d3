package commands

import (
	"errors"
	"fmt"
	"strings"

	"github.com/spf13/pflag"

	"vouchmark/assess"
	"vouchmark/label/record"
	"vouchmark/label/report"
)

// Withdraw is the command of that name.
func Withdraw(fs *pflag.FlagSet) func(*Env, []string) error {
	reason := fs.String("reason", "", "why it is taken out of use")
	by := fs.String("by", "", "who takes it off (default: by in site.toml, else the account)")
	return func(e *Env, args []string) error {
		if strings.TrimSpace(*reason) == "" {
			return &usageError{"--reason: say why the label is taken out of use"}
		}
		err := errors.Join(said("reason", reason, record.LongestReason), said("by", by, record.LongestName))
		if err != nil {
			return err
		}
		v, _, err := e.view()
		if err != nil {
			return err
		}
		h, err := record.Open(e.site).Withdraw(args[0], e.today, *reason, printer(*by, v.Site.Policy.By), version())
		if err != nil {
			return err
		}
		return e.tell(map[string]any{"id": args[0], "code": h.ID.Code(), "date": e.today, "reason": *reason},
			"%s: the label %s is withdrawn; take it off the equipment\n", args[0], h.ID.Code())
	}
}

// Mounted is the command of that name.
func Mounted(fs *pflag.FlagSet) func(*Env, []string) error {
	applied := fs.String("applied", "", "the day since when they hang (default: today)")
	by := fs.String("by", "", "who mounted them (default: by in site.toml, else the account)")
	return func(e *Env, args []string) error {
		on := e.today
		if *applied != "" {
			var err error
			if on, err = assess.ParseDate(*applied); err != nil || e.today.Before(on) {
				return &usageError{fmt.Sprintf("--applied: %q is no day until today (%s), such as 2026-03-14",
					*applied, e.today)}
			}
		}
		if err := said("by", by, record.LongestName); err != nil {
			return err
		}
		v, _, err := e.view()
		if err != nil {
			return err
		}
		line, err := record.Open(e.site).Mount(v.IDs(args), e.today, on, printer(*by, v.Site.Policy.By), version())
		if err != nil {
			return err
		}
		return e.tell(map[string]any{"applied": on, "labels": line.Labels},
			"noted: %s hanging since %s\n", report.Plural(len(line.Labels), "label"), on)
	}
}
