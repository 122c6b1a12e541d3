package press

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"vouchmark/label/plant"
	"vouchmark/label/record"
	"vouchmark/label/report"
	"vouchmark/layout"
)

// WalkRow is one thing to do on the equipment.
type WalkRow struct {
	Area      string   `json:"area"`
	ID        string   `json:"id"`
	Equipment string   `json:"equipment"`
	Do        plant.Do `json:"do"`
	// Off is the label to remove, as far as is known.
	Off record.Code `json:"take_off,omitempty"`
	// On is the printed label to put on.
	On record.Code `json:"put_on,omitempty"`
	// Stays is the label that stays: it is covered, or its overlay is removed.
	Stays record.Code `json:"stays,omitempty"`
	// Overlay is true if an overlay goes on or comes off.
	Overlay bool   `json:"overlay,omitempty"`
	Note    string `json:"note,omitempty"`
	// First is the command that prints what is needed first; "" if it is printed.
	First string `json:"print_first,omitempty"`

	label record.Code // printed last, which is meant; "" where it is not printed yet
}

// NewWalk lists what to do on the equipment in walking order, see
// [plant.Plant.Tasks]: first what can be done now, then what must be printed first.
func NewWalk(v *plant.Plant) []WalkRow {
	rows := []WalkRow{}
	for _, t := range v.Tasks() {
		r := WalkRow{Area: t.Area, ID: t.ID, Equipment: t.Equipment, Do: t.Do, Note: t.Note, First: v.Text(t.First),
			label: t.Label}
		switch t.Do {
		case plant.PutOn, plant.Replace:
			r.Off, r.On = t.There, t.Label
		case plant.Remove:
			r.Off = t.There
		default:
			r.Stays, r.Overlay = t.There, true
		}
		rows = append(rows, r)
	}
	later := map[bool]int{true: 1}
	slices.SortStableFunc(rows, func(a, b WalkRow) int {
		return cmp.Or(later[a.First != ""]-later[b.First != ""], natural(a.Area, b.Area), natural(a.ID, b.ID))
	})
	return rows
}

// ready is how many rows can be done now; they come first.
func ready(rows []WalkRow) int {
	n := slices.IndexFunc(rows, func(r WalkRow) bool { return r.First != "" })
	if n < 0 {
		return len(rows)
	}
	return n
}

// nothingToDo is the text of a walk without rows.
const nothingToDo = "Nothing to do: every printed label is noted as mounted, and every label that does not hold is covered or marked."

// WalkWords sums up a walk in plain sentences.
func WalkWords(rows []WalkRow) string {
	if len(rows) == 0 {
		return nothingToDo + "\n"
	}
	var b strings.Builder
	n := ready(rows)
	counts := make([]string, 0, len(plant.Dos))
	for _, do := range plant.Dos {
		if k := len(slices.DeleteFunc(slices.Clone(rows[:n]), func(r WalkRow) bool { return r.Do != do })); k > 0 {
			counts = append(counts, fmt.Sprintf("%s %d", do, k))
		}
	}
	if n > 0 {
		fmt.Fprintf(&b, "%d to do: %s\n", n, strings.Join(counts, ", "))
	} else {
		b.WriteString("nothing can be done yet\n")
	}
	for _, g := range firsts(rows[n:]) {
		n := report.Plural(len(g.ids), "location")
		fmt.Fprintf(&b, "print first for %s: %s\n    -> %s\n", n, report.Few(g.ids), g.first)
	}
	return b.String()
}

// first is what must be printed for some locations.
type first struct {
	first string
	ids   []string
}

// firsts groups rows by what must be printed first, in their order.
func firsts(rows []WalkRow) (all []first) {
	for _, r := range rows {
		i := slices.IndexFunc(all, func(f first) bool { return f.first == r.First })
		if i < 0 {
			i, all = len(all), append(all, first{first: r.First})
		}
		all[i].ids = append(all[i].ids, r.ID)
	}
	return all
}

// WalkPDF writes a walk as a PDF.
func WalkPDF(rows []WalkRow, v *plant.Plant, paper layout.Paper) ([]byte, error) {
	w := &layout.Walk{Site: v.Site.Policy.Name, Date: v.Today.String(), Paper: paper, Nothing: nothingToDo}
	n := ready(rows)
	for i := range rows {
		from := &rows[i]
		r := layout.WalkRow{Area: from.Area, ID: from.ID, Equipment: from.Equipment, Do: from.steps(), Note: from.Note}
		if i < n {
			w.Rows = append(w.Rows, r)
		} else {
			w.Later = append(w.Later, r)
		}
	}
	if n > 0 {
		w.How = how(rows[:n])
	}
	if n < len(rows) {
		w.Why = []string{"These cannot be done yet."}
		for _, f := range firsts(rows[n:]) {
			w.Why = append(w.Why, fmt.Sprintf("%s: %s.", report.Few(f.ids), f.first))
		}
	}
	document := layout.Document{Title: "Label walk", Language: "en", Date: v.Today.Time()}
	return layout.WritePages(document, layout.WalkPages(w))
}

// steps are what to do, as a person does it.
func (r *WalkRow) steps() []layout.WalkStep {
	step := func(verb string, what record.Code) layout.WalkStep {
		return layout.WalkStep{Verb: verb, What: string(what)}
	}
	var all []layout.WalkStep
	switch r.Do {
	case plant.Cover:
		all = append(all, step("Cover", r.Stays))
		if r.First == "" {
			all = append(all, layout.WalkStep{Verb: "with", What: "its overlay", Strong: true})
			if r.Stays != r.label { // another label was printed since, and is not noted as mounted
				all[1].What = "overlay " + string(r.label)
			}
		}
		return all
	case plant.Uncover:
		return append(all, layout.WalkStep{Verb: "Remove", What: "the overlay"}, step("Leave", r.Stays))
	}
	if r.Off != "" {
		all = append(all, step("Remove", r.Off))
	}
	switch {
	case r.On != "":
		all = append(all, layout.WalkStep{Verb: "Put on", What: string(r.On), Strong: true})
	case r.First != "":
		all = append(all, layout.WalkStep{Verb: "Put on", What: "a new label", Strong: true})
	}
	return all
}

// how tells how to do the rows of a walk.
func how(rows []WalkRow) []string {
	has := func(dos ...plant.Do) bool {
		return slices.ContainsFunc(rows, func(r WalkRow) bool { return slices.Contains(dos, r.Do) })
	}
	all := []string{"Check that the ID matches the equipment and each code matches this list."}
	if has(plant.Replace) {
		all = append(all, "When you replace a label, put the new one on as soon as the old one is off.")
	}
	if has(plant.Cover) {
		all = append(all, "Stick an overlay over the label; the label stays.")
	}
	if has(plant.PutOn, plant.Replace, plant.Cover) {
		all = append(all, "If you find a label that is not listed, write down its code.")
	}
	return append(all, "Then tick and initial the row.")
}
