package report

import (
	"cmp"
	"fmt"
	"io"
	"slices"
	"strings"

	"vouchmark/assess"
	"vouchmark/assess/standing"
	"vouchmark/label"
	"vouchmark/label/plant"
)

// Table writes a plant for a person: what needs attention first, then every
// finding in full, then the counts. width is that of the terminal.
func Table(v *plant.Plant, w io.Writer, width int) error {
	places := slices.Clone(v.Places)
	slices.SortStableFunc(places, func(a, b plant.Place) int { return cmp.Compare(urgency(&a), urgency(&b)) })
	var b strings.Builder
	rows := []string{"LOCATION\tLABEL\t\t\tWORKING DIST\tBOUNDARY\tSTANDING\tNOTES"}
	for i := range places {
		rows = append(rows, line(&places[i]))
	}
	table(&b, rows)
	for _, u := range v.Unlisted {
		if u.Standing.Status != standing.Withdrawn {
			fmt.Fprintf(&b, "%s  a label was printed, but locations.csv no longer has its row: %s\n", u.ID, StandingWords(&u.Standing))
		}
	}
	findings(v, &b, assess.Error, width)
	reasons(v, &b, width)
	findings(v, &b, assess.Caution, width)
	fmt.Fprintf(&b, "\n%s\n%s\n%s\n", count(v), methods(v), legend(v))
	_, err := io.WriteString(w, b.String())
	return err
}

