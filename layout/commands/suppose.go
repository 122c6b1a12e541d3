package commands

import (
	"github.com/spf13/pflag"

	"vouchmark/assess/infile"
	"vouchmark/assess/site"
	"vouchmark/assess/suppose"
	"vouchmark/label/report"
)

// Suppose is the command of that name.
func Suppose(fs *pflag.FlagSet) func(*Env, []string) error {
	var a suppose.Asked
	fs.StringVar(&a.At, "at", "", "`ID` the location where something would change; needed")
	fs.StringVar(&a.Case, "case", "", "`CASE` the operating condition (case) in which it would change (default: every case is tried)")
	fs.StringVar(&a.FaultKA, "fault-ka", "", "`KA` its available fault current in kA after a change upstream")
	fs.StringVar(&a.KVA, "kva", "", "`KVA` rating in kVA of a new transformer there; site.toml must have the nameplate of the present one")
	fs.StringVar(&a.ImpedancePercent, "impedance-percent", "", "`PERCENT` impedance in percent of a new transformer there")
	fs.StringVar(&a.Device, "device", "", "`NAME` the device whose clearing time changes (default: all devices there)")
	fs.StringVar(&a.ClearMS, "clear-ms", "", "`MS` its new arc duration in ms at the arcing current")
	fs.StringVar(&a.ClearReducedMS, "clear-reduced-ms", "", "`MS` its new arc duration in ms at the reduced arcing current")
	fs.StringVar(&a.Curve, "curve", "", "`FILE` a file with the device's new clearing curve, instead of durations")
	return func(e *Env, _ []string) error {
		h, err := a.Hypothesis()
		if err != nil {
			return &usageError{text: err.Error()}
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

// curveFile reads a clearing curve from any folder; "" means none.
func curveFile(name string) ([]byte, error) {
	if name == "" {
		return nil, nil
	}
	data, err := infile.ReadPath(name, site.MostCurve)
	return data, wrongFlag("curve", err)
}
