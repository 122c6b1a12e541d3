package serve

import (
	"slices"

	"vouchmark/assess/standing"
	"vouchmark/label/basis/page"
	"vouchmark/label/logbook"
	"vouchmark/label/plant"
)

// moved is what an entry does to the labels, as a page shows it: how many, then each, before and
// after in one line; what must be covered first.
type moved struct {
	Entry  string // its name and what it says
	Counts []stateCount
	Notes  []string
	Labels []movedLabel
	More   int // labels that are not listed
}

// mostMoved is how many labels a page lists.
const mostMoved = 200

type movedLabel struct {
	ID      string
	Was, Is state
	Why     string // what the screening gives

	Equipment string
	Href      string // of the label's page, from this one; "" for none
}

// state is a standing as a page shows it.
type state struct{ Word, Class string }

type stateCount struct {
	state
	Count int
}

func stateOf(status string, tooLow bool) state {
	if tooLow {
		return state{standing.Cover, page.Class("cover")}
	}
	return state{status, page.Class(status)}
}

// newMoved shows an effect on the labels of a site. up is the way from the page to the start page;
// "" links no label.
func newMoved(e *logbook.Effect, v *plant.Plant, up string) *moved {
	m := &moved{Entry: e.Entry, Notes: e.Notes}
	labels := slices.Clone(e.Moved)
	slices.SortStableFunc(labels, func(a, b logbook.MovedStatus) int { return rankOf(a.Is, a.TooLow) - rankOf(b.Is, b.TooLow) })
	for i := range labels {
		l := &labels[i]
		is := stateOf(l.Is, l.TooLow)
		if n := len(m.Counts) - 1; n >= 0 && m.Counts[n].state == is {
			m.Counts[n].Count++
		} else {
			m.Counts = append(m.Counts, stateCount{is, 1})
		}
		if i >= mostMoved {
			m.More++
			continue
		}
		one := movedLabel{ID: l.ID, Was: stateOf(l.Was, l.Covered), Is: is}
		switch {
		case l.TooLow:
			one.Why = l.Screening.Found() + ": cover it"
		case l.Screening != nil:
			one.Why = l.Screening.Words()
		}
		if p, ok := v.Place(l.ID); ok {
			one.Equipment = p.Assessment.Location.Equipment
		}
		if printed := printedOf(v, l.ID); printed != nil && up != "" {
			one.Href = up + pageOf(printed.ID.Code())
		}
		m.Labels = append(m.Labels, one)
	}
	return m
}

// ends are where a label may end, worst first; what must be covered comes before all of them.
var ends = []string{string(standing.InQuestion), string(standing.Lapsed), plant.NotPrinted, string(standing.FallsDue),
	plant.ReadyToPrint, string(standing.Withdrawn), string(standing.Replaced), string(standing.Holds)}

func rankOf(status string, tooLow bool) int {
	if tooLow {
		return -1
	}
	return slices.Index(ends, status)
}