// urgency puts labels that are printed too low first, then errors, then what does
// not hold, worst first, then what has a caution.
func urgency(p *plant.Place) int {
	switch {
	case p.Printed != nil && p.Printed.Standing.TooLow:
		return -2
	case p.Assessment.Stopped() != "":
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
	signal, kit := string(a.Signal), kitWords(a.Status, a.Kit)
	failed := countErrors(a)
	var parts []string
	if failed > 0 {
		signal, energy, kit, boundary = notPrinted, "", "", "-"
		parts = append(parts, Plural(failed, "error"))
	}
	if a.Location.Unlabeled {
		signal, energy, kit, boundary = plant.NoLabel, "", "", "-"
	}
	if cautions := len(a.Findings) - failed; cautions > 0 {
		parts = append(parts, Plural(cautions, "caution"))
	}
	if r := p.Judged().Worst(); r != nil && r.Cause != standing.ByAgeCause {
		parts = append(parts, cmp.Or(r.Kind, r.Cause.Words()))
	}
	if good := p.Judged().Status.Rank() >= standing.FallsDue.Rank(); good && failed == 0 && !a.Location.Unlabeled {
		if p.Judged().Unfed {
			parts = append(parts, datesOnly)
		}
		if margin := marginWords(&p.Headroom); margin != "" {
			parts = append(parts, margin)
		}
	}
	says := cmp.Or(strings.Join(parts, ", "), "-")
	return strings.Join([]string{a.Location.ID, signal, energy, kit, distance, boundary, state(p), says}, "\t")
}

// countErrors counts the findings that stop a label.
func countErrors(a *assess.Assessment) (n int) {
	for _, f := range a.Findings {
		if f.Level == assess.Error {
			n++
		}
	}
	return n
}

// kitWords is the kit of a label, or why it has none: "no work" above the cutoff,
// "below 1.2" where arc-rated clothing is not required.
func kitWords(status assess.KitStatus, kit string) string {
	if status == assess.NoneAllowed {
		return "no work"
	}
	return cmp.Or(kit, "below 1.2")
}

// state is the standing of the last printed label, with the date that matters. A
// label that was never printed has no standing: it is ready to print, or not printed.
func state(p *plant.Place) string {
	if p.Printed != nil {
		return StandingWords(&p.Printed.Standing)
	}
	return p.State()
}

// numbers gives the numbers of a label as it words them.
func numbers(a *assess.Assessment) (energy, boundary, distance string) {
	u := a.Policy.Units
	if a.Energy.Value > 0 {
		energy = label.EnergyOf(a.Energy, u)
	}
	if b := a.BoundaryToPrint; b > 0 {
		boundary = label.Length(b, b, u)
	}
	if d := a.Location.Distance; d > 0 {
		distance = label.Distance(d, u)
	}
	return energy, boundary, distance
}

// StandingWords is a standing with the date that matters; if the label is printed
// too low, that comes first.
func StandingWords(s *standing.Standing) string {
	if s.TooLow {
		return standing.Cover + ", " + standingWords(s)
	}
	return standingWords(s)
}

func standingWords(s *standing.Standing) string {
	switch s.Status {
	case standing.Holds:
		return fmt.Sprintf("holds until %s", s.Until)
	case standing.FallsDue:
		return fmt.Sprintf("falls due %s", s.ReviewBy)
	}
	if s.Worst().Found {
		return string(s.Status)
	}
	return fmt.Sprintf("%s since %s", s.Status, s.Worst().Since)
}

// holdsMeans says what "holds" means, so that nobody reads more into it.
const holdsMeans = "holds: no change logged since the survey, or each one settled; unlogged changes are not known"

// datesOnly marks a location without feeds: its standing follows from dates only.
const datesOnly = "dates only"

// legend explains the columns.
func legend(v *plant.Plant) string {
	text := holdsMeans
	if slices.ContainsFunc(v.Places, func(p plant.Place) bool { return !p.Assessment.Location.Unlabeled && p.Judged().Unfed }) {
		text += "\n" + standing.DatesOnly
	}
	if slices.ContainsFunc(v.Places, func(p plant.Place) bool { return marginWords(&p.Headroom) != "" }) {
		text += "\nmargin: how much the energy or the arc duration can rise before the label needs the next kit or says DANGER; " +
			"vouchmark basis ID shows it in ms and kA"
	}
	if slices.ContainsFunc(v.Places, acceptable) {
		text += "\n* a named person may accept this finding and is then responsible for it: " + v.Text(assess.Remedy{Words: "{}", Act: assess.ToAccept})
	}
	return text
}

// acceptable reports whether an error that a named person may accept stops a place.
func acceptable(p plant.Place) bool {
	return slices.ContainsFunc(p.Assessment.Findings, func(f assess.Finding) bool { return f.Acceptable() })
}

// findings writes every finding of one level: place, line of the file, and the
// sentence, wrapped and indented.
func findings(v *plant.Plant, b *strings.Builder, level assess.Level, width int) {
	write := func(id, file string, f assess.Finding) {
		if f.Level == level {
			head := fmt.Sprintf("%-7s  %-8s  %s:%d: ", level, id, file, f.Line)
			code := string(f.Code)
			if f.Acceptable() {
				code += "*"
			}
			b.WriteString("\n" + Wrap(f.Field+": "+f.Message+" ["+code+"]", head, strings.Repeat(" ", 19), width))
		}
	}
	for _, f := range v.Findings {
		write(concerns(f.File), cmp.Or(f.File, "site.toml"), f)
	}
	for i := range v.Places {
		for _, f := range v.Places[i].Assessment.Findings {
			write(v.Places[i].ID(), cmp.Or(f.File, "locations.csv"), f)
		}
	}
}

// concerns names, by its file, the subject of a finding about the whole site.
func concerns(file string) string {
	switch file {
	case "":
		return "policy"
	case "locations.csv":
		return "rows"
	case assess.DevicesFile:
		return "devices"
	}
	return "log"
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

// count says how many locations there are, how many labels can be printed, and
// how many printed labels have which standing.
func count(v *plant.Plant) string {
	printable, stopped, refused, never, without := 0, 0, 0, 0, 0
	status := map[standing.Status]int{}
	for i := range v.Places {
		p := &v.Places[i]
		switch {
		case p.Assessment.Location.Unlabeled:
			without++
		case !p.Assessment.Prints():
			stopped++
		case p.Refusal(false) == nil:
			printable++
		case p.Printed == nil:
			refused++
		}
		switch {
		case p.State() == plant.NoLabel:
		case p.Printed == nil:
			never++
		default:
			status[p.Printed.Standing.Status]++
		}
	}
	s := fmt.Sprintf("%s: %d ready to print", Plural(len(v.Places), "location"), printable)
	if stopped > 0 {
		s += fmt.Sprintf(", %d with an error", stopped)
	}
	if refused > 0 {
		s += fmt.Sprintf(", %d refused and never printed", refused)
	}
	if without > 0 {
		s += fmt.Sprintf(", %d without a label (label = no)", without)
	}
	var parts []string
	for _, state := range slices.Backward(standing.States) {
		if n := status[state]; n > 0 {
			parts = append(parts, fmt.Sprintf("%d %s", n, cmp.Or(plural[state], string(state))))
		}
	}
	if never > 0 {
		parts = append(parts, fmt.Sprintf("%d never printed", never))
	}
	return s + "; labels: " + strings.Join(parts, ", ")
}

// methods says how many results were recomputed by which method, and how many
// are only stated by the study.
func methods(v *plant.Plant) string {
	by, failed := map[assess.Method]int{}, 0
	for _, p := range v.Places {
		if p.Assessment.Location.Unlabeled {
			continue
		}
		for i, r := range p.Assessment.Computed {
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
	s := "recomputed: " + cmp.Or(strings.Join(parts, ", "), "none")
	if failed > 0 {
		s += fmt.Sprintf("; %d not recomputable", failed)
	}
	if n := by[assess.Stated]; n > 0 {
		s += fmt.Sprintf("; %d only stated by the study (method stated)", n)
	}
	return s
}

// Plural counts things: 1 label, 2 labels.
func Plural(n int, noun string) string {
	if n == 1 {
		return "1 " + noun
	}
	return fmt.Sprintf("%d %ss", n, noun)
}
