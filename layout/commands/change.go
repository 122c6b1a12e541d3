package commands

import (
	"github.com/spf13/pflag"

	"vouchmark/assess"
	"vouchmark/assess/site"
	"vouchmark/label/logbook"
	"vouchmark/label/plant"
	"vouchmark/label/record"
)

// entry are the flags of what is appended to changes.toml.
type entry struct{ date, by string }

func (t *entry) flags(fs *pflag.FlagSet, day string) {
	fs.StringVar(&t.date, "date", "", "the day of the "+day+" (default: today)")
	fs.StringVar(&t.by, "by", "", "whose word it is (default: by in site.toml, else the account)")
}

// of is the day and the name of an entry.
func (t *entry) of(e *Env, v *plant.Plant) (assess.Date, string, error) {
	by := printer(t.by, v.Site.Policy.By)
	if t.date == "" {
		return e.today, by, nil
	}
	d, err := assess.ParseDate(t.date)
	if err != nil {
		err = &usageError{"--date: " + err.Error()}
	}
	return d, by, err
}

// log adds an entry to changes.toml, and says what became of the labels.
func (e *Env) log(entry func(v *plant.Plant) (logbook.Entry, error)) error {
	v, f, err := e.view()
	if err != nil {
		return err
	}
	added, err := entry(v)
	if err != nil {
		return err
	}
	l := logbook.Site{Folder: f.fs, Options: f.options, History: v.History, Today: e.today, Command: command}
	effect, err := l.Add(record.Open(e.site), version(), added, nil)
	if err != nil {
		return err
	}
	return e.show(effect, effect.Text)
}

// ChangeAdd is the command of that name.
func ChangeAdd(fs *pflag.FlagSet) func(*Env, []string) error {
	var t entry
	var c logbook.Change
	t.flags(fs, "change")
	fs.StringVar(&c.At, "at", "", "the location at which something was changed")
	fs.StringVar(&c.Kind, "kind", "", "what was changed: "+site.Kinds())
	fs.StringVar(&c.Note, "note", "", "more about it")
	fs.StringArrayVar(&c.FaultKA, "new-fault-ka", nil,
		"fault current of a location after the change, such as MCC-4=19.2; repeat it")
	fs.StringArrayVar(&c.ClearMS, "new-clear-ms", nil, "arc duration at the arcing current, likewise")
	fs.StringArrayVar(&c.ClearReducedMS, "new-clear-reduced-ms", nil,
		"arc duration at the reduced arcing current, likewise")
	return func(e *Env, _ []string) error {
		return e.log(func(v *plant.Plant) (_ logbook.Entry, err error) {
			c.Date, c.By, err = t.of(e, v)
			return &c, err
		})
	}
}

// ChangeSettle is the command of that name.
func ChangeSettle(fs *pflag.FlagSet) func(*Env, []string) error {
	var t entry
	var s logbook.Settlement
	t.flags(fs, "settlement")
	fs.StringArrayVar(&s.Scope, "scope", nil,
		"all, or the ids of the labels that hold; repeat it, or part them by commas")
	fs.StringVar(&s.Reason, "reason", "", "why they hold all the same")
	return func(e *Env, args []string) error {
		return e.log(func(v *plant.Plant) (_ logbook.Entry, err error) {
			s.Change = args[0]
			s.Date, s.By, err = t.of(e, v)
			return &s, err
		})
	}
}

// ChangeReview is the command of that name.
func ChangeReview(fs *pflag.FlagSet) func(*Env, []string) error {
	var t entry
	var r logbook.Review
	t.flags(fs, "review")
	fs.StringArrayVar(&r.Scope, "scope", nil,
		"all, or the ids of the reviewed locations; repeat it, or part them by commas")
	fs.StringVar(&r.Finding, "finding", "", "right (a new interval begins) or wrong (in question until a later survey)")
	return func(e *Env, _ []string) error {
		return e.log(func(v *plant.Plant) (_ logbook.Entry, err error) {
			r.Date, r.By, err = t.of(e, v)
			return &r, err
		})
	}
}
