package report

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"vouchmark/assess/standing"
	"vouchmark/label/plant"
)

// why is a reason shared by some labels.
type why struct {
	rank          int // from bad to good
	status        standing.Status
	tooLow        bool
	never         bool // the labels were never printed and are refused
	words, clears string
}

// reasons writes why labels do not hold and what to do about it. A reason that
// several labels share is written once.
func reasons(v *plant.Plant, b *strings.Builder, width int) {
	var ids groups[why, string]
	add := func(id string, s *standing.Standing, never bool) {
		for i := range s.Reasons {
			r := &s.Reasons[i]
			if r.Cause == standing.EditionCause || r.Cause == standing.DeviceCause && r.Status == standing.Holds {
				continue // a caution already says it
			}
			w := why{r.Status.Rank(), r.Status, false, never, r.Words(), r.Clears}
			if i == 0 && s.Screening != nil {
				w.words += "; " + s.Screening.Words()
				if w.tooLow = s.TooLow; w.tooLow {
					w.rank, w.words = s.Urgency(), standing.Cover+"; "+w.words
				}
			}
			ids.add(w, id)
		}
	}
	for i := range v.Places {
		p := &v.Places[i]
		switch {
		case p.Printed != nil:
			add(p.ID(), &p.Printed.Standing, false)
		case p.State() == plant.NotPrinted:
			add(p.ID(), &p.Row, true)
		}
	}
	for i := range v.Unlisted {
		add(v.Unlisted[i].ID, &v.Unlisted[i].Standing, false)
	}
	slices.SortStableFunc(ids.keys, func(x, y why) int { return cmp.Compare(x.rank, y.rank) })
	for _, w := range ids.keys {
		status := string(w.status)
		switch {
		case w.never:
			status = plant.NotPrinted
		case w.status == standing.Holds:
			status = "note"
		}
		const indent = 13
		text := Few(ids.of[w]) + ": " + w.words
		b.WriteString("\n" + Wrap(text, fmt.Sprintf("%-*s", indent, status), strings.Repeat(" ", indent), width))
		if w.clears != "" {
			b.WriteString(Wrap(w.clears, strings.Repeat(" ", indent)+"-> ", strings.Repeat(" ", indent+3), width))
		}
	}
}

// Few names the first ids and says how many more there are.
func Few(ids []string) string {
	const most = 12
	if len(ids) <= most {
		return strings.Join(ids, ", ")
	}
	return fmt.Sprintf("%s and %d more", strings.Join(ids[:most], ", "), len(ids)-most)
}
