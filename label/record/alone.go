package record

import (
	"math"
	"slices"

	"vouchmark/assess"
)

// A study that looked at a location again has calculated something (energy,
// boundary, fault current, durations, the points of a curve), or it used another
// voltage, working distance, electrode configuration or geometry. Everything else
// in a row (ratings, names, a default that is written out) is not recalculated.

// AsGood is by how much two numbers of a study may differ and still count as the
// same: a repeated study does not get all its numbers within half a percent by
// chance, and a digit added to a number changes it by less (house choice).
const AsGood = 0.005

// number is a column of what a study calculates.
type number struct {
	column string
	found  bool // by the study, so that a number in a cell that was empty is a new one
}

// lasting are the numbers that say how long an arc lasts; recalculated are all
// numbers that a study finds or starts from.
var (
	lasting      = []number{{"fault", true}, {"clear", true}, {"clear_reduced", true}}
	recalculated = append(slices.Clone(lasting), number{"energy", true}, number{"boundary", true},
		number{"voltage", false}, number{"distance", false}, number{"electrodes", false}, number{"gap", false},
		number{"height", false}, number{"width", false}, number{"depth", false})
)

// SameNumbers reports whether a row has no number that a study could have found
// since the record of its label, whatever its cases are called: every case has
// the numbers of one of the record's cases, or leaves them empty.
func SameNumbers(old, now *Record) bool {
	for i := range now.Location.Cases {
		same := false
		for k := range old.Location.Cases {
			same = same || sameStudy(old, now, old.Location.Row(k), now.Location.Row(i))
		}
		if !same {
			return false
		}
	}
	return true
}

// SameDurations reports whether a row has nothing new about how long an arc lasts,
// compared with the record of its label: durations, the fault current that they
// are for, and curves. It is false where that record says nothing about it. Added
// cases do not count as long as another case stays.
func SameDurations(old, now *Record) bool {
	before := old.Location.ByName()
	stays := slices.ContainsFunc(now.Location.Cases, func(c assess.Case) bool { return before.Named(c.Name) != nil })
	for i := range now.Location.Cases {
		n := now.Location.Row(i)
		if stays && before.Named(n.Name) == nil {
			continue
		}
		same := false
		for k := range old.Location.Cases {
			o := old.Location.Row(k)
			lasts := o.Clear > 0 || o.ClearReduced > 0 || o.Curve != ""
			same = same || lasts && sameColumns(lasting, o, n) && SamePoints(old.Curves[o.Curve], now.Curves[n.Curve])
		}
		if !same {
			return false
		}
	}
	return true
}

func sameStudy(old, now *Record, o, n assess.Row) bool {
	return sameColumns(recalculated, o, n) && SamePoints(old.Curves[o.Curve], now.Curves[n.Curve])
}

func sameColumns(columns []number, o, n assess.Row) bool {
	for _, r := range columns {
		col := assess.ColumnNamed(r.column)
		was, is := col.Value(o), col.Value(n)
		a, numeric := was.(float64)
		b, _ := is.(float64)
		switch {
		case numeric && (b == 0 || a == 0 && !r.found):
		case numeric && !Near(a, b):
			return false
		case !numeric && is != "" && was != "" && is != was:
			return false
		}
	}
	return true
}

// Near reports whether two numbers of a study count as the same.
func Near[T ~float64](a, b T) bool {
	return math.Abs(float64(a-b)) <= AsGood*math.Max(float64(a), float64(b))*(1+1e-9)
}

// SamePoints reports whether a curve has nothing that the old one did not have.
func SamePoints(old, now *assess.Curve) bool {
	if now == nil {
		return true
	}
	if old == nil || len(old.Points) != len(now.Points) {
		return false
	}
	for i, p := range now.Points {
		if !Near(p.CurrentA, old.Points[i].CurrentA) || !Near(p.TimeS, old.Points[i].TimeS) {
			return false
		}
	}
	return true
}
