package logbook

import (
	"fmt"
	"io"
	"reflect"
	"slices"
	"strings"

	"vouchmark/assess"
	"vouchmark/assess/standing"
	"vouchmark/label/plant"
	"vouchmark/label/report"
)

// Effect is what an entry in the log did to the labels.
type Effect struct {
	File  string        `json:"file"`
	Entry string        `json:"entry"` // the change's name, or what was logged
	Moved []MovedStatus `json:"labels"`
	Notes []string      `json:"notes"` // what a person might not expect
}

// uncovered is the new standing of a label that is still in question, but no
// longer known to be printed too low.
const uncovered = "in question now, no longer " + standing.Cover

// MovedStatus is a label whose standing has changed.
type MovedStatus struct {
	ID        string              `json:"id"`
	Was       string              `json:"was"` // its status; "ready to print" or "not printed" where none was printed
	Is        string              `json:"is"`
	Screening *standing.Screening `json:"screening,omitempty"`
	Covered   bool                `json:"was_too_low,omitempty"` // it had to be covered
	TooLow    bool                `json:"too_low,omitempty"`     // it has to be covered now
}

// newEffect compares the standings before and after an entry.
func newEffect(a *added, before, after *plant.Plant) *Effect {
	e := &Effect{File: assess.ChangesFile, Entry: a.name, Moved: []MovedStatus{},
		Notes: slices.Clone(report.OrEmpty(a.notes))}
	settled := map[string]bool{}
	for _, id := range a.settled {
		settled[id] = true
	}
	still, why := map[string][]string{}, []string(nil) // ids by what is open, and that in its order
	for i := range after.Places {
		was, is := &before.Places[i], &after.Places[i]
		then, now := was.Judged(), is.Judged()
		if was.State() != is.State() || then.TooLow != now.TooLow ||
			now.Screening != nil && !reflect.DeepEqual(then.Screening, now.Screening) {
			e.Moved = append(e.Moved, MovedStatus{is.ID(), was.State(), is.State(), now.Screening, then.TooLow, now.TooLow})
		}
		if settled[is.ID()] && then.Status == standing.InQuestion && now.Status == standing.InQuestion {
			open := openWords(now)
			if still[open] == nil {
				why = append(why, open)
			}
			still[open] = append(still[open], is.ID())
		}
	}
	for _, open := range why {
		ids := still[open]
		e.Notes = append(e.Notes, fmt.Sprintf("still in question (%d): %s: %s", len(ids), report.Few(ids), open))
	}
	return e
}

// openWords say why a label is in question: which changes, and what else.
func openWords(s *standing.Standing) string {
	var parts []string
	for i := range s.Reasons {
		r := &s.Reasons[i]
		switch {
		case r.Status != standing.InQuestion:
		case r.Cause == standing.UpstreamCause:
			parts = append(parts, r.Kind+" ("+r.OpenWords()+")")
		default:
			parts = append(parts, r.Words())
		}
	}
	return strings.Join(parts, "; ")
}

// Text says it to a person: the labels, grouped by their new standing.
func (e *Effect) Text(w io.Writer, width int) error {
	var b strings.Builder
	lines := e.Lines()
	b.WriteString(lines[0] + "\n")
	for _, line := range lines[1:] {
		b.WriteString(report.Wrap(line, "  ", "    ", width))
	}
	if len(e.Doubtful()) > 0 {
		b.WriteString("  to mark the equipment: vouchmark print --kind overlay --changed\n")
	}
	_, err := io.WriteString(w, b.String())
	return err
}

// Lines say it to a person, without a command.
func (e *Effect) Lines() []string {
	all := []string{e.File + ": " + e.Entry}
	by := map[string][]string{}
	for _, m := range e.Moved {
		is := m.Is
		if m.Covered && !m.TooLow && m.Is == string(standing.InQuestion) {
			is = uncovered
		}
		by[is] = append(by[is], m.ID)
	}
	say := func(is, words string) {
		if ids := by[is]; ids != nil {
			all = append(all, fmt.Sprintf("%s (%d): %s", words, len(ids), report.Few(ids)))
		}
	}
	say(uncovered, uncovered)
	for _, s := range standing.States {
		say(string(s), string(s)+" now")
	}
	say(plant.NotPrinted, "no longer ready to print")
	say(plant.ReadyToPrint, "ready to print again")
	for _, m := range e.Moved {
		if m.Screening != nil {
			all = append(all, m.ID+": "+m.Screening.Words())
		}
	}
	all = append(all, e.Notes...)
	if len(e.Moved) == 0 {
		all = append(all, "no label's standing changed")
	}
	return all
}

// Doubtful are the labels that are in question now: their equipment must be marked.
func (e *Effect) Doubtful() []string {
	return e.moved(func(m *MovedStatus) bool { return m.Is == string(standing.InQuestion) })
}

// Again are the labels that hold again.
func (e *Effect) Again() []string {
	return e.moved(func(m *MovedStatus) bool {
		return standing.Status(m.Is).Rank() >= standing.FallsDue.Rank() && standing.Status(m.Was).Rank() < standing.FallsDue.Rank()
	})
}

func (e *Effect) moved(to func(*MovedStatus) bool) (ids []string) {
	for i := range e.Moved {
		if to(&e.Moved[i]) {
			ids = append(ids, e.Moved[i].ID)
		}
	}
	return ids
}
