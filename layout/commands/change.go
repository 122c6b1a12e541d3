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

// logs makes the flags that all entries of changes.toml have, and gives what
// adds an entry and says what became of the labels.
func logs(fs *pflag.FlagSet, entry logbook.Entry, what string, date *assess.Date, by *string) func(*Env, []string) error {
	day := fs.String("date", "", "the day of the "+what+" (default: today)")
	fs.StringVar(by, "by", "", "who reports it (default: by in site.toml, else the login name)")
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

// logbook is the site's log, to be added to.
func (e *Env) logbook(f folder, h *record.History) *logbook.Site {
	return &logbook.Site{Folder: f.fs, Options: f.options, History: h, Today: e.today, Command: command}
}

// ChangeAdd is the command of that name.
func ChangeAdd(fs *pflag.FlagSet) func(*Env, []string) error {
	var c logbook.Change
	add := logs(fs, &c, "change", &c.Date, &c.By)
	fs.StringVar(&c.At, "at", "", "the location at which something was changed")
	fs.StringVar(&c.Kind, "kind", "", "what was changed: "+site.Kinds())
	fs.StringVar(&c.Note, "note", "", "more about it")
	fs.StringArrayVar(&c.FaultKA, "new-fault-ka", nil,
		"fault current of a location after the change, such as MCC-4=19.2; repeat it")
	fs.StringArrayVar(&c.ClearMS, "new-clear-ms", nil, "arc duration at the arcing current, likewise")
	fs.StringArrayVar(&c.ClearReducedMS, "new-clear-reduced-ms", nil,
		"arc duration at the reduced arcing current, likewise")
	fs.StringArrayVar(&c.Curve, "new-curve", nil,
		"clearing curve of its device after the change, a file in curves/, such as MCC-4=main-52.csv; repeat it")
	fs.StringVar(&c.Case, "new-case", "", "the case that all of these new values are of (default: tried in every case)")
	return add
}

// ChangeSettle is the command of that name.
func ChangeSettle(fs *pflag.FlagSet) func(*Env, []string) error {
	var s logbook.Settlement
	add := logs(fs, &s, "settlement", &s.Date, &s.By)
	fs.StringArrayVar(&s.Scope, "scope", nil,
		"all, or the ids of the labels that hold; repeat it, or separate them by commas")
	fs.StringVar(&s.Reason, "reason", "", "why they hold even so")
	fs.StringVar(&s.AgainstScreening, "against-screening", "",
		"why also labels hold whose screening is above what they print; whoever is responsible for it is named with --by")
	return func(e *Env, args []string) error {
		s.Change = args[0]
		if s.AgainstScreening != "" && strings.TrimSpace(s.By) == "" {
			return wrongFlag("by", errors.New("name the person who is responsible for --against-screening"))
		}
		return add(e, args)
	}
}

// ChangeReview is the command of that name.
func ChangeReview(fs *pflag.FlagSet) func(*Env, []string) error {
	var r logbook.Review
	add := logs(fs, &r, "review", &r.Date, &r.By)
	fs.StringArrayVar(&r.Scope, "scope", nil,
		"all, or the ids of the reviewed locations; repeat it, or separate them by commas")
	fs.StringVar(&r.Finding, "finding", "", "right (a new interval begins) or wrong (in question until a later survey)")
	fs.StringVar(&r.Reason, "reason", "", "what the finding rests on")
	return add
}
