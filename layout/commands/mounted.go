package commands

import (
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"

	"github.com/spf13/pflag"

	"vouchmark/assess"
	"vouchmark/assess/infile"
	"vouchmark/assess/near"
	"vouchmark/label/plant"
	"vouchmark/label/record"
	"vouchmark/label/report"
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
		if err := listed(v, args); err != nil {
			return err
		}
		h, err := e.store().Withdraw(args[0], e.today, *reason, printer(*by, v.Site.Policy.By), version())
		if err != nil {
			return err
		}
		return e.tell(map[string]any{"id": args[0], "code": h.ID.Code(), "date": e.today, "reason": *reason},
			"%s: label %s is withdrawn. Confirm that the equipment needs no label; then remove the label, and note that:\n  %s\n",
			args[0], h.ID.Code(), command(assess.ToRemove, args[0]))
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
	told, left, err := d.deeds(v, args)
	if err != nil {
		return err
	}
	for i := range told {
		if told[i].Applied.IsZero() {
			told[i].Applied = day
		}
		if told[i].Applied.IsZero() && len(args) > 0 {
			told[i].Applied = e.today // said again of one, it is a correction
		}
	}
	var lines []record.Line
	if len(told) > 0 {
		lines, err = e.store().Tell(told, e.today, printer(d.by, v.Site.Policy.By), version())
		if err != nil {
			return err
		}
	}
	n := newNoted(lines, len(told), left)
	return e.show(n, func(w io.Writer, width int) error {
		_, err := io.WriteString(w, n.text(width, d.from != ""))
		return err
	})
}

// deeds are what was done, and how many rows of a list were not ticked.
func (d *doing) deeds(v *plant.Plant, args []string) (told []record.Deed, left int, err error) {
	one := record.Deed{Kind: d.kind}
	if d.overlay {
		one.Thing = record.Overlay
	}
	add := func(id string) {
		of := one
		of.Location = id
		if d.kind == record.Removed && !d.overlay {
			of.Reason = v.OutOfUse(id)
		}
		told = append(told, of)
	}
	switch {
	case d.from != "":
		t, err := readTicked(d.from, v)
		if err != nil {
			return nil, 0, err
		}
		return t.Deeds, t.Left, nil
	case !d.all:
		ids := v.IDs(args)
		if len(ids) == 0 {
			return nil, 0, errors.New("name the locations of the labels")
		}
		if err := listed(v, ids); err != nil {
			return nil, 0, err
		}
		for _, id := range ids {
			add(id)
		}
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
			if t.Do == do && t.First.Words == "" {
				add(t.ID)
			}
		}
	}
	return told, 0, nil
}

// listed refuses ids that neither a location nor a printed label has.
func listed(v *plant.Plant, ids []string) error {
	known := v.Known()
	unknown := slices.DeleteFunc(slices.Clone(ids), func(id string) bool { return slices.Contains(known, id) })
	if len(unknown) == 0 {
		return nil
	}
	return &near.UnknownID{What: "location or printed label", IDs: unknown, Known: known}
}

func readTicked(file string, v *plant.Plant) (*press.Ticked, error) {
	data, err := infile.ReadPath(file, press.MostOfWalk)
	if err != nil {
		return nil, wrongFlag("from", err)
	}
	return press.ReadWalk(file, data, v)
}

// noted is what was noted.
type noted struct {
	Applied assess.Date      `json:"applied,omitzero"` // of all, where it is one day
	Labels  []record.Printed `json:"labels"`           // that are mounted
	Noted   []notedLine      `json:"noted"`
	Already int              `json:"noted_already"`
	Left    int              `json:"not_ticked"`
}

type notedLine struct {
	Kind   record.Kind `json:"kind"`
	Thing  string      `json:"thing,omitempty"`
	Day    assess.Date `json:"applied,omitzero"`
	Reason string      `json:"reason,omitempty"`
	IDs    []string    `json:"ids"`
}

func newNoted(lines []record.Line, told, left int) *noted {
	n := &noted{Labels: []record.Printed{}, Noted: []notedLine{}, Already: told, Left: left}
	for _, l := range lines {
		one := notedLine{l.Kind, l.Thing, l.Applied, l.Reason, nil}
		for _, p := range l.Labels {
			one.IDs = append(one.IDs, p.ID)
		}
		n.Noted = append(n.Noted, one)
		if l.Kind == record.Mounted && l.Thing == "" {
			n.Labels = append(n.Labels, l.Labels...)
		}
		if l.Kind != record.Withdrawn { // it goes with a removal
			n.Already -= len(l.Labels)
		}
		n.Applied = l.Applied
	}
	if slices.ContainsFunc(n.Noted, func(l notedLine) bool { return l.Day != n.Applied }) {
		n.Applied = assess.Date{}
	}
	return n
}

func (n *noted) text(width int, list bool) string {
	var b strings.Builder
	for _, l := range n.Noted {
		what := map[string]string{"": "label", record.Overlay: "overlay"}[l.Thing]
		text := fmt.Sprintf("noted: %s %s", report.Plural(len(l.IDs), what), l.Kind)
		switch l.Kind {
		case record.Mounted:
			text += " on " + l.Day.String()
		case record.Removed:
			text += " on " + l.Day.String()
		case record.Withdrawn:
			text += " because " + l.Reason
		}
		b.WriteString(report.Wrap(text+": "+strings.Join(l.IDs, ", "), "", "  ", width))
	}
	if n.Already > 0 {
		fmt.Fprintf(&b, "%d already noted\n", n.Already)
	}
	if list && n.Left > 0 {
		fmt.Fprintf(&b, "%s not ticked\n", report.Plural(n.Left, "row"))
	}
	if len(n.Noted) == 0 {
		b.WriteString("nothing to note\n")
	}
	return b.String()
}
