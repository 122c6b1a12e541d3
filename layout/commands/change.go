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
	day := fs.String("date", "", "`DATE` the date of the "+what+" (default: today)")
	decision := what != "change" // it counts for the labels only with the name of a person
	if decision {
		fs.StringVar(by, "by", "", "`NAME` the qualified person who decided it; needed")
	} else {
		fs.StringVar(by, "by", "", "`NAME` who reports it (default: by in site.toml, else the login name)")
	}
	return func(e *Env, _ []string) error {
		if decision && strings.TrimSpace(*by) == "" {
			return wrongFlag("by", errors.New("expected a name: a qualified person decides this"))
		}
		f := e.folder()
		policy, err := site.ReadPolicy(f.fs, f.options)
		if err = site.Join(f.err, err); err != nil {
			if _, _, all := e.view(); all != nil { // it says all that is wrong with the folder
				return all
			}
			return err
		}
		h, err := e.store().History(e.today)
		if err != nil {
			return err
		}
		*by, *date = printer(*by, policy.By), e.today
		if *day != "" {
			if *date, err = assess.ParseDate(*day); err != nil {
				return wrongFlag("date", err)
			}
		}
		effect, err := e.logbook(f, h).Add(e.store(), version(), entry, nil)
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
	fs.StringVar(&c.At, "at", "", "`ID` the location where something was changed; needed")
	fs.StringVar(&c.Kind, "kind", "", "`KIND` what was changed; needed; one of: "+site.Kinds())
	fs.StringVar(&c.Note, "note", "", "`TEXT` a note on the change")
	fs.StringArrayVar(&c.FaultKA, "new-fault-ka", nil,
		"`[ID=]KA` available fault current in kA after the change, such as 19.2, or MCC-4=19.2 for another location; repeatable")
	fs.StringArrayVar(&c.ClearMS, "new-clear-ms", nil, "`[ID=]MS` arc duration in ms at the arcing current after the change; repeatable")
	fs.StringArrayVar(&c.ClearReducedMS, "new-clear-reduced-ms", nil,
		"`[ID=]MS` arc duration in ms at the reduced arcing current after the change; repeatable")
	fs.StringArrayVar(&c.Curve, "new-curve", nil,
		"`[ID=]CURVE` clearing curve of the device after the change: a file in curves/, such as main-52.csv; repeatable")
	fs.StringVar(&c.Case, "new-case", "", "`CASE` the operating condition (case) of these new values (default: every case is tried)")
	return add
}

// ChangeSettle is the command of that name.
func ChangeSettle(fs *pflag.FlagSet) func(*Env, []string) error {
	var s logbook.Settlement
	add := logs(fs, &s, "settlement", &s.Date, &s.By)
	fs.StringArrayVar(&s.Scope, "scope", nil,
		"`all|IDS` all, or the ids of the labels that hold; needed; repeatable, or separated by commas")
	fs.StringVar(&s.Reason, "reason", "", "`REASON` why these labels still hold; needed")
	fs.StringVar(&s.AgainstScreening, "against-screening", "",
		"`REASON` also release labels whose screening is above the printed value; say why they hold, and name with --by who is responsible")
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
		"`all|IDS` all, or the ids of the reviewed locations; needed; repeatable, or separated by commas")
	fs.StringVar(&r.Finding, "finding", "", "`right|wrong` what the review found; needed: right (a new interval begins) or wrong (in question until a study with data collected later)")
	fs.StringVar(&r.Reason, "reason", "", "`REASON` what the review is based on; needed")
	return add
}

// ChangeNote is the command of that name.
func ChangeNote(fs *pflag.FlagSet) func(*Env, []string) error {
	by := fs.String("by", "", "`NAME` the person who vouches for the entries; needed with MARK")
	return func(e *Env, marks []string) error {
		switch named := strings.TrimSpace(*by) != ""; {
		case named && len(marks) == 0:
			return &usageError{text: "name the entries by their marks; without --by, vouchmark change note lists them"}
		case !named && len(marks) > 0:
			return wrongFlag("by", errors.New("expected a name: a person vouches for these entries"))
		case !named:
			v, _, err := e.view()
			if err != nil {
				return err
			}
			all := logbook.NewUnnoted(v)
			return e.show(all, all.Text)
		}
		l, err := e.logged()
		if err != nil {
			return err
		}
		effect, err := l.Note(e.store(), version(), *by, marks)
		if err != nil {
			return err
		}
		return e.show(effect, effect.Text)
	}
}
