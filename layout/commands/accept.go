package commands

import (
	"github.com/spf13/pflag"

	"vouchmark/assess"
	"vouchmark/label/logbook"
)

// Accept is the command of that name.
func Accept(fs *pflag.FlagSet) func(*Env, []string) error {
	var a logbook.Acceptance
	fs.StringVar(&a.By, "by", "", "`NAME` the person who takes responsibility for the finding; needed")
	fs.StringVar(&a.Reason, "reason", "", "`REASON` why the label may be printed in spite of the finding; needed")
	until := fs.String("until", "", "`DATE` the last day on which the acceptance counts (default: REVIEW BY on the label)")
	date := fs.String("date", "", "`DATE` the date of the acceptance (default: today)")
	return func(e *Env, args []string) error {
		a.ID, a.Finding, a.Date = args[0], args[1], e.today
		for _, day := range []struct {
			flag, text string
			to         *assess.Date
		}{{"until", *until, &a.Until}, {"date", *date, &a.Date}} {
			if day.text == "" {
				continue
			}
			d, err := assess.ParseDate(day.text)
			if err != nil {
				return wrongFlag(day.flag, err)
			}
			*day.to = d
		}
		l, err := e.logged()
		if err != nil {
			return err
		}
		done, err := l.Accept(e.store(), version(), &a)
		if err != nil {
			return err
		}
		return e.show(done, done.Text)
	}
}
