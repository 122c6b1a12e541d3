package report

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"vouchmark/assess/standing"
)

// why is a reason that some labels share.
type why struct {
	status        standing.Status
	words, clears string
}

// reasons writes why labels do not hold, and what would clear it: what several
// labels share is said once.
func (v *View) reasons(b *strings.Builder, width int) {
	var order []why
	ids := map[why][]string{}
	add := func(id string, s *standing.Standing) {
		for i := range s.Reasons {
			r := &s.Reasons[i]
			if r.Cause == standing.EditionCause {
				continue // a caution says it already
			}
			w := why{r.Status, r.Words(), r.Clears}
			if i == 0 && s.Screening != nil {
				w.words += "; " + s.Screening.Words()
			}
			if ids[w] == nil {
				order = append(order, w)
			}
			ids[w] = append(ids[w], id)
		}
	}
	for i := range v.Places {
		add(v.Places[i].Assessment.Location.ID, &v.Places[i].Standing)
	}
	for i := range v.Unlisted {
		add(v.Unlisted[i].ID, &v.Unlisted[i].Standing)
	}
	slices.SortStableFunc(order, func(x, y why) int { return cmp.Compare(x.status.Rank(), y.status.Rank()) })
	for _, w := range order {
		status := string(w.status)
		if w.status == standing.Holds {
			status = "to know"
		}
		const indent = 13
		text := Few(ids[w]) + ": " + w.words
		b.WriteString("\n" + Wrap(text, fmt.Sprintf("%-*s", indent, status), strings.Repeat(" ", indent), width))
		if w.clears != "" {
			b.WriteString(Wrap(w.clears, strings.Repeat(" ", indent)+"-> ", strings.Repeat(" ", indent+3), width))
		}
	}
}

// Few names some ids, and says how many more there are.
func Few(ids []string) string {
	const most = 12
	if len(ids) <= most {
		return strings.Join(ids, ", ")
	}
	return fmt.Sprintf("%s and %d more", strings.Join(ids[:most], ", "), len(ids)-most)
}
