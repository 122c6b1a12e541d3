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
	// On is the printed label to mount.
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
	urgent bool        // it comes before everything else
	notes  []plant.Note
	byHand bool // First is not a command: the label is covered by hand
}

// NewWalk lists what a person has to do on the equipment, see [plant.Plant.Tasks]:
// first the labels to cover, then what can be done, then what must be printed first;
// each in walking order.
func NewWalk(v *plant.Plant) []WalkRow {
	rows, english := []WalkRow{}, (&label.Presentation{}).Walk()
	for _, t := range v.Tasks() {
		r := WalkRow{Area: t.Area, ID: t.ID, Equipment: t.Equipment, Do: t.Do, Note: notes(english, t.Notes),
			First: v.Text(t.First), label: t.Label, urgent: t.Urgent, notes: t.Notes, byHand: t.ByHand()}
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
	slices.SortStableFunc(rows, func(a, b WalkRow) int {
		return cmp.Or(a.part()-b.part(), natural(a.Area, b.Area), natural(a.ID, b.ID))
	})
	return rows
}

// The parts of a walk, in their order.
const (
	walkUrgent = iota
	walkReady  // it can be done now
	walkLater  // something must be printed first
	walkParts
)

// part is the part of a walk to which a row belongs.
func (r *WalkRow) part() int {
	switch {
	case r.urgent:
		return walkUrgent
	case r.First == "":
		return walkReady
	}
	return walkLater
}

// parts splits a walk.
func parts(rows []WalkRow) (all [walkParts][]WalkRow) {
	for _, r := range rows {
		all[r.part()] = append(all[r.part()], r)
	}
	return all
}

// waiting are the rows for which something must be printed first.
func waiting(rows []WalkRow) []WalkRow {
	return slices.DeleteFunc(slices.Clone(rows), func(r WalkRow) bool { return r.First == "" })
}

// doWords are the things to do as a person reads them.
var doWords = map[plant.Do]string{plant.PutOn: "mount", plant.Replace: "replace", plant.Cover: "cover",
	plant.Remove: "verify and remove", plant.Uncover: "remove overlay"}

// WalkText sums up a walk in plain sentences.
func WalkText(rows []WalkRow) string {
	if len(rows) == 0 {
		return (&label.Presentation{}).Walk().WalkNothing + "\n"
	}
	var b strings.Builder
	part := parts(rows)
	for _, g := range firsts(waiting(part[walkUrgent])) {
		fmt.Fprintf(&b, "%s first, %s: %s\n", doWords[g.do], report.Plural(len(g.ids), "label"), report.Few(g.ids))
		switch {
		case g.byHand:
		case g.do != plant.Cover:
			b.WriteString("    print the new label before that:\n")
		case len(g.ids) == 1:
			b.WriteString("    print its overlay before that:\n")
		default:
			b.WriteString("    print their overlays before that:\n")
		}
		fmt.Fprintf(&b, "    -> %s\n", g.first)
	}
	counts, n := make([]string, 0, len(plant.Dos)), 0
	for _, do := range plant.Dos {
		k := 0
		for i := range rows {
			if rows[i].Do == do && rows[i].First == "" {
				k++
			}
		}
		if n += k; k > 0 {
			counts = append(counts, fmt.Sprintf("%s %d", doWords[do], k))
		}
	}
	switch {
	case n > 0:
		fmt.Fprintf(&b, "%d to do: %s\n", n, strings.Join(counts, ", "))
	case len(part[walkUrgent]) == 0:
		b.WriteString("nothing can be done yet\n")
	}
	for _, g := range firsts(part[walkLater]) {
		n := report.Plural(len(g.ids), "location")
		fmt.Fprintf(&b, "print first for %s: %s\n    -> %s\n", n, report.Few(g.ids), g.first)
	}
	return b.String()
}

// first is what must be printed for some locations.
type first struct {
	do     plant.Do // of the first of them
	first  string
	byHand bool
	ids    []string
}

// firsts groups rows by what must be printed first, in the order of the rows.
func firsts(rows []WalkRow) (all []first) {
	for _, r := range rows {
		i := slices.IndexFunc(all, func(f first) bool { return f.first == r.First })
		if i < 0 {
			i, all = len(all), append(all, first{do: r.Do, first: r.First, byHand: r.byHand})
		}
		all[i].ids = append(all[i].ids, r.ID)
	}
	return all
}

// WalkPDF sets a walk on paper, in the first language of the site.
func WalkPDF(rows []WalkRow, v *plant.Plant, look Look, paper layout.Paper) ([]byte, error) {
	words := look.Walk()
	w := &layout.Walk{Words: words, Site: v.Site.Policy.Name, Date: v.Today.String(), Paper: paper}
	part := parts(rows)
	for i, of := range [walkParts]*[]layout.WalkRow{&w.First, &w.Rows, &w.Later} {
		for k := range part[i] {
			*of = append(*of, part[i][k].onPaper(words))
		}
	}
	if urgent := part[walkUrgent]; len(urgent) > 0 {
		w.Urgent = []string{words.WalkUrgent}
		if before := toPrint(urgent, words); before != "" {
			w.Urgent = append(w.Urgent, before)
		}
		w.Urgent = append(w.Urgent, strings.Join(how(urgent, words), " "))
	}
	if ready := part[walkReady]; len(ready) > 0 {
		w.How = how(ready, words)
	}
	if later := part[walkLater]; len(later) > 0 {
		w.Why = append([]string{words.WalkLater}, lines(firsts(later), words)...)
	}
	document := layout.Document{Title: words.WalkTitle, Language: look.Languages[0], Date: v.Today.Time()}
	return layout.WritePages(document, layout.WalkPages(w))
}

// onPaper is a row as it is set. One that covers a label has a box even before its
// overlay is printed: nothing else in the row changes then.
func (r *WalkRow) onPaper(words *label.WalkWords) layout.WalkRow {
	return layout.WalkRow{Area: r.Area, ID: r.ID, Equipment: r.Equipment, Do: r.steps(words), Note: notes(words, r.notes),
		Waits: r.First != "" && r.Do != plant.Cover}
}

// toPrint says which overlays must be printed before a walk, and what is covered by hand.
func toPrint(urgent []WalkRow, words *label.WalkWords) string {
	all := firsts(waiting(urgent))
	i := slices.IndexFunc(all, func(f first) bool { return f.byHand })
	if i >= 0 { // it comes last: nothing is printed for it
		all = append(slices.Delete(slices.Clone(all), i, i+1), all[i])
	}
	said := lines(all, words)
	if len(all) > 0 && !all[0].byHand {
		said = append([]string{words.WalkPrintFirst}, said...)
	}
	return strings.Join(said, " ")
}

// lines say what must be done first, and for which locations.
func lines(all []first, words *label.WalkWords) (said []string) {
	for _, f := range all {
		do := f.first
		if f.byHand {
			do = words.WalkByHand
		}
		said = append(said, words.First(f.ids, do))
	}
	return said
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
		if !r.byHand {
			all = append(all, layout.WalkStep{Verb: w.WalkWith, What: w.WalkItsOverlay, Strong: true})
			if r.Stays != r.label { // another label was printed since, but was not noted as mounted
				all[1].What = w.OverlayOf(r.label)
			}
		}
		return all
	case plant.Uncover:
		return append(all, layout.WalkStep{Verb: w.WalkRemove, What: w.WalkOverlay}, step(w.WalkLeave, r.Stays))
	}
	switch {
	case r.Do == plant.Remove:
		return append(all, step(w.WalkVerify, r.Off))
	case r.Off != "":
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
	return strings.Join(report.TaskNotes(w, all), "; ")
}
