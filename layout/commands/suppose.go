package commands

import (
	"os"

	"github.com/spf13/pflag"

	"vouchmark/assess"
	"vouchmark/assess/site"
	"vouchmark/assess/suppose"
	"vouchmark/label/report"
)

// Suppose is the command of that name.
func Suppose(fs *pflag.FlagSet) func(*Env, []string) error {
	var a suppose.Asked
	supposeFlags(fs, &a)
	return func(e *Env, _ []string) error {
		h, err := a.Hypothesis()
		if err != nil {
			return &usageError{err.Error()}
		}
		v, _, err := e.view()
		if err != nil {
			return err
		}
		if h.Curve, err = e.curve(a.Curve, v.Site.Policy.FrequencyHz); err != nil {
			return err
		}
		r, err := report.NewSuppose(v, h)
		if err != nil {
			return err
		}
		return e.show(r.JSON(), r.Text)
	}
}

func supposeFlags(fs *pflag.FlagSet, a *suppose.Asked) {
	fs.StringVar(&a.At, "at", "", "the location at which something would be changed")
	fs.StringVar(&a.FaultKA, "fault-ka", "", "its fault current after a change above it")
	fs.StringVar(&a.KVA, "kva", "", "power of another transformer there, where site.toml has the present nameplate")
	fs.StringVar(&a.ImpedancePercent, "impedance-percent", "", "impedance of another transformer there")
	fs.StringVar(&a.Device, "device", "", "of the devices that stand there, this one (default: all)")
	fs.StringVar(&a.ClearMS, "clear-ms", "", "arc duration at the arcing current that the device would give")
	fs.StringVar(&a.ClearReducedMS, "clear-reduced-ms", "", "arc duration at the reduced arcing current")
	fs.StringVar(&a.Curve, "curve", "", "in place of durations: a file with the device's clearing curve")
}

// curve reads a clearing curve from anywhere; "" is none.
func (e *Env) curve(file string, hertz float64) (*assess.Curve, error) {
	if file == "" {
		return nil, nil
	}
	data, err := os.ReadFile(file)
	if err != nil {
		return nil, &usageError{"--curve: " + err.Error()}
	}
	return site.ReadCurve(file, data, hertz)
}
