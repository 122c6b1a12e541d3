package logbook

import (
	"fmt"
	"io"
	"reflect"
	"strings"

	"vouchmark/assess"
	"vouchmark/assess/standing"
	"vouchmark/label/plant"
	"vouchmark/label/report"
)

// Effect is what an entry in the log made of the labels.
type Effect struct {
	File  string        `json:"file"`
	Entry string        `json:"entry"` // the change's name, or what was logged
	Moved []MovedStatus `json:"labels"`
	Notes []string      `json:"notes"` // what a person might not expect of it
}

// MovedStatus is a label whose standing differs now.
type MovedStatus struct {
	ID        string              `json:"id"`
	Was       string              `json:"was"` // its status; "ready to print" or "not printed" where none was printed
	Is        string              `json:"is"`
	Screening *standing.Screening `json:"screening,omitempty"`
}

// newEffect compares the standings before and after an entry.
func newEffect(a *added, before, after *plant.Plant) *Effect {
	e := &Effect{File: assess.ChangesFile, Entry: a.name, Moved: []MovedStatus{}, Notes: report.OrEmpty(a.notes)}
	for i := range after.Places {
		was, is := &before.Places[i], &after.Places[i]
		then, now := was.Judged().Screening, is.Judged().Screening
		if was.State() != is.State() || now != nil && !reflect.DeepEqual(then, now) {
			e.Moved = append(e.Moved, MovedStatus{is.ID(), was.State(), is.State(), now})
		}
	}
	return e
}

// Text says it to a person: the labels by what became of them.
func (e *Effect) Text(w io.Writer, width int) error {
	var b strings.Builder
	fmt.Fprintf(&b, "%s: %s\n", e.File, e.Entry)
	by := map[string][]string{}
	for _, m := range e.Moved {
		by[m.Is] = append(by[m.Is], m.ID)
	}
	say := func(is, words string) {
		if ids := by[is]; ids != nil {
			b.WriteString(report.Wrap(fmt.Sprintf("%s (%d): %s", words, len(ids), report.Few(ids)), "  ", "    ", width))
		}
	}
	for _, s := range standing.States {
		say(string(s), string(s)+" now")
	}
	say(plant.NotPrinted, "no longer ready to print")
	say(plant.ReadyToPrint, "ready to print again")
	for _, m := range e.Moved {
		if m.Screening != nil {
			b.WriteString(report.Wrap(m.ID+": "+m.Screening.Words(), "  ", "    ", width))
		}
	}
	for _, n := range e.Notes {
		b.WriteString(report.Wrap(n, "  ", "    ", width))
	}
	if len(e.Moved) == 0 {
		b.WriteString("  no label's standing changed\n")
	}
	if len(by[string(standing.InQuestion)]) > 0 {
		b.WriteString("  vouchmark print --kind overlay makes the strips that say so on the doors\n")
	}
	_, err := io.WriteString(w, b.String())
	return err
}
