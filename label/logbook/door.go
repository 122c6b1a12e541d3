package logbook

import (
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"

	"vouchmark/assess"
	"vouchmark/assess/near"
	"vouchmark/label/plant"
	"vouchmark/label/record"
	"vouchmark/label/report"
)

// Doing is what somebody did on the equipment of named locations, as it is entered.
type Doing struct {
	Kind    record.Kind // Mounted or Removed
	Overlay bool        // the overlays on the labels, not the labels themselves
	IDs     []string
	Day     assess.Date // zero: the plant's day
	By      string
}

// Note notes it in the ledger, all of it or nothing. Said again of a label, it is a correction.
// The error is a [near.UnknownID] for an id that nothing has, else what [record.Store.Tell] returns.
func (d *Doing) Note(v *plant.Plant, store *record.Store, tool string) (*Noted, error) {
	deeds, err := d.deeds(v)
	if err != nil {
		return nil, err
	}
	return Tell(v, store, deeds, 0, d.By, tool)
}

// deeds are the deeds as the ledger takes them.
func (d *Doing) deeds(v *plant.Plant) ([]record.Deed, error) {
	if len(d.IDs) == 0 {
		return nil, errors.New("name the locations of the labels")
	}
	if err := listed(v, d.IDs); err != nil {
		return nil, err
	}
	all := make([]record.Deed, len(d.IDs))
	for i, id := range d.IDs {
		all[i] = Deed(v, d.Kind, d.Overlay, id)
		if all[i].Applied = d.Day; d.Day.IsZero() {
			all[i].Applied = v.Today
		}
	}
	return all, nil
}

// Deed is what somebody did at one location. Removing a label that is no longer in use says why it
// is not: that withdraws it.
func Deed(v *plant.Plant, kind record.Kind, overlay bool, id string) record.Deed {
	d := record.Deed{Kind: kind, Location: id}
	switch {
	case overlay:
		d.Thing = record.Overlay
	case kind == record.Removed:
		d.Reason = v.OutOfUse(id)
	}
	return d
}

// Tell notes deeds in the ledger. left is how many rows of a list were not ticked.
func Tell(v *plant.Plant, store *record.Store, told []record.Deed, left int, by, tool string) (*Noted, error) {
	var lines []record.Line
	if len(told) > 0 {
		var err error
		if lines, err = store.Tell(told, v.Today, by, tool); err != nil {
			return nil, err
		}
	}
	return newNoted(lines, len(told), left), nil
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

// Noted is what was noted.
type Noted struct {
	Applied assess.Date      `json:"applied,omitzero"` // of all, where it is one day
	Labels  []record.Printed `json:"labels"`           // that are mounted
	Noted   []NotedLine      `json:"noted"`
	Already int              `json:"noted_already"`
	Left    int              `json:"not_ticked"`
}

// NotedLine is what was noted of several locations at once.
type NotedLine struct {
	Kind   record.Kind `json:"kind"`
	Thing  string      `json:"thing,omitempty"`
	Day    assess.Date `json:"applied,omitzero"`
	Reason string      `json:"reason,omitempty"`
	IDs    []string    `json:"ids"`
}

func newNoted(lines []record.Line, told, left int) *Noted {
	n := &Noted{Labels: []record.Printed{}, Noted: []NotedLine{}, Already: told, Left: left}
	for _, l := range lines {
		one := NotedLine{l.Kind, l.Thing, l.Applied, l.Reason, nil}
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
	if slices.ContainsFunc(n.Noted, func(l NotedLine) bool { return l.Day != n.Applied }) {
		n.Applied = assess.Date{}
	}
	return n
}

// Lines say it to a person.
func (n *Noted) Lines() (all []string) {
	for _, l := range n.Noted {
		what := map[string]string{"": "label", record.Overlay: "overlay"}[l.Thing]
		text := fmt.Sprintf("noted: %s %s", report.Plural(len(l.IDs), what), l.Kind)
		switch l.Kind {
		case record.Mounted, record.Removed:
			text += " on " + l.Day.String()
		case record.Withdrawn:
			text += " because " + l.Reason
		}
		all = append(all, text+": "+strings.Join(l.IDs, ", "))
	}
	if n.Already > 0 {
		all = append(all, fmt.Sprintf("%d already noted", n.Already))
	}
	return all
}

// Text says it to a person; list is whether the deeds were ticked in a list.
func (n *Noted) Text(w io.Writer, width int, list bool) error {
	var b strings.Builder
	for _, line := range n.Lines() {
		b.WriteString(report.Wrap(line, "", "  ", width))
	}
	if list && n.Left > 0 {
		fmt.Fprintf(&b, "%s not ticked\n", report.Plural(n.Left, "row"))
	}
	if len(n.Noted) == 0 {
		b.WriteString("nothing to note\n")
	}
	_, err := io.WriteString(w, b.String())
	return err
}

// Withdrawal withdraws the label printed last for a location, as it is entered.
type Withdrawal struct{ ID, Reason, By string }

// Withdrawn is what was noted of a withdrawal.
type Withdrawn struct {
	ID     string      `json:"id"`
	Code   record.Code `json:"code"`
	Date   assess.Date `json:"date"`
	Reason string      `json:"reason"`
}

// Note notes it in the ledger.
func (d *Withdrawal) Note(v *plant.Plant, store *record.Store, tool string) (*Withdrawn, error) {
	if err := listed(v, []string{d.ID}); err != nil {
		return nil, err
	}
	reason, err := answer("reason", d.Reason, "say why the label is withdrawn")
	if err != nil {
		return nil, err
	}
	was, err := store.Withdraw(d.ID, v.Today, reason, d.By, tool)
	if err != nil {
		return nil, err
	}
	return &Withdrawn{d.ID, was.ID.Code(), v.Today, reason}, nil
}

// Words say it to a person, without what to do next.
func (d *Withdrawn) Words() string { return fmt.Sprintf("%s: label %s is withdrawn", d.ID, d.Code) }
