package commands

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"github.com/spf13/pflag"

	"vouchmark/assess"
	"vouchmark/assess/infile"
	"vouchmark/label"
	"vouchmark/label/logbook"
	"vouchmark/label/plant"
	"vouchmark/label/record"
	"vouchmark/layout/press"
)

// seeing is what somebody found, from the flags of seen.
type seeing struct{ at, found, day, by, from string }

// Seen is the command of that name.
func Seen(fs *pflag.FlagSet) func(*Env, []string) error {
	var s seeing
	fs.StringVar(&s.at, "at", "", "`ID` the location on whose equipment the label with this code is (default: where it should be)")
	fs.StringVar(&s.found, "found", "", "`WHAT` what is on the equipment of these locations: "+foundList()+" (default: right, or what follows from the code)")
	fs.StringVar(&s.day, "date", "", "`DATE` the date on which somebody looked (default: today)")
	fs.StringVar(&s.by, "by", "", "`NAME` who looked (default: by in site.toml, else the login name)")
	fs.StringVar(&s.from, "from", "", "`FILE` note what is in this file: a list that round --csv wrote (you may save it as a workbook, .xlsx), "+
		"or the texts that a code reader read, one on each line")
	return s.run
}

func foundList() string {
	words := make([]string, len(record.Founds))
	for i, f := range record.Founds {
		words[i] = string(f)
	}
	return strings.Join(words, ", ")
}

func (s *seeing) run(e *Env, args []string) error {
	switch {
	case s.from == "" && len(args) == 0:
		return &usageError{text: "name the locations whose labels were seen, or give --from FILE"}
	case s.from != "" && len(args)+len(s.at)+len(s.found) > 0:
		return &usageError{text: "the file of --from says what was found; leave out ids, --at and --found"}
	case s.at != "" && len(args) != 1:
		return &usageError{text: "--at goes with the code of one label"}
	case s.found != "" && !slices.Contains(record.Founds, record.Found(s.found)):
		return &usageError{text: fmt.Sprintf("--found: found %q, expected one of %s", s.found, foundList())}
	}
	day := assess.Date{}
	if s.day != "" {
		var err error
		if day, err = assess.ParseDate(s.day); err != nil || e.today.Before(day) {
			return &usageError{text: fmt.Sprintf("--date: %q must be today (%s) or earlier, such as 2026-03-14", s.day, e.today)}
		}
	}
	if err := said("by", &s.by, record.LongestName); err != nil {
		return err
	}
	names := args
	if s.at != "" {
		names = append(names, s.at)
	}
	v, _, err := e.viewOf(names...) // a file may name any
	if err != nil {
		return err
	}
	list := &press.Round{}
	if s.from != "" {
		if list, err = readRound(s.from, v); err != nil {
			return err
		}
	} else if list.Looks, err = s.looks(v, args); err != nil {
		return err
	}
	for i := range list.Looks {
		if list.Looks[i].Day.IsZero() {
			list.Looks[i].Day = day
		}
	}
	all, err := logbook.See(v, e.store(), list.Looks, true, printer(s.by, v.Site.Policy.By), version())
	if err != nil {
		return err
	}
	if s.from != "" {
		if err := list.Wrong(s.from, v, all); err != nil {
			return err
		}
	}
	var wrong []error
	for i := range all {
		if all[i].Err != nil {
			wrong = append(wrong, all[i].Err)
		}
	}
	if wrong != nil {
		return errors.Join(wrong...)
	}
	done := logbook.NewLooks(all, list.Left)
	return e.show(done, done.Text)
}

// looks are what the operands say: ids, or codes and texts of QR codes.
func (s *seeing) looks(v *plant.Plant, args []string) ([]logbook.Look, error) {
	known, all := v.Known(), []logbook.Look{}
	if s.at != "" {
		if is := slices.Contains(known, args[0]); is {
			return nil, &usageError{text: fmt.Sprintf("--at goes with the code of a label; %q is a location", args[0])}
		}
		return []logbook.Look{{At: s.at, Read: args[0], Found: record.Found(s.found)}}, s.mixed(args[0])
	}
	for _, arg := range v.IDs(args) {
		look := logbook.Look{Found: record.Found(s.found)}
		_, err := label.ParseQR(arg)
		switch is := slices.Contains(known, arg); {
		case is && err == nil:
			return nil, &usageError{text: fmt.Sprintf("%q is the id of a location and may be a code; say which: vouchmark seen %s --at ID", arg, quote(arg))}
		case err == nil && !is:
			look.Read = arg
		default:
			look.At = arg
			if look.Found == "" {
				look.Found = record.FoundRight
			}
		}
		if err := s.mixed(look.Read); err != nil {
			return nil, err
		}
		all = append(all, look)
	}
	if len(all) == 0 {
		return nil, &usageError{text: "name the locations whose labels were seen, or give --from FILE"}
	}
	return all, nil
}

// mixed refuses to say what was found where it follows from what was read.
func (s *seeing) mixed(read string) error {
	if read != "" && s.found != "" && record.Found(s.found) != record.FoundDamaged {
		return &usageError{text: "--found: with a code, what was found follows from it; only damaged may be said"}
	}
	return nil
}

func readRound(file string, v *plant.Plant) (*press.Round, error) {
	data, err := infile.ReadPath(file, press.MostOfWalk)
	if err != nil {
		return nil, wrongFlag("from", err)
	}
	return press.ReadRound(file, data, v)
}
