package commands

import (
	"os"

	"github.com/spf13/pflag"

	"vouchmark/assess/site"
	"vouchmark/assess/suppose"
	"vouchmark/label/report"
)

// Suppose is the command of that name.
func Suppose(fs *pflag.FlagSet) func(*Env, []string) error {
	var a suppose.Asked
	fs.StringVar(&a.At, "at", "", "the location at which something would be changed")
	fs.StringVar(&a.Case, "case", "", "the case in which it would be changed (default: every case is tried)")
	fs.StringVar(&a.FaultKA, "fault-ka", "", "its fault current after a change above it")
	fs.StringVar(&a.KVA, "kva", "", "power of another transformer there, where site.toml has the present nameplate")
	fs.StringVar(&a.ImpedancePercent, "impedance-percent", "", "impedance of another transformer there")
	fs.StringVar(&a.Device, "device", "", "of the devices that stand there, this one (default: all)")
	fs.StringVar(&a.ClearMS, "clear-ms", "", "arc duration at the arcing current that the device would give")
	fs.StringVar(&a.ClearReducedMS, "clear-reduced-ms", "", "arc duration at the reduced arcing current")
	fs.StringVar(&a.Curve, "curve", "", "in place of durations: a file with the device's clearing curve")
	return func(e *Env, _ []string) error {
		h, err := a.Hypothesis()
		if err != nil {
			return &usageError{err.Error()}
		}
		v, _, err := e.view()
		if err != nil {
			return err
		}
		points, err := curveFile(a.Curve)
		if err != nil {
			return err
		}
		if a.Curve != "" {
			if h.Curve, err = site.ReadCurve(a.Curve, points, float64(v.Site.Policy.FrequencyHz)); err != nil {
				return err
			}
		}
		r, err := report.NewSuppose(v, h)
		if err != nil {
			return err
		}
		return e.show(r.JSON(), r.Text)
	}
}

// curveFile reads a clearing curve from anywhere; "" names none.
func curveFile(name string) ([]byte, error) {
	if name == "" {
		return nil, nil
	}
	data, err := os.ReadFile(name)
	return data, wrongFlag("curve", err)
}
