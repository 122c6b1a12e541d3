package report

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"vouchmark/assess"
	"vouchmark/assess/standing"
	"vouchmark/label/plant"
)

// tally counts labels by their state, for every list that gives such counts. A
// withdrawn label whose row is gone does not count: nothing is to be done about it.
type tally struct {
	locations, unlisted, tooLow int
	of                          map[string]int // by state
}

// add counts a location, or a label without a row. s is the standing of its last
// printed label; nil if none was printed.
func (t *tally) add(state string, s *standing.Standing, listed bool) {
	if t.of == nil {
		t.of = map[string]int{}
	}
	t.of[state]++
	if listed {
		t.locations++
	} else {
		t.unlisted++
	}
	if s != nil && s.TooLow {
		t.tooLow++
	}
}

// tallied counts the labels of a plant.
func tallied(v *plant.Plant) *tally {
	t := &tally{}
	for i := range v.Places {
		p := &v.Places[i]
		var s *standing.Standing
		if p.Printed != nil {
			s = &p.Printed.Standing
		}
		t.add(p.State(), s, true)
	}
	for i := range v.Unlisted {
		if s := &v.Unlisted[i].Standing; s.Status != standing.Withdrawn {
			t.add(string(s.Status), s, false)
		}
	}
	return t
}

// states lists the states that occur, from bad to good, last those without a printed
// label.
func (t *tally) states() []StateCount {
	all := []StateCount{}
	for _, state := range treeStates() {
		if n := t.of[state]; n > 0 {
			all = append(all, StateCount{state, n})
		}
	}
	return all
}

// counted says how many labels are in which state, each with its sign if signed.
func (t *tally) counted(signed bool) string {
	var parts []string
	for _, s := range slices.Backward(t.states()) {
		text := fmt.Sprintf("%d %s", s.Count, s.Words())
		if signed {
			text = shapes[s.State] + " " + text
		}
		parts = append(parts, text)
	}
	all := strings.Join(parts, ", ")
	if t.tooLow > 0 {
		all += fmt.Sprintf("; %d of these: %s", t.tooLow, standing.Cover)
	}
	return all
}

// size says how many locations there are, and how many labels without a row.
func (t *tally) size() string {
	s := Plural(t.locations, "location")
	if t.unlisted > 0 {
		s += " and " + Plural(t.unlisted, "label") + " without a row"
	}
	return s
}

// Words is the state in the singular or plural.
func (s *StateCount) Words() string {
	if words, ok := plural[standing.Status(s.State)]; ok && s.Count != 1 {
		return words
	}
	return s.State
}

// plural is the verb of a state for several labels.
var plural = map[standing.Status]string{standing.Holds: "hold", standing.FallsDue: "fall due"}

// Counted counts the labels of a state: 1 holds, 3 hold.
func Counted(n int, s standing.Status) string {
	if n == 1 {
		return "1 " + string(s)
	}
	return fmt.Sprintf("%d %s", n, cmp.Or(plural[s], string(s)))
}

// printing counts the labels that a print of the whole site makes, those of them that it
// makes for the first time, those that it does not make, and the places without a label.
func printing(v *plant.Plant) (prints, first, not, without int) {
	for i := range v.Places {
		p := &v.Places[i]
		switch {
		case p.Assessment.Location.Unlabeled:
			without++
		case p.Refusal(false) != nil:
			not++
		default:
			prints++
			if p.Printed == nil {
				first++
			}
		}
	}
	return prints, first, not, without
}

// wouldPrint says how many labels a print of the whole site makes.
func wouldPrint(v *plant.Plant, t *tally) string {
	prints, first, not, without := printing(v)
	s := fmt.Sprintf("%s: %d would print", t.size(), prints)
	if first > 0 && first < prints {
		s += fmt.Sprintf(" (%d for the first time)", first)
	}
	s += fmt.Sprintf(", %d would not", not)
	if without > 0 {
		s += fmt.Sprintf(", %d without a label (label = no)", without)
	}
	return s
}

// methods says how many cases were recomputed by which method, and how many are only
// stated by the study. A location may have several.
func methods(v *plant.Plant) string {
	by, all, failed := map[assess.Method]int{}, 0, 0
	for _, p := range v.Places {
		if p.Assessment.Location.Unlabeled {
			continue
		}
		for i, r := range p.Assessment.Computed {
			all++
			if m := p.Assessment.Location.Cases[i].Method; r != nil || m == assess.Stated {
				by[m]++
			} else {
				failed++
			}
		}
	}
	var parts []string
	for _, m := range []assess.Method{assess.IEEE1584, assess.Lee, assess.DCMaxPower} {
		if by[m] > 0 {
			parts = append(parts, fmt.Sprintf("%d by %s", by[m], m.Standard()))
		}
	}
	s := Plural(all, "case") + " (one row each), recomputed: " + cmp.Or(strings.Join(parts, ", "), "none")
	if failed > 0 {
		s += fmt.Sprintf("; %d not recomputable", failed)
	}
	if n := by[assess.Stated]; n > 0 {
		s += fmt.Sprintf("; %d only stated by the study (method stated)", n)
	}
	return s
}
