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

func newMoved(e *logbook.Effect) *moved {
	m := &moved{Entry: e.Entry, Notes: e.Notes}
	labels := slices.Clone(e.Moved)
	slices.SortStableFunc(labels, func(a, b logbook.MovedStatus) int { return rank(&a) - rank(&b) })
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
		if l.Screening != nil {
			one.Why = l.Screening.Words()
		}
		m.Labels = append(m.Labels, one)
	}
	return m
}

// ends are where a label may end, worst first; what must be covered comes before all of them.
var ends = []string{string(standing.InQuestion), string(standing.Lapsed), plant.NotPrinted, string(standing.FallsDue),
	plant.ReadyToPrint, string(standing.Withdrawn), string(standing.Replaced), string(standing.Holds)}

func rank(l *logbook.MovedStatus) int {
	if l.TooLow {
		return -1
	}
	return slices.Index(ends, l.Is)
}
