package report

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"vouchmark/assess"
	"vouchmark/assess/standing"
	"vouchmark/label"
	"vouchmark/label/plant"
)

// locations is the table with a line for each location, with as much about its margins
// as a line of that width has room for.
func locations(v *plant.Plant, width int) *grid {
	places := slices.Clone(v.Places)
	slices.SortStableFunc(places, func(a, b plant.Place) int { return cmp.Compare(urgency(&a), urgency(&b)) })
	var t *grid
	for _, margins := range []struct{ most, room int }{{2, 31}, {1, 13}, {0, 0}} {
		t = &grid{below: true, spans: true, of: []column{{head: "LOCATION"}, {head: "LABEL"}, {least: 14, wish: 27}, {least: 9, wish: 14},
			{head: "WORKING DIST"}, {head: "BOUNDARY"}, {head: "STANDING", least: 14, wish: 27}, {head: "NOTES", least: 13, wish: 13}}}
		for i := range places {
			t.add(line(&places[i], margins.most)...)
		}
		for i := range v.Unlisted {
			if u := &v.Unlisted[i]; u.Standing.Status != standing.Withdrawn {
				t.add(u.ID, doNotUse+": locations.csv no longer has its row", "", "", "", "", StandingWords(&u.Standing), "-")
			}
		}
		if w, fits := t.widths(len(t.of), width); fits && w[len(w)-1] >= margins.room {
			break
		}
	}
	return t
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

// line is the row of a location; most is the number of margins to show.
func line(p *plant.Place, most int) []string {
	a := p.Assessment
	failed := countErrors(a)
	var why, says []string // why no values are shown; what else there is to say
	if failed > 0 {
		why = append(why, Plural(failed, "error"))
	}
	if cautions := len(a.Findings) - failed; cautions > 0 {
		says = append(says, Plural(cautions, "caution"))
	}
	if r := p.Judged().Worst(); r != nil && !(r.Cause == standing.FindingCause && failed > 0) &&
		(p.Printed == nil || r.Cause != standing.ByAgeCause && r.Cause != standing.WithdrawCause) {
		why = append(why, causeWords(r))
	}
	values := valid(p)
	if instead(p) != "" {
		values[0] += After(": ", strings.Join(append(why, says...), ", "))
		at := "-"
		if p.Printed != nil {
			at = state(p)
		}
		return slices.Concat([]string{a.Location.ID}, values, []string{at, "-"})
	}
	if p.Judged().Unfed {
		says = append(says, datesOnly)
	}
	if margin := marginWords(&p.Headroom, most); margin != "" {
		says = append(says, margin)
	}
	return slices.Concat([]string{a.Location.ID}, values, []string{state(p), cmp.Or(strings.Join(says, ", "), "-")})
}

// causeWords is the reason of a standing in a few words; that of a change is its kind.
func causeWords(r *standing.Reason) string {
	if r.Cause == standing.ByAgeCause {
		return string(r.Status)
	}
	return cmp.Or(r.Kind, r.Cause.Words())
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

// datesOnly marks a location without feeds: its standing follows from dates only.
const datesOnly = "dates only"

// holdsMeans says what "holds" means, so that nobody reads more into it.
const holdsMeans = "holds: no change logged since the survey, or each one settled; unlogged changes are not known"

// below12 explains the word that the tables have in place of a kit.
const below12 = "below 1.2: less than 1.2 cal/cm² at the working distance; arc-rated clothing not required, but what the label lists is"

// legend explains the words of the table, those that it has; margins says whether the
// table has room for margins.
func legend(v *plant.Plant, margins bool) []string {
	var lines []string
	some := func(is func(p *plant.Place) bool) bool {
		return slices.ContainsFunc(v.Places, func(p plant.Place) bool { return is(&p) })
	}
	if some(func(p *plant.Place) bool { return p.Printed != nil }) || len(v.Unlisted) > 0 {
		lines = append(lines, "standing: whether the label on the equipment still holds")
	}
	lines = append(lines, holdsMeans)
	for _, e := range explained {
		if some(func(p *plant.Place) bool { return instead(p) == e.word }) ||
			e.word == doNotUse && slices.ContainsFunc(v.Unlisted, func(u plant.Unlisted) bool { return u.Standing.Status != standing.Withdrawn }) {
			lines = append(lines, e.word+": "+e.means)
		}
	}
	if some(func(p *plant.Place) bool { return instead(p) == "" && p.Assessment.Status == assess.NotRequired }) {
		lines = append(lines, below12)
	}
	if some(func(p *plant.Place) bool { return !p.Assessment.Location.Unlabeled && p.Judged().Unfed }) {
		lines = append(lines, standing.DatesOnly)
	}
	if some(func(p *plant.Place) bool { return instead(p) == "" && marginWords(&p.Headroom, 1) != "" }) {
		where := "vouchmark basis ID shows all of it, in ms and kA"
		if !margins {
			where = "a table of 100 columns shows it, and vouchmark basis ID"
		}
		lines = append(lines, "margin: how much the energy or the arc duration can rise before the label needs the next kit, or says DANGER; "+where)
	}
	if some(func(p *plant.Place) bool { return len(p.Assessment.Findings) > 0 }) {
		lines = append(lines, "findings: an error stops the label; a caution does not, but a person must look at it")
	}
	if some(func(p *plant.Place) bool { return slices.ContainsFunc(p.Assessment.Findings, acceptable) }) {
		lines = append(lines, "* a named person may accept this finding and is then responsible for it: "+
			v.Text(assess.Remedy{Words: "{}", Act: assess.ToAccept}))
	}
	return lines
}

// acceptable reports whether a finding is an error that a named person may accept.
func acceptable(f assess.Finding) bool { return f.Acceptable() }

// Plural counts things: 1 label, 2 labels.
func Plural(n int, noun string) string {
	if n == 1 {
		return "1 " + noun
	}
	return fmt.Sprintf("%d %ss", n, noun)
}
