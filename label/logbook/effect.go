package logbook

import (
	"cmp"
	"fmt"
	"io"
	"maps"
	"reflect"
	"slices"
	"strings"

	"vouchmark/assess"
	"vouchmark/assess/standing"
	"vouchmark/label/report"
)

// Effect is what an entry in the log made of the labels.
type Effect struct {
	File  string        `json:"file"`
	Entry string        `json:"entry"` // the change's name, or what was logged
	Moved []MovedStatus `json:"labels"`
	Notes []string      `json:"notes"`
}

// MovedStatus is a label whose standing is another now.
type MovedStatus struct {
	ID        string              `json:"id"`
	Was       standing.Status     `json:"was"`
	Is        standing.Status     `json:"is"`
	Screening *standing.Screening `json:"screening,omitempty"`
}

// newEffect compares the standings before and after an entry.
func newEffect(entry string, before, after *report.View, notes []string) *Effect {
	e := &Effect{File: assess.ChangesFile, Entry: entry, Moved: []MovedStatus{}, Notes: append([]string{}, notes...)}
	for i := range after.Places {
		was, is := &before.Places[i].Standing, &after.Places[i].Standing
		if was.Status != is.Status || is.Screening != nil && !reflect.DeepEqual(was.Screening, is.Screening) {
			e.Moved = append(e.Moved, MovedStatus{after.Places[i].Assessment.Location.ID, was.Status, is.Status, is.Screening})
		}
	}
	return e
}

// Text says it to a person: the labels by what became of them.
func (e *Effect) Text(w io.Writer, width int) error {
	var b strings.Builder
	fmt.Fprintf(&b, "%s: %s\n", e.File, e.Entry)
	by := map[standing.Status][]string{}
	for _, m := range e.Moved {
		by[m.Is] = append(by[m.Is], m.ID)
	}
	states := slices.SortedFunc(maps.Keys(by), func(a, c standing.Status) int { return cmp.Compare(a.Rank(), c.Rank()) })
	for _, s := range states {
		b.WriteString(report.Wrap(fmt.Sprintf("%s now (%d): %s", s, len(by[s]), report.Few(by[s])), "  ", "    ", width))
	}
	for _, m := range e.Moved {
		if m.Screening != nil {
			b.WriteString(report.Wrap(m.ID+": "+m.Screening.Words(), "  ", "    ", width))
		}
	}
	for _, n := range e.Notes {
		b.WriteString(report.Wrap(n, "  ", "    ", width))
	}
	if len(e.Moved) == 0 {
		b.WriteString("  no label's standing is another than before\n")
	}
	if len(by[standing.InQuestion]) > 0 {
		b.WriteString("  vouchmark print --kind overlay makes the strips that say so on the doors\n")
	}
	_, err := io.WriteString(w, b.String())
	return err
}
