package report

import (
	"cmp"
	"slices"

	"vouchmark/assess"
	"vouchmark/label/record"
)

// Entries of changes.toml have a day and no time; lines of the ledger are in the
// order in which they were written. So of one day the ledger comes first: a label
// that was printed on the day of a change without a strip could not know of it,
// or would have been refused. A change was there before an overlay or an interim
// label of its day, and before it was settled; a settlement stands where the
// ledger has it.

// turn is where an event stands among those of its day: first what stands in a
// row, then the ledger, by its lines, then what nobody can put between them.
type turn struct {
	part int
	line float64 // between two lines for what comes before one
}

const (
	inRow = iota
	inLedger
	atEnd
)

func (a turn) compare(b turn) int {
	return cmp.Or(cmp.Compare(a.part, b.part), cmp.Compare(a.line, b.line))
}

// order puts the events in the order in which they happened, as far as that is
// known.
func (s *Story) order() {
	slices.SortStableFunc(s.Events, func(a, b Event) int {
		return cmp.Or(a.Date.Compare(b.Date), a.turn.compare(b.turn))
	})
}

// changed is the turn of a change of a day that reaches a location: before what
// knew of it, and behind the last label that was printed as one that holds.
func changed(l *record.Ledger, day assess.Date, change, id string) turn {
	at := turn{part: atEnd}
	for i := range l.Lines {
		line := &l.Lines[i]
		if line.Date != day {
			continue
		}
		before := turn{inLedger, float64(i) - 0.5}
		if settles(line, change) {
			if at.part == atEnd {
				at = before
			}
			return at
		}
		k := slices.IndexFunc(line.Labels, func(p record.Printed) bool { return p.ID == id })
		switch {
		case k < 0 || !line.Kind.Prints() || line.Thing == "fault":
		case line.Thing == "" && !line.Labels[k].Strip:
			at = turn{part: atEnd}
		case at.part == atEnd:
			at = before
		}
	}
	return at
}

// settled is the turn of a settlement of a day.
func settled(l *record.Ledger, day assess.Date, change string) turn {
	i := slices.IndexFunc(l.Lines, func(l record.Line) bool { return l.Date == day && settles(&l, change) })
	if i < 0 {
		return turn{part: atEnd}
	}
	return turn{inLedger, float64(i)}
}

// settles reports whether a line settles a change.
func settles(l *record.Line, change string) bool {
	return l.Kind == record.Settled && l.Change == change
}
