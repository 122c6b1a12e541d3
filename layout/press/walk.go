package press

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"vouchmark/label"
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
	// Off is the label to remove, as far as is known which one is there.
	Off record.Code `json:"take_off,omitempty"`
	// On is the printed label to put on.
	On record.Code `json:"put_on,omitempty"`
	// Stays is the label that stays: the one to cover, or the one below the overlay
	// that is removed.
	Stays record.Code `json:"stays,omitempty"`
	// Overlay is true where an overlay goes on or comes off.
	Overlay bool   `json:"overlay,omitempty"`
	Note    string `json:"note,omitempty"`
	// First is the command that prints what the row needs; "" if it was printed.
	First string `json:"print_first,omitempty"`

	label  record.Code // the label printed last, which the row is about; "" if it is not printed yet
	notes  []plant.Note
	byHand bool // First is not a command: the label is covered by hand
}

// NewWalk lists what a person has to do on the equipment in walking order, see
// [plant.Plant.Tasks]: first what can be done, then what must be printed first.
func NewWalk(v *plant.Plant) []WalkRow {
	rows, english := []WalkRow{}, (&label.Presentation{}).Walk()
	for _, t := range v.Tasks() {
		r := WalkRow{Area: t.Area, ID: t.ID, Equipment: t.Equipment, Do: t.Do, Note: notes(english, t.Notes),
			First: v.Text(t.First), label: t.Label, notes: t.Notes, byHand: t.ByHand()}
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

// ready is how many rows can be done; they come first.
func ready(rows []WalkRow) int {
	n := slices.IndexFunc(rows, func(r WalkRow) bool { return r.First != "" })
	if n < 0 {
		return len(rows)
	}
	return n
}

// WalkText sums up a walk in plain sentences.
func WalkText(rows []WalkRow) string {
	if len(rows) == 0 {
		return (&label.Presentation{}).Walk().WalkNothing + "\n"
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
	first  string
	byHand bool
	ids    []string
}

// firsts groups rows by what must be printed first, in the order of the rows.
func firsts(rows []WalkRow) (all []first) {
	for _, r := range rows {
		i := slices.IndexFunc(all, func(f first) bool { return f.first == r.First })
		if i < 0 {
			i, all = len(all), append(all, first{first: r.First, byHand: r.byHand})
		}
		all[i].ids = append(all[i].ids, r.ID)
	}
	return all
}

// WalkPDF sets a walk on paper, in the first language of the site.
func WalkPDF(rows []WalkRow, v *plant.Plant, look Look, paper layout.Paper) ([]byte, error) {
	words := look.Walk()
	w := &layout.Walk{Words: words, Site: v.Site.Policy.Name, Date: v.Today.String(), Paper: paper}
	n := ready(rows)
	for i := range rows {
		from := &rows[i]
		r := layout.WalkRow{Area: from.Area, ID: from.ID, Equipment: from.Equipment, Do: from.steps(words),
			Note: notes(words, from.notes)}
		if i < n {
			w.Rows = append(w.Rows, r)
		} else {
			w.Later = append(w.Later, r)
		}
	}
	if n > 0 {
		w.How = how(rows[:n], words)
	}
	if n < len(rows) {
		w.Why = []string{words.WalkLater}
		for _, f := range firsts(rows[n:]) {
			do := f.first
			if f.byHand {
				do = words.WalkByHand
			}
			w.Why = append(w.Why, words.First(f.ids, do))
		}
	}
	document := layout.Document{Title: words.WalkTitle, Language: look.Languages[0], Date: v.Today.Time()}
	return layout.WritePages(document, layout.WalkPages(w))
}

// steps are what to do, as a person does it.
func (r *WalkRow) steps(w *label.WalkWords) []layout.WalkStep {
	step := func(verb string, what record.Code) layout.WalkStep {
		return layout.WalkStep{Verb: verb, What: string(what)}
	}
	var all []layout.WalkStep
	switch r.Do {
	case plant.Cover:
		all = append(all, step(w.WalkCover, r.Stays))
		if r.First == "" {
			all = append(all, layout.WalkStep{Verb: w.WalkWith, What: w.WalkItsOverlay, Strong: true})
			if r.Stays != r.label { // another label was printed since, but was not noted as mounted
				all[1].What = w.OverlayOf(r.label)
			}
		}
		return all
	case plant.Uncover:
		return append(all, layout.WalkStep{Verb: w.WalkRemove, What: w.WalkOverlay}, step(w.WalkLeave, r.Stays))
	}
	if r.Off != "" {
		all = append(all, step(w.WalkRemove, r.Off))
	}
	switch {
	case r.On != "":
		all = append(all, layout.WalkStep{Verb: w.WalkPutOn, What: string(r.On), Strong: true})
	case r.First != "":
		all = append(all, layout.WalkStep{Verb: w.WalkPutOn, What: w.WalkNewLabel, Strong: true})
	}
	return all
}

// how says how to do the rows of a walk.
func how(rows []WalkRow, w *label.WalkWords) []string {
	has := func(dos ...plant.Do) bool {
		return slices.ContainsFunc(rows, func(r WalkRow) bool { return slices.Contains(dos, r.Do) })
	}
	all := []string{w.WalkCheck}
	if has(plant.Replace) {
		all = append(all, w.WalkAtOnce)
	}
	if has(plant.Cover) {
		all = append(all, w.WalkOver)
	}
	if has(plant.PutOn, plant.Replace, plant.Cover) {
		all = append(all, w.WalkUnlisted)
	}
	return append(all, w.WalkTick)
}

// notes words the notes of a task.
func notes(w *label.WalkWords, all []plant.Note) string {
	texts := make([]string, len(all))
	for i, n := range all {
		texts[i] = map[plant.NoteKind]string{
			plant.NoteTooLow: w.WalkTooLow, plant.NoteStrip: w.WalkStrip, plant.NoteAgain: w.WalkAgain,
			plant.NoteGone: w.WalkGone, plant.NoteIfGone: w.WalkIfGone, plant.NoteUnlabeled: w.WalkUnlabeled,
			plant.NoteWithdrawn: w.Withdrawn(n.Date, n.Reason),
		}[n.What]
	}
	return strings.Join(texts, "; ")
}
