package report

import (
	"fmt"
	"io"
	"slices"
	"strings"
	"unicode/utf8"

	"vouchmark/assess"
	"vouchmark/assess/standing"
	"vouchmark/label/plant"
)

// shapes are the states in one sign each, to be told apart without colour. They
// are a house choice; the word always stands beside its sign.
var shapes = map[string]string{
	string(standing.Holds): "●", string(standing.FallsDue): "◔", string(standing.Lapsed): "■",
	string(standing.InQuestion): "◆", string(standing.Replaced): "⇄", string(standing.Withdrawn): "✕",
	plant.NotPrinted: "⊘", plant.ReadyToPrint: "○", plant.NoLabel: "·",
}

// Text writes the picture for a terminal: the branches, of each location its
// standing by shape and word, and last a legend. Rows longer than the width are
// wrapped, none is cut.
func (t *Tree) Text(w io.Writer, width int) error {
	var b strings.Builder
	b.WriteString(Wrap(t.Title(), "", "  ", width) + "\n")
	columns := t.columns(width)
	for i := range t.Rows {
		if i > 0 && t.Rows[i].Kind == HeadingRow {
			b.WriteString("\n")
		}
		t.Rows[i].text(&b, columns, width)
	}
	b.WriteString("\n" + Wrap(t.legend(), "", "  ", width))
	for _, line := range t.Explained() {
		b.WriteString(Wrap(line, "", "  ", width))
	}
	_, err := io.WriteString(w, b.String())
	return err
}

// Title says what is drawn, and of which day.
func (t *Tree) Title() string {
	from := "the service"
	if t.From != "" {
		from = t.From
	}
	return fmt.Sprintf("%s, from %s down, on %s", t.Site, from, t.Today)
}

// Words are the state as several of them, or the one, are spoken of.
func (s *StateCount) Words() string {
	if words, ok := plural[standing.Status(s.State)]; ok && s.Count != 1 {
		return words
	}
	return s.State
}

// legend counts the states, each beside its sign.
func (t *Tree) legend() string {
	var parts []string
	for i := len(t.States) - 1; i >= 0; i-- {
		s := &t.States[i]
		parts = append(parts, fmt.Sprintf("%s %d %s", shapes[s.State], s.Count, s.Words()))
	}
	if t.TooLow > 0 {
		parts = append([]string{fmt.Sprintf("%s: %d", standing.Cover, t.TooLow)}, parts...)
	}
	return t.count() + ": " + strings.Join(parts, ", ")
}

// count says how many locations there are, and how many labels beside them.
func (t *Tree) count() string {
	n := map[TreeKind]int{}
	for i := range t.Rows {
		n[t.Rows[i].Kind]++
	}
	s := Plural(n[FullRow], "location")
	if n[UnlistedRow] > 0 {
		s += " and " + Plural(n[UnlistedRow], "label") + " without a row"
	}
	return s
}

// Explained says what the signs and words do not.
func (t *Tree) Explained() []string {
	said := map[string]bool{}
	for _, s := range t.States {
		said[s.State] = true
	}
	var lines []string
	if slices.ContainsFunc(t.Rows, func(r TreeRow) bool { return r.Signal == assess.Danger }) {
		lines = append(lines, "DANGER: above the owner's cutoff, no kit is allowed")
	}
	if said[string(standing.Holds)] {
		lines = append(lines, holdsMeans)
	}
	if said[plant.NotPrinted] || said[plant.ReadyToPrint] {
		lines = append(lines, "ready to print, not printed: no label was printed for it yet; "+
			"what is shown is what one would say")
	}
	if slices.ContainsFunc(t.Rows, func(r TreeRow) bool { return r.Errors > 0 }) {
		lines = append(lines, "error: vouchmark check says what stops the label")
	}
	return lines
}

// lead is what stands before a row's words, and before the lines that it is
// wrapped into.
func (r *TreeRow) lead() (first, rest string) {
	bar := map[bool]string{false: "   ", true: "│  "}
	for k := 1; k < r.Level; k++ {
		first += bar[r.Runs(k)]
	}
	rest = first
	if r.Level > 0 {
		rest += bar[!r.Last]
		first += map[bool]string{false: "├─ ", true: "└─ "}[r.Last]
	}
	return first, rest + bar[r.Down]
}

// head is the lead of a row in full, its shape and its id.
func (r *TreeRow) head() string {
	first, _ := r.lead()
	return first + shapes[r.State] + " " + Printable(r.ID)
}

// columns are the widths of what stands in line: id, voltage, label. A row in
// which something is wider pushes the rest on. Where too little would be left
// for the standing there are none, and the words only follow each other.
func (t *Tree) columns(width int) [3]int {
	var c [3]int
	most := [3]int{width * 2 / 5, width / 8, width * 2 / 5}
	for i := range t.Rows {
		r := &t.Rows[i]
		if !r.Full() {
			continue
		}
		for k, cell := range []string{r.head(), r.Voltage, r.label()} {
			if n := utf8.RuneCountInString(cell); n <= most[k] {
				c[k] = max(c[k], n)
			}
		}
	}
	if c[0]+c[1]+c[2]+6+len("in question since 2026-08-11") > width {
		return [3]int{}
	}
	return c
}

// label is short: that DANGER allows no kit is explained once.
func (r *TreeRow) label() string {
	signal, rest := r.LabelWords()
	if r.KitStatus != nil && *r.KitStatus == assess.NoneAllowed && rest != "" {
		rest = r.EnergyPrinted
	}
	return strings.TrimSpace(signal + " " + rest)
}

func (r *TreeRow) text(b *strings.Builder, columns [3]int, width int) {
	first, rest := r.lead()
	switch r.Kind {
	case HeadingRow:
		b.WriteString(Wrap(r.Pointer(), "", "  ", width))
		return
	case ReferenceRow:
		b.WriteString(Wrap(r.Pointer(), first, rest, width))
		return
	}
	head := r.head()
	cells := []string{head, r.Voltage, r.label()}
	line := ""
	for k, cell := range cells {
		cell = Printable(cell)
		if pad := columns[k] - utf8.RuneCountInString(cell); cell != "" || pad > 0 {
			line += cell + strings.Repeat(" ", max(pad, 0)+2)
		}
	}
	words := strings.Join(append([]string{r.StandingWords()}, r.Notes()...), "; ")
	n := utf8.RuneCountInString(line)
	switch {
	case n+utf8.RuneCountInString(words) <= width:
		b.WriteString(line + Printable(words) + "\n")
	case columns[0] > 0 && n <= width-16:
		b.WriteString(Wrap(words, line, rest+strings.Repeat(" ", max(0, n-utf8.RuneCountInString(rest))), width))
	default:
		filled := slices.DeleteFunc(append(cells[1:], words), func(s string) bool { return s == "" })
		b.WriteString(Wrap(strings.Join(filled, " · "), head+"  ", rest, width))
	}
}
