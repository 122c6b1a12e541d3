package report

import (
	"fmt"
	"io"
	"slices"
	"strings"

	"vouchmark/assess"
	"vouchmark/assess/standing"
	"vouchmark/label/plant"
)

// shapes gives each state a sign that can be told apart without color. The signs
// are a house choice; each is always shown with its word.
var shapes = map[string]string{
	string(standing.Holds): "●", string(standing.FallsDue): "◔", string(standing.Lapsed): "■",
	string(standing.InQuestion): "◆", string(standing.Replaced): "⇄", string(standing.Withdrawn): "✕",
	plant.NotPrinted: "⊘", plant.ReadyToPrint: "○", plant.NoLabel: "·",
}

// Text writes the picture for a terminal: the branches, the standing of each
// location by sign and word, and a legend. Rows longer than the width are
// wrapped, never cut.
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

// Title says what is drawn, and for which day.
func (t *Tree) Title() string {
	from := "the service"
	if t.From != "" {
		from = t.From
	}
	return fmt.Sprintf("%s, from %s down, on %s", t.Site, from, t.Today)
}

// legend counts the states, each with its sign.
func (t *Tree) legend() string { return t.tally.size() + ": " + t.tally.counted(true) }

// Explained explains the signs and words.
func (t *Tree) Explained() []string {
	said := map[string]bool{}
	for _, s := range t.States {
		said[s.State] = true
	}
	shown := func(is func(r *TreeRow) bool) bool {
		return slices.ContainsFunc(t.Rows, func(r TreeRow) bool { return r.KitStatus != nil && !r.hidden && is(&r) })
	}
	var lines []string
	if shown(func(r *TreeRow) bool { return r.Signal == assess.Danger }) {
		lines = append(lines, "DANGER: above the site's cutoff; no energized work")
	}
	if shown(func(r *TreeRow) bool { return *r.KitStatus == assess.NotRequired }) {
		lines = append(lines, below12)
	}
	if said[string(standing.Holds)] {
		lines = append(lines, holdsMeans)
	}
	if said[plant.ReadyToPrint] {
		lines = append(lines, "ready to print: no label has been printed yet; the row shows what it would say")
	}
	if said[plant.NotPrinted] {
		lines = append(lines, "not printed: no label has been printed yet, and something prevents it")
	}
	if slices.ContainsFunc(t.Rows, func(r TreeRow) bool { return r.hidden && r.State != plant.NoLabel }) {
		lines = append(lines, "no values: the label does not hold, or cannot be printed")
	}
	if slices.ContainsFunc(t.Rows, func(r TreeRow) bool { return r.Errors > 0 }) {
		lines = append(lines, "error: vouchmark check --full shows what stops the label")
	}
	return lines
}

// lead is what comes before a row's words, and before its wrapped lines.
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

// head is the lead of a full row, its sign and its id.
func (r *TreeRow) head() string {
	first, _ := r.lead()
	return first + shapes[r.State] + " " + Printable(r.ID)
}

// columns gives the widths of the aligned columns: id, voltage, label. A wider
// cell pushes the rest of its row to the right. If too little room would be left
// for the standing, nothing is aligned.
func (t *Tree) columns(width int) [3]int {
	var c [3]int
	most := [3]int{width * 2 / 5, width / 8, width * 2 / 5}
	for i := range t.Rows {
		r := &t.Rows[i]
		if !r.Full() {
			continue
		}
		for k, cell := range []string{r.head(), r.Voltage, r.label()} {
			if n := Width(cell); n <= most[k] {
				c[k] = max(c[k], n)
			}
		}
	}
	if c[0]+c[1]+c[2]+6+len("in question since 2026-08-11") > width {
		return [3]int{}
	}
	return c
}

// label is short: the legend explains DANGER once.
func (r *TreeRow) label() string {
	signal, rest := r.LabelWords()
	if r.KitStatus != nil && *r.KitStatus == assess.NoneAllowed && rest != "" {
		rest = r.energy
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
		if pad := columns[k] - Width(cell); cell != "" || pad > 0 {
			line += cell + strings.Repeat(" ", max(pad, 0)+2)
		}
	}
	words := strings.Join(append([]string{r.StandingWords()}, r.Notes()...), "; ")
	n := Width(line)
	if cells[2] == "" && columns[2] > 0 && n+Width(words) > width { // use the room of the label that is not shown
		line = line[:len(line)-columns[2]-2]
		n = Width(line)
	}
	switch {
	case n+Width(words) <= width:
		b.WriteString(line + Printable(words) + "\n")
	case columns[0] > 0 && n <= width-16:
		b.WriteString(Wrap(words, line, rest+strings.Repeat(" ", max(0, n-Width(rest))), width))
	default:
		filled := slices.DeleteFunc(append(cells[1:], words), func(s string) bool { return s == "" })
		b.WriteString(Wrap(strings.Join(filled, " · "), head+"  ", rest, width))
	}
}
