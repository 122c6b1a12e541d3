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
	"vouchmark/label"
	"vouchmark/label/plant"
)

// Table writes a plant for a person: what needs attention first, then every
// finding in full, then a count. width is that of the terminal.
func Table(v *plant.Plant, w io.Writer, width int) error {
	places := slices.Clone(v.Places)
	slices.SortStableFunc(places, func(a, b plant.Place) int { return cmp.Compare(urgency(&a), urgency(&b)) })
	var b strings.Builder
	t := tabwriter.NewWriter(&b, 0, 0, 2, ' ', 0)
	fmt.Fprintln(t, "LOCATION\tLABEL\t\t\tAT\tBOUNDARY\tSTANDING\tSAYS")
	for i := range places {
		fmt.Fprintln(t, line(&places[i]))
	}
	if err := t.Flush(); err != nil {
		return err
	}
	for _, u := range v.Unlisted {
		if u.Standing.Status != standing.Withdrawn {
			fmt.Fprintf(&b, "%s  a label was printed, and locations.csv has no row: %s\n", u.ID, StandingWords(&u.Standing))
		}
	}
	findings(v, &b, assess.Error, width)
	reasons(v, &b, width)
	findings(v, &b, assess.Caution, width)
	fmt.Fprintf(&b, "\n%s\n%s\n%s\n", count(v), methods(v), legend(v))
	_, err := io.WriteString(w, b.String())
	return err
}

// urgency puts errors first, then what does not hold, the worst first, then
// what has a caution.
func urgency(p *plant.Place) int {
	switch {
	case !p.Assessment.Prints():
		return -1
	case p.Judged().Status != standing.Holds:
		return p.Judged().Status.Rank()
	case len(p.Assessment.Findings) > 0:
		return len(standing.States)
	}
	return len(standing.States) + 1
}

func line(p *plant.Place) string {
	a := p.Assessment
	energy, boundary, distance := numbers(a)
	signal, kit, says := string(a.Signal), "no arc kit", "-"
	switch {
	case a.Status == assess.NoneAllowed:
		kit = "no kit allowed"
	case a.Kit != "":
		kit = a.Kit
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
	if r := p.Judged().Worst(); r != nil && r.Cause != standing.ByAgeCause {
		parts = append(parts, cmp.Or(r.Kind, string(r.Cause)))
	}
	if room := p.Headroom.Energy; room != nil && errors == 0 && p.Judged().Status.Rank() >= standing.FallsDue.Rank() {
		parts = append(parts, "room "+percent(room.Percent))
	}
	if parts != nil {
		says = strings.Join(parts, ", ")
	}
	return strings.Join([]string{a.Location.ID, signal, energy, kit, distance, boundary, state(p), says}, "\t")
}

// state is the standing of the label printed last, with the day that matters. A
// label that was never printed has none: it is ready to print, or not printed.
func state(p *plant.Place) string {
	if p.Printed != nil {
		return StandingWords(&p.Printed.Standing)
	}
	return p.State()
}

// numbers are those of a label as it words them.
func numbers(a *assess.Assessment) (energy, boundary, distance string) {
	u := a.Policy.Units
	if a.Energy.Value > 0 {
		energy = label.Energy(a.Energy.Value, u)
	}
	if b := a.BoundaryToPrint; b > 0 {
		boundary = label.Length(b, b, u)
	}
	return energy, boundary, label.Distance(a.Location.Distance, u)
}

// StandingWords is a standing with the day that matters.
func StandingWords(s *standing.Standing) string {
	switch s.Status {
	case standing.Holds:
		return fmt.Sprintf("holds until %s", s.Until)
	case standing.FallsDue:
		return fmt.Sprintf("falls due %s", s.Until)
	}
	if s.Worst().Found {
		return string(s.Status)
	}
	return fmt.Sprintf("%s since %s", s.Status, s.Worst().Since)
}

// holdsMeans keeps a good standing from being read as more than it is.
const holdsMeans = "holds: no change logged since the survey, or each one settled; " +
	"that is not to say that nothing was changed"

// legend says what the columns do not.
func legend(v *plant.Plant) string {
	text := holdsMeans
	for i := range v.Places {
		if v.Places[i].Headroom.Energy != nil {
			return text + "\nroom: how much longer the arc may last before the printed energy is understated; " +
				"basis and --json show all of it"
		}
	}
	return text
}

// findings writes every finding of one level: which place, which line of the
// file, and the sentence, wrapped and indented.
func findings(v *plant.Plant, b *strings.Builder, level assess.Level, width int) {
	for _, f := range v.Findings {
		if f.Level == level && f.File == "" {
			writeFinding(b, level, "policy", "site.toml", f, width)
		} else if f.Level == level {
			writeFinding(b, level, "log", f.File, f, width)
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

// plural is how several labels of a state are spoken of.
var plural = map[standing.Status]string{standing.Holds: "hold", standing.FallsDue: "fall due"}

// count says how many locations there are, how many would print, and of the
// printed labels how many have which standing.
func count(v *plant.Plant) string {
	printable, stopped, refused, never := 0, 0, 0, 0
	status := map[standing.Status]int{}
	for i := range v.Places {
		p := &v.Places[i]
		switch {
		case !p.Assessment.Prints():
			stopped++
		case p.Refusal(false) == nil:
			printable++
		case p.Printed == nil:
			refused++
		}
		if p.Printed == nil {
			never++
		} else {
			status[p.Printed.Standing.Status]++
		}
	}
	s := fmt.Sprintf("%s: %d to print", Plural(len(v.Places), "location"), printable)
	if stopped > 0 {
		s += fmt.Sprintf(", %d with an error", stopped)
	}
	if refused > 0 {
		s += fmt.Sprintf(", %d never printed and refused", refused)
	}
	var parts []string
	for _, state := range slices.Backward(standing.States) {
		if n := status[state]; n > 0 {
			words, ok := plural[state]
			if !ok {
				words = string(state)
			}
			parts = append(parts, fmt.Sprintf("%d %s", n, words))
		}
	}
	if never > 0 {
		parts = append(parts, fmt.Sprintf("%d never printed", never))
	}
	return s + "; labels: " + strings.Join(parts, ", ")
}

// methods says how many results were recomputed, by which method, and how
// many rest on the study's word.
func methods(v *plant.Plant) string {
	var parts []string
	for _, m := range []assess.Method{assess.IEEE1584, assess.Lee, assess.DCMaxPower} {
		by := func(a *assess.Assessment, i int) bool { return a.Computed[i] != nil && a.Computed[i].Method == m }
		if n := countCases(v, by); n > 0 {
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
		{"on the study's word alone (method stated)", func(a *assess.Assessment, i int) bool {
			return a.Location.Cases[i].Method == assess.Stated
		}},
	} {
		if n := countCases(v, rest.is); n > 0 {
			s += fmt.Sprintf("; %d %s", n, rest.text)
		}
	}
	return s
}

func countCases(v *plant.Plant, is func(*assess.Assessment, int) bool) int {
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
