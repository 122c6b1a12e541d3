package report

import (
	"cmp"
	"slices"

	"vouchmark/assess"
	"vouchmark/label/record"
)

// Entries of changes.toml have a day but no time; lines of the ledger are in the
// order in which they were written. So within a day the ledger comes first: a
// label printed without a strip on the day of a change was printed before the
// change was logged, or it would have been refused. A change comes before an
// overlay or an interim label of its day, and before its settlement; a
// settlement comes where the ledger has it.

// turn is the place of an event among those of its day: first what a row of
// locations.csv tells, then the lines of the ledger in their order, then what
// cannot be placed among them.
type turn struct {
	part int
	line float64 // between two lines for what comes before a line
}

const (
	inRow = iota
	inLedger
	atEnd
)

func (a turn) compare(b turn) int {
	return cmp.Or(cmp.Compare(a.part, b.part), cmp.Compare(a.line, b.line))
}

// order sorts the events in the order in which they happened, as far as known.
func (s *Story) order() {
	slices.SortStableFunc(s.Events, func(a, b Event) int {
		return cmp.Or(a.Date.Compare(b.Date), a.turn.compare(b.turn))
	})
}

// changed is the turn of a change that reaches a location: before anything of its
// day that already knew of it, and after the last label printed as valid.
func changed(l *record.Ledger, day assess.Date, change, sum, id string) turn {
	if at, known := entered(l, day, sum); known {
		return at
	}
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

// reviewed is the turn of a review.
func reviewed(l *record.Ledger, day assess.Date, sum string) turn {
	if at, known := entered(l, day, sum); known {
		return at
	}
	return turn{part: atEnd}
}

// settled is the turn of a settlement.
func settled(l *record.Ledger, day assess.Date, change string) turn {
	i := slices.IndexFunc(l.Lines, func(l record.Line) bool { return l.Date == day && settles(&l, change) })
	if i < 0 {
		return turn{part: atEnd}
	}
	return turn{inLedger, float64(i)}
}

// settles reports whether a line settles a change.
func settles(l *record.Line, change string) bool {
	return l.Kind == record.Settled && l.Change == change ||
		l.Kind == record.Entered && l.Log != nil && l.Log.Table == assess.SettlementEntry && l.Log.Name == change
}

// entered is the turn of an entry that a command added on its day; false where no line says so.
func entered(l *record.Ledger, day assess.Date, sum string) (turn, bool) {
	i := slices.IndexFunc(l.Lines, func(l record.Line) bool { return l.Kind == record.Entered && l.Date == day && l.Text == sum })
	return turn{inLedger, float64(i)}, i >= 0
}
