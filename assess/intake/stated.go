package intake

import (
	"cmp"
	"fmt"
	"math"
	"regexp"
	"slices"
	"strings"

	"vouchmark/assess"
)

// Difference is what the study states and the program derives differently: for the engineer of the
// study. None of it is used.
type Difference struct {
	Row     int    `json:"row"`
	ID      string `json:"id"`
	What    string `json:"what"`
	Study   string `json:"study"`
	Derived string `json:"derived"`
}

// isStated reports whether a name means something that is only compared.
func isStated(name string) bool {
	return slices.ContainsFunc(statedColumns, func(c assess.Column) bool { return c.Name == name })
}

// Pairing is the study's name for PPE, and the kit of the owner's ladder for the same locations.
type Pairing struct {
	Study string   `json:"study"`
	Kit   string   `json:"kit"`
	IDs   []string `json:"ids"`
	Mixed bool     `json:"mixed"` // the name goes with more than one kit
}

// Compare compares what the study states about approach boundaries, gloves, PPE and signal word with
// the outcome of its rows.
func (s *Study) Compare(all []assess.Assessment) ([]Difference, []Pairing) {
	outcomes := map[string]*assess.Assessment{}
	for i := range all {
		if a := &all[i]; len(a.Location.Unreadable) == 0 && !a.Location.Unlabeled {
			outcomes[a.Location.ID] = a
		}
	}
	var list []Difference
	pairs := map[[2]string]*Pairing{}
	for i := range s.Rows {
		r := &s.Rows[i]
		a := outcomes[r.Cells["id"]]
		if a == nil {
			continue
		}
		differ := func(what, study, derived string) {
			list = append(list, Difference{r.Number, r.Cells["id"], what, study, derived})
		}
		for _, b := range []struct {
			name    string
			mm, si  float64
			without string
		}{
			{limited, a.Shock.Limited, a.Shock.LimitedPrint, "not specified"},
			{restricted, a.Shock.Restricted, a.Shock.RestrictedPrint, string(a.Shock.Rule)},
		} {
			text := r.Stated[b.name]
			if text == "" {
				continue
			}
			mm, ok := s.length(b.name, text)
			what := strings.ReplaceAll(b.name, "_", " ") + " boundary"
			switch {
			case b.mm == 0 && ok, b.mm == 0 && !avoids.MatchString(text):
				differ(what, text, b.without)
			case b.mm > 0 && (!ok || math.Abs(mm-b.mm) > s.roundedTo(b.name) && math.Abs(mm-b.si) > s.roundedTo(b.name)):
				differ(what, text, fmt.Sprintf("%s in (%s mm)", assess.Number(assess.Round9(b.mm/assess.MMPerInch)), assess.Number(b.mm)))
			}
		}
		if text := r.Stated[glove]; text != "" && gloveOf(text) != a.Glove.Class {
			differ("glove class", text, cmp.Or(a.Glove.Class, "none"))
		}
		if text := r.Stated[signal]; text != "" {
			if word := signalOf(text); word != "" && word != a.Signal {
				differ("signal word", text, string(a.Signal))
			}
		}
		if text := r.Stated[ppe]; text != "" {
			s.pair(pairs, r, a, text, differ)
		}
	}
	return list, sortedPairs(pairs)
}

var (
	avoids   = regexp.MustCompile(`(?i)avoid|not specified|^-+$|n/?a`)
	classNo  = regexp.MustCompile(`(?i)\b(00|[0-4])\b`)
	dangers  = regexp.MustCompile(`(?i)danger|prohibit|exceed|no (safe )?(ppe|work)|not allowed|do not work`)
	warnings = regexp.MustCompile(`(?i)warning`)
)

// roundedTo is how far a stated boundary may be from the derived one, in mm: half an inch, or the
// difference between the table's own meters, in tenths, and its feet.
func (s *Study) roundedTo(name string) float64 {
	if m := s.meaning(name); m != nil && m.Unit.Suffix == "mm" {
		return 70
	}
	return assess.MMPerInch / 2
}

// length is a stated boundary in mm.
func (s *Study) length(name, text string) (float64, bool) {
	m := s.meaning(name)
	if m == nil {
		return 0, false
	}
	unit := m.Unit.NamedUnit
	unit.Of = 1 // the cell has the unit, if it is another
	return plainNumbers.Value(m.Column, unit, text, 60)
}

func gloveOf(text string) string { return classNo.FindString(text) }

func signalOf(text string) assess.Signal {
	switch {
	case dangers.MatchString(text):
		return assess.Danger
	case warnings.MatchString(text):
		return assess.Warning
	}
	return ""
}

// pair notes which kit goes with the study's name for PPE.
func (s *Study) pair(pairs map[[2]string]*Pairing, r *Row, a *assess.Assessment, text string, differ func(what, study, derived string)) {
	kit := cmp.Or(a.Kit, string(a.Status), "none")
	if dangers.MatchString(text) != (a.Status == assess.NoneAllowed) {
		differ("PPE", text, kit)
	}
	if fold(text) == fold(kit) {
		return
	}
	k := [2]string{text, kit}
	if pairs[k] == nil {
		pairs[k] = &Pairing{Study: text, Kit: kit}
	}
	if p := pairs[k]; !slices.Contains(p.IDs, r.Cells["id"]) {
		p.IDs = append(p.IDs, r.Cells["id"])
	}
}

func sortedPairs(pairs map[[2]string]*Pairing) []Pairing {
	kits := map[string]int{}
	var all []Pairing
	for _, p := range pairs {
		kits[p.Study]++
		all = append(all, *p)
	}
	for i := range all {
		all[i].Mixed = kits[all[i].Study] > 1
	}
	slices.SortFunc(all, func(a, b Pairing) int {
		return cmp.Or(strings.Compare(a.Study, b.Study), len(b.IDs)-len(a.IDs), strings.Compare(a.Kit, b.Kit))
	})
	return all
}
