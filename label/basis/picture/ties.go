package picture

import (
	"cmp"
	"slices"

	"vouchmark/label/report"
)

// A tie is a dashed line left of the rows, from one of its ends to the other: it
// is not part of a branch. Where too many run side by side, or an end is not in
// the drawing, only the words at each end mention it.
const (
	laneWidth = 8
	lanesMost = 8
	tieDrop   = 6 // of a tie's end below a row's middle, where the branches run
)

// tieLine is a tie as it is drawn: between two rows, the upper one first.
type tieLine struct{ from, to, lane int }

// tieLines are the ties that have both ends in the drawing, each in the first
// lane that is free there, and the number of lanes.
func tieLines(rows []report.TreeRow) (lines []tieLine, lanes int) {
	at := map[string]int{}
	for i := range rows {
		if rows[i].Kind == report.FullRow {
			at[rows[i].ID] = i
		}
	}
	for i := range rows {
		if rows[i].Kind != report.FullRow {
			continue
		}
		for _, id := range rows[i].TiedTo {
			if k, ok := at[id]; ok && i < k { // the other end names this one too
				lines = append(lines, tieLine{from: i, to: k})
			}
		}
	}
	slices.SortFunc(lines, func(a, b tieLine) int { return cmp.Or(a.from-b.from, a.to-b.to) })
	var busy []int // of each lane, the row to which it is taken
	drawn := lines[:0]
	for _, l := range lines {
		l.lane = slices.IndexFunc(busy, func(to int) bool { return to < l.from })
		switch {
		case l.lane >= 0:
			busy[l.lane] = l.to
		case len(busy) < lanesMost:
			l.lane = len(busy)
			busy = append(busy, l.to)
		default:
			continue
		}
		drawn = append(drawn, l)
	}
	return drawn, len(busy)
}

// tie draws one, left of where the rows begin.
func (t *tree) tie(l tieLine) {
	y := func(i int) int { return t.top() + i*pitch + pitch/2 + tieDrop }
	end := func(i int) int { return left(t.rows[i].Level) - 2 }
	t.add(`<path d="M%d %dH%dV%dH%d" fill="none" stroke="%s" stroke-dasharray="5 3"/>`,
		end(l.from), y(l.from), -laneWidth*l.lane, y(l.to), end(l.to), gray)
}
