package commands

import (
	"errors"
	"strings"

	"github.com/spf13/pflag"

	"vouchmark/assess"
	"vouchmark/assess/site"
	"vouchmark/label/logbook"
	"vouchmark/label/record"
)

// logs makes the flags that all entries of changes.toml share, and returns the
// function that adds an entry and reports what it does to the labels.
func logs(fs *pflag.FlagSet, entry logbook.Entry, what string, date *assess.Date, by *string) func(*Env, []string) error {
	day := fs.String("date", "", "the date of the "+what+" (default: today)")
	who := "who reports it"
	if what != "change" {
		who = "the qualified person who decided it"
	}
	fs.StringVar(by, "by", "", who+" (default: by in site.toml, else the login name)")
	return func(e *Env, _ []string) error {
		v, f, err := e.view()
		if err != nil {
			return err
		}
		*by, *date = printer(*by, v.Site.Policy.By), e.today
		if *day != "" {
			if *date, err = assess.ParseDate(*day); err != nil {
				return wrongFlag("date", err)
			}
		}
		effect, err := e.logbook(f, v.History).Add(record.Open(e.site), version(), entry, nil)
		if err != nil {
			return err
		}
		return e.show(effect, effect.Text)
	}
}

// logbook opens the site's log for a new entry.
func (e *Env) logbook(f folder, h *record.History) *logbook.Site {
	return &logbook.Site{Folder: f.fs, Options: f.options, History: h, Today: e.today, Command: command}
}

// ChangeAdd is the command of that name.
func ChangeAdd(fs *pflag.FlagSet) func(*Env, []string) error {
	var c logbook.Change
	add := logs(fs, &c, "change", &c.Date, &c.By)
	fs.StringVar(&c.At, "at", "", "the location where something was changed")
	fs.StringVar(&c.Kind, "kind", "", "what was changed: "+site.Kinds())
	fs.StringVar(&c.Note, "note", "", "a note on the change")
	fs.StringArrayVar(&c.FaultKA, "new-fault-ka", nil,
		"available fault current of a location in kA after the change, such as MCC-4=19.2; repeatable")
	fs.StringArrayVar(&c.ClearMS, "new-clear-ms", nil, "arc duration in ms at the arcing current, such as MCC-4=83; repeatable")
	fs.StringArrayVar(&c.ClearReducedMS, "new-clear-reduced-ms", nil,
		"arc duration in ms at the reduced arcing current; repeatable")
	fs.StringArrayVar(&c.Curve, "new-curve", nil,
		"clearing curve of its device after the change, a file in curves/, such as MCC-4=main-52.csv; repeatable")
	fs.StringVar(&c.Case, "new-case", "", "the case that these new values belong to (default: they are tried in every case)")
	return add
}

// ChangeSettle is the command of that name.
func ChangeSettle(fs *pflag.FlagSet) func(*Env, []string) error {
	var s logbook.Settlement
	add := logs(fs, &s, "settlement", &s.Date, &s.By)
	fs.StringArrayVar(&s.Scope, "scope", nil,
		"all, or the ids of the labels that hold; repeatable, or separated by commas")
	fs.StringVar(&s.Reason, "reason", "", "why these labels still hold")
	fs.StringVar(&s.AgainstScreening, "against-screening", "",
		"also release labels whose screening is above the printed value, and say why they hold; --by names who is responsible")
	return func(e *Env, args []string) error {
		s.Change = args[0]
		if s.AgainstScreening != "" && strings.TrimSpace(s.By) == "" {
			return wrongFlag("by", errors.New("--against-screening needs --by: name the person who is responsible"))
		}
		return add(e, args)
	}
}

// ChangeReview is the command of that name.
func ChangeReview(fs *pflag.FlagSet) func(*Env, []string) error {
	var r logbook.Review
	add := logs(fs, &r, "review", &r.Date, &r.By)
	fs.StringArrayVar(&r.Scope, "scope", nil,
		"all, or the ids of the reviewed locations; repeatable, or separated by commas")
	fs.StringVar(&r.Finding, "finding", "", "right (a new interval begins) or wrong (in question until a later survey)")
	fs.StringVar(&r.Reason, "reason", "", "what the finding is based on")
	return add
}
