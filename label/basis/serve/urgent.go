package serve

import (
	"fmt"
	"slices"
	"strings"

	"vouchmark/label/plant"
	"vouchmark/label/report"
)

// Where a page lists labels, what must be covered comes first: who stops reading has read that.

// standingOf is how a page shows the standing of a location's label; its rank is how urgent it is,
// lower first. why is what the screening of a label to be covered gives, else "".
func standingOf(v *plant.Plant, id string) (is state, rank int, why string) {
	p, ok := v.Place(id)
	word := plant.NotPrinted
	if ok {
		word = p.State()
	}
	printed := printedOf(v, id)
	if printed != nil {
		s := &printed.Standing
		if word = string(s.Status); s.TooLow {
			why = s.Screening.Found()
		}
	}
	tooLow := why != ""
	return stateOf(word, tooLow), rankOf(word, tooLow), why
}

// worstFirst are ids in the order of their urgency; equals keep theirs.
func worstFirst(v *plant.Plant, ids []string) []string {
	ranks := make(map[string]int, len(ids))
	for _, id := range ids {
		_, ranks[id], _ = standingOf(v, id)
	}
	ids = slices.Clone(ids)
	slices.SortStableFunc(ids, func(a, b string) int { return ranks[a] - ranks[b] })
	return ids
}

// urgentStep is a step about a label that must be covered.
type urgentStep struct {
	State state
	Why   string // what the screening gives
	step
}

// next are what comes next, as a page lists it.
type next struct {
	Urgent  []urgentStep // all of them
	Steps   []step
	Folded  string // how many labels the page names only on demand
	Further []step // of these
}

// nextOf are the steps of several labels, worst first. Those about a label to be covered are all
// listed; of the others only so many.
func nextOf(v *plant.Plant, ids []string, of func(id string) []step) (all next) {
	for i, id := range worstFirst(v, ids) {
		is, _, why := standingOf(v, id)
		todo := of(id)
		switch {
		case why != "":
			for _, one := range todo {
				all.Urgent = append(all.Urgent, urgentStep{is, why, one})
			}
		case i < mostSteps:
			all.Steps = append(all.Steps, todo...)
		case len(todo) > 0:
			all.Further = append(all.Further, step{id, todo[0].Href})
		}
	}
	if n := len(all.Further); n > 0 {
		all.Folded = fmt.Sprintf("and likewise for %d more", n)
	}
	return all
}

// Any reports whether there is something to do.
func (n *next) Any() bool { return len(n.Urgent)+len(n.Steps)+len(n.Further) > 0 }

// entered is something that a person entered, as a page repeats it before it is saved.
type entered struct{ Name, Value string }

// repeated leaves out what was left empty.
func repeated(all ...entered) []entered {
	return slices.DeleteFunc(all, func(e entered) bool { return strings.TrimSpace(e.Value) == "" })
}

// inUnit is a number that was entered, with its unit; "" for none.
func inUnit(number, unit string) string {
	if number == "" {
		return ""
	}
	return number + " " + unit
}

// named is a location with its equipment.
func named(v *plant.Plant, id string) string {
	if p, ok := v.Place(id); ok && p.Assessment.Location.Equipment != "" {
		return id + ", " + p.Assessment.Location.Equipment
	}
	return id
}

// meant are the labels that a scope names.
func meant(ids []string) string {
	if slices.Contains(ids, scopeAll) {
		return "all labels"
	}
	return fmt.Sprintf("%s: %s", report.Plural(len(ids), "label"), report.Few(ids))
}
