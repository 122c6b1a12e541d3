package record

import (
	"cmp"
	"slices"
	"strings"

	"vouchmark/assess"
)

// SameNumbers reports whether all that decides two labels is the same but the
// dates of the study, whatever its cases are called.
func SameNumbers(old, now *Record) bool {
	a, b := rows(old), rows(now)
	return slices.EqualFunc(a, b, func(x, y row) bool { return x.cells == y.cells && sameCurve(x.curve, y.curve) })
}

// row is what decides of a case, beside its dates.
type row struct {
	cells string
	curve *assess.Curve
}

// rows are those of a record in an order that does not follow from their names.
func rows(r *Record) []row {
	all := make([]row, len(r.Location.Cases))
	for i := range all {
		var cells []string
		for k := range assess.Columns {
			if c := &assess.Columns[k]; c.Weight == assess.Decides && c.Kind != assess.Day {
				cells = append(cells, c.Text(r.Location.Row(i)))
			}
		}
		all[i] = row{strings.Join(cells, "\x00"), r.Curves[r.Location.Cases[i].Curve]}
	}
	slices.SortStableFunc(all, func(a, b row) int { return cmp.Compare(a.cells, b.cells) })
	return all
}
