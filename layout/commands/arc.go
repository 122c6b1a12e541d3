package commands

import (
	"strings"

	"github.com/spf13/pflag"

	"vouchmark/assess/site"
	"vouchmark/label/report"
)

// Arc is the command of that name.
func Arc(fs *pflag.FlagSet) func(*Env, []string) error {
	flags := site.Flags()
	for _, f := range flags {
		fs.String(strings.ReplaceAll(f.Column, "_", "-"), "", "`"+f.Value+"` "+f.Help)
	}
	curve := fs.String("curve", "", "`FILE` a file with the device's clearing curve")
	hertz := fs.Float64("frequency-hz", 60, "`50|60` the frequency in Hz; it converts cycles to milliseconds")
	return func(e *Env, _ []string) error {
		values := map[string]string{}
		for _, c := range flags {
			if f := fs.Lookup(strings.ReplaceAll(c.Column, "_", "-")); f.Changed {
				values[c.Column] = f.Value.String()
			}
		}
		points, err := curveFile(*curve)
		if err != nil {
			return err
		}
		if *hertz != 50 && *hertz != 60 {
			return &usageError{text: "--frequency-hz: expected 50 or 60"}
		}
		s, err := site.OneCase(values, points, *hertz, site.Options{Command: command})
		if err != nil {
			return err
		}
		one := report.NewCase(s)
		return verdict(e.show(one.JSON(), one.Text), one.Result != nil)
	}
}
