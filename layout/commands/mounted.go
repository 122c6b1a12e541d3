package commands

import (
	"errors"
	"fmt"
	"io"
	"strings"

	"github.com/spf13/pflag"

	"vouchmark/assess"
	"vouchmark/assess/infile"
	"vouchmark/label/logbook"
	"vouchmark/label/plant"
	"vouchmark/label/record"
	"vouchmark/layout/press"
)

// Withdraw is the command of that name.
func Withdraw(fs *pflag.FlagSet) func(*Env, []string) error {
	reason := fs.String("reason", "", "`REASON` why the label is withdrawn; needed")
	by := fs.String("by", "", "`NAME` who withdraws it (default: by in site.toml, else the login name)")
	return func(e *Env, args []string) error {
		if strings.TrimSpace(*reason) == "" {
			return &usageError{text: "--reason: say why the label is withdrawn"}
		}
		err := errors.Join(said("reason", reason, record.LongestReason), said("by", by, record.LongestName))
		if err != nil {
			return err
		}
		v, _, err := e.viewOf(args...)
		if err != nil {
			return err
		}
		d := logbook.Withdrawal{ID: args[0], Reason: *reason, By: printer(*by, v.Site.Policy.By)}
		done, err := d.Note(v, e.store(), version())
		if err != nil {
			return err
		}
		return e.tell(done, "%s. Confirm that the equipment needs no label; then remove the label, and note that:\n  %s\n",
			done.Words(), command(assess.ToRemove, done.ID))
	}
}

// doing is what somebody did on the equipment, from the flags of mounted and removed.
type doing struct {
	kind         record.Kind
	day, by      string
	dayFlag      string
	all, overlay bool
	from         string
}

func (d *doing) flags(fs *pflag.FlagSet, dayFlag, day, all, overlay, by string) {
	d.dayFlag = dayFlag
	fs.StringVar(&d.day, dayFlag, "", "`DATE` "+day+" (default: today)")
	fs.BoolVar(&d.all, "all", false, all)
	fs.BoolVar(&d.overlay, "overlay", false, overlay)
	fs.StringVar(&d.by, "by", "", "`NAME` "+by+" (default: by in site.toml, else the login name)")
}

// Mounted is the command of that name.
func Mounted(fs *pflag.FlagSet) func(*Env, []string) error {
	d := doing{kind: record.Mounted}
	d.flags(fs, "applied", "the date on which they were mounted",
		"every printed label that is not withdrawn and not yet noted as mounted: use it only if all of them are "+
			"on the equipment; with --overlay: every overlay that walk lists",
		"the overlays printed for these labels, not the labels themselves", "who mounted them")
	fs.StringVar(&d.from, "from", "",
		"`FILE` note what is ticked in this file, written by walk --csv (you may save it as a workbook, .xlsx)")
	return d.run
}

// Removed is the command of that name.
func Removed(fs *pflag.FlagSet) func(*Env, []string) error {
	d := doing{kind: record.Removed}
	d.flags(fs, "date", "the date on which they were removed",
		"every label that walk lists for removal; with --overlay: every such overlay",
		"the overlays on these labels, not the labels themselves", "who removed them")
	return d.run
}

func (d *doing) run(e *Env, args []string) error {
	ways := 0
	for _, w := range []bool{len(args) > 0, d.all, d.from != ""} {
		if w {
			ways++
		}
	}
	switch {
	case ways == 0 && d.kind == record.Mounted:
		return &usageError{text: "name the locations whose labels were mounted, or give --all or --from FILE"}
	case ways == 0:
		return &usageError{text: "name the locations whose labels were removed, or give --all"}
	case ways > 1 && d.kind == record.Mounted:
		return &usageError{text: "give only one of --all, --from and ids"}
	case ways > 1:
		return &usageError{text: "give either --all or ids, not both"}
	case d.from != "" && d.overlay:
		return &usageError{text: "the file of --from already says which rows are overlays; leave out --overlay"}
	}
	day := assess.Date{}
	if d.day != "" {
		var err error
		if day, err = assess.ParseDate(d.day); err != nil || e.today.Before(day) {
			return &usageError{text: fmt.Sprintf("--%s: %q must be today (%s) or earlier, such as 2026-03-14",
				d.dayFlag, d.day, e.today)}
		}
	}
	if err := said("by", &d.by, record.LongestName); err != nil {
		return err
	}
	v, _, err := e.viewOf(args...) // none: all
	if err != nil {
		return err
	}
	noted, err := d.note(e, v, args, day)
	if err != nil {
		return err
	}
	return e.show(noted, func(w io.Writer, width int) error { return noted.Text(w, width, d.from != "") })
}

// note notes it: of the named labels, of what is ticked in a file, or of all that wait for it.
func (d *doing) note(e *Env, v *plant.Plant, args []string, day assess.Date) (*logbook.Noted, error) {
	by := printer(d.by, v.Site.Policy.By)
	if d.from == "" && !d.all {
		one := logbook.Doing{Kind: d.kind, Overlay: d.overlay, IDs: v.IDs(args), Day: day, By: by}
		return one.Note(v, e.store(), version())
	}
	told, left, err := d.deeds(v)
	if err != nil {
		return nil, err
	}
	for i := range told {
		if told[i].Applied.IsZero() {
			told[i].Applied = day
		}
	}
	return logbook.Tell(v, e.store(), told, left, by, version())
}

// deeds are what was done, and how many rows of a list were not ticked.
func (d *doing) deeds(v *plant.Plant) (told []record.Deed, left int, err error) {
	add := func(id string) { told = append(told, logbook.Deed(v, d.kind, d.overlay, id)) }
	switch {
	case d.from != "":
		t, err := readTicked(d.from, v)
		if err != nil {
			return nil, 0, err
		}
		return t.Deeds, t.Left, nil
	case d.kind == record.Mounted && !d.overlay:
		for i := range v.Places {
			p := &v.Places[i]
			if l := p.Printed; l != nil && l.Waits() && l.Withdrawn == nil && !p.Assessment.Location.Unlabeled {
				add(p.ID())
			}
		}
	default:
		do := map[bool]plant.Do{true: plant.Uncover, false: plant.Remove}[d.overlay]
		if d.kind == record.Mounted {
			do = plant.Cover
		}
		for _, t := range v.Tasks() {
			if t.Do == do && t.First.Words == "" && t.Label != "" {
				add(t.ID)
			}
		}
	}
	return told, 0, nil
}

func readTicked(file string, v *plant.Plant) (*press.Ticked, error) {
	data, err := infile.ReadPath(file, press.MostOfWalk)
	if err != nil {
		return nil, wrongFlag("from", err)
	}
	return press.ReadWalk(file, data, v)
}
