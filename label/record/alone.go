package record

import (
	"math"

	"vouchmark/assess"
)

// A study that looked at a location again has calculated something: energy,
// boundary, fault current, durations, the points of a curve, or it took another
// voltage, working distance, electrode configuration or geometry. What else a
// row says (ratings, names, a default that is spelled out) no study recalculates.

// AsGood is by how much two numbers of a study may differ and be the same one: a
// study that is made again hits none of its numbers twice to half a percent by
// chance alone, and a digit that is added to one is within it (house choice).
const AsGood = 0.005

// recalculated are the numbers that a study finds, those from which it starts,
// and whether a cell that was empty counts as a new number.
var recalculated = []struct {
	column string
	found  bool
}{
	{"energy", true}, {"boundary", true}, {"fault", true}, {"clear", true}, {"clear_reduced", true},
	{"voltage", false}, {"distance", false}, {"electrodes", false}, {"gap", false}, {"height", false}, {"width", false},
	{"depth", false},
}

// SameNumbers reports whether a row has no number that a study could have found
// since the record of its label, whatever its cases are called: every case says
// what one of the record's said, or leaves it empty.
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

func sameStudy(old, now *Record, o, n assess.Row) bool {
	for _, r := range recalculated {
		col := assess.ColumnNamed(r.column)
		was, is := col.Value(o), col.Value(n)
		a, number := was.(float64)
		b, _ := is.(float64)
		switch {
		case number && (b == 0 || a == 0 && !r.found):
		case number && !Near(a, b):
			return false
		case !number && is != "" && was != "" && is != was:
			return false
		}
	}
	return SamePoints(old.Curves[o.Curve], now.Curves[n.Curve])
}

// Near reports whether two numbers of a study are the same one.
func Near[T ~float64](a, b T) bool {
	return math.Abs(float64(a-b)) <= AsGood*math.Max(float64(a), float64(b))*(1+1e-9)
}

// SamePoints reports whether a curve says nothing that another one did not.
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
