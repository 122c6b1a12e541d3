package report

import (
	"cmp"
	"fmt"
	"io"
	"slices"
	"strings"
	"text/tabwriter"

	"vouchmark/assess"
	"vouchmark/assess/standing"
)

// Table writes the view for a person: what needs attention first, then every
// finding in full, then a count. width is that of the terminal.
func (v *View) Table(w io.Writer, width int) error {
	places := slices.Clone(v.Places)
	slices.SortStableFunc(places, func(a, b Place) int { return cmp.Compare(a.urgency(), b.urgency()) })
	var b strings.Builder
	t := tabwriter.NewWriter(&b, 0, 0, 2, ' ', 0)
	fmt.Fprintln(t, "LOCATION\tLABEL\t\t\tAT\tBOUNDARY\tSTANDING\tSAYS")
	for i := range places {
		fmt.Fprintln(t, places[i].line(&v.Site.Policy))
	}
	if err := t.Flush(); err != nil {
		return err
	}
	for _, level := range []assess.Level{assess.Error, assess.Caution} {
		v.findings(&b, level, width)
	}
	fmt.Fprintf(&b, "\n%s\n%s\n", v.count(), v.methods())
	_, err := io.WriteString(w, b.String())
	return err
}

// urgency puts errors first, then what has lapsed, falls due, has a caution.
func (p *Place) urgency() int {
	switch {
	case !p.Assessment.Prints():
		return 0
	case p.Standing.Status == standing.Lapsed:
		return 1
	case p.Standing.Status == standing.FallsDue:
		return 2
	case len(p.Assessment.Findings) > 0:
		return 3
	}
	return 4
}

func (p *Place) line(policy *assess.Policy) string {
	a := p.Assessment
	energy, boundary, distance := p.printed(policy.Units)
	signal, kit, says := string(a.Signal), "no arc kit", "-"
	switch {
	case a.Status == assess.NoneAllowed:
		kit = "no kit allowed"
	case a.Rung >= 0:
		kit = a.Kit(policy)
	}
	errors, cautions := 0, 0
	for _, f := range a.Findings {
		if f.Level == assess.Error {
			errors++
		} else {
			cautions++
		}
	}
	var parts []string
	if errors > 0 {
		signal, energy, kit, boundary = "not printed", "", "", "-"
		parts = append(parts, Plural(errors, "error"))
	}
	if cautions > 0 {
		parts = append(parts, Plural(cautions, "caution"))
	}
	if parts != nil {
		says = strings.Join(parts, ", ")
	}
	return strings.Join([]string{a.Location.ID, signal, energy, kit, distance, boundary, p.standingWords(), says}, "\t")
}

// standingWords is the standing with the day that matters.
func (p *Place) standingWords() string {
	switch p.Standing.Status {
	case standing.Lapsed:
		return fmt.Sprintf("lapsed since %s", p.Standing.Reasons[0].Since)
	case standing.FallsDue:
		return fmt.Sprintf("falls due %s", p.Assessment.ReviewBy)
	}
	return fmt.Sprintf("holds until %s", p.Assessment.ReviewBy)
}

// findings writes every finding of one level: which place, which line of the
// file, and the sentence, wrapped and indented.
func (v *View) findings(b *strings.Builder, level assess.Level, width int) {
	for _, f := range v.Site.Policy.Findings {
		if f.Level == level {
			writeFinding(b, level, "policy", "site.toml", f, width)
		}
	}
	for i := range v.Places {
		a := v.Places[i].Assessment
		for _, f := range a.Findings {
			if f.Level == level {
				writeFinding(b, level, a.Location.ID, "locations.csv", f, width)
			}
		}
	}
}

func writeFinding(b *strings.Builder, level assess.Level, id, file string, f assess.Finding, width int) {
	head := fmt.Sprintf("%-7s  %-8s  %s:%d: ", level, id, file, f.Line)
	b.WriteString("\n" + Wrap(f.Field+": "+f.Message, head, strings.Repeat(" ", 19), width))
}

// count is the last line: how many there are, and how many print.
func (v *View) count() string {
	var printable, refused, lapsed, due int
	for i := range v.Places {
		p := &v.Places[i]
		switch {
		case !p.Assessment.Prints():
			refused++
		case p.Standing.Status == standing.Lapsed:
			lapsed++
		default:
			printable++
			if p.Standing.Status == standing.FallsDue {
				due++
			}
		}
	}
	s := fmt.Sprintf("%s: %d to print", Plural(len(v.Places), "location"), printable)
	for _, part := range []struct {
		n    int
		text string
	}{{due, "of them falling due"}, {refused, "with an error"}, {lapsed, "lapsed"}} {
		if part.n > 0 {
			s += fmt.Sprintf(", %d %s", part.n, part.text)
		}
	}
	return s
}

// methods says how many results were recomputed, by which method, and how
// many rest on the study's word.
func (v *View) methods() string {
	var parts []string
	for _, m := range []assess.Method{assess.IEEE1584, assess.Lee, assess.DCMaxPower} {
		if n := v.countCases(func(a *assess.Assessment, i int) bool { return a.Computed[i] != nil && a.Computed[i].Method == m }); n > 0 {
			parts = append(parts, fmt.Sprintf("%d by %s", n, m.Standard()))
		}
	}
	s := "recomputed: none"
	if parts != nil {
		s = "recomputed: " + strings.Join(parts, ", ")
	}
	for _, rest := range []struct {
		text string
		is   func(*assess.Assessment, int) bool
	}{
		{"not recomputable", func(a *assess.Assessment, i int) bool {
			return a.Computed[i] == nil && a.Location.Cases[i].Method != assess.Stated
		}},
		{"on the study's word alone (method stated)", func(a *assess.Assessment, i int) bool { return a.Location.Cases[i].Method == assess.Stated }},
	} {
		if n := v.countCases(rest.is); n > 0 {
			s += fmt.Sprintf("; %d %s", n, rest.text)
		}
	}
	return s
}

func (v *View) countCases(is func(*assess.Assessment, int) bool) int {
	n := 0
	for _, p := range v.Places {
		for i := range p.Assessment.Location.Cases {
			if is(p.Assessment, i) {
				n++
			}
		}
	}
	return n
}

// Plural counts things: 1 label, 2 labels.
func Plural(n int, noun string) string {
	if n == 1 {
		return "1 " + noun
	}
	return fmt.Sprintf("%d %ss", n, noun)
}
