package record

import (
	"vouchmark/assess"
	"vouchmark/assess/standing"
)

// Passed is a value of a location on which the studies of what it feeds rest,
// and which differs between two states of its rows.
type Passed struct {
	standing.Difference
	Case string // of the later state
	Rose bool   // it is larger, or not known to be smaller
}

// passing are the columns on which those studies rest.
var passing = []struct {
	column string
	of     func(assess.Row) float64
}{
	{"voltage", func(r assess.Row) float64 { return float64(r.Voltage) }},
	{"fault", func(r assess.Row) float64 { return float64(r.Fault) }},
	{"clear", func(r assess.Row) float64 { return float64(r.Clear) }},
	{"clear_reduced", func(r assess.Row) float64 { return float64(r.ClearReduced) }},
}

// PassedOn is what differs between two states of a location of what the studies
// below it rest on: fault current, voltage, arc durations and the curves that
// give them. What either state leaves empty is not known to differ. A case that
// the earlier state does not have is compared with the largest over its cases.
func PassedOn(old, now *assess.Inputs) []Passed {
	var all []Passed
	for i := range now.Location.Cases {
		n := now.Location.Row(i)
		o := old.Location.CaseNamed(n.Name)
		for _, p := range passing {
			col := assess.ColumnNamed(p.column)
			if !col.PerCase && i > 0 {
				continue
			}
			was, is := largest(p.of, old.Location, o), p.of(n)
			if was == 0 || is == 0 || assess.Same(was, is) {
				continue
			}
			d := standing.Difference{Field: col.Key(), Old: assess.Number(was), New: assess.Number(is)}
			if col.PerCase && len(now.Location.Cases) > 1 {
				d.Field += " of " + caseName(n.Name)
			}
			all = append(all, Passed{d, n.Name, is > was})
		}
		if o == nil {
			continue
		}
		a, b := old.Curves[o.Curve], now.Curves[n.Curve]
		if a != nil && b != nil && !sameCurve(a, b) {
			all = append(all, Passed{standing.Difference{Field: "curve", Old: o.Curve, New: n.Curve + otherPoints(o.Curve, n.Curve)},
				n.Name, true})
		}
	}
	return all
}

// largest is a value of a case, or over all cases where that is nil.
func largest(of func(assess.Row) float64, l *assess.Location, c *assess.Case) float64 {
	if c != nil {
		return of(assess.Row{Location: l, Case: c})
	}
	most := 0.0
	for i := range l.Cases {
		most = max(most, of(l.Row(i)))
	}
	return most
}

// otherPoints says that a curve of the same name differs.
func otherPoints(old, now string) string {
	if old == now {
		return " with other points"
	}
	return ""
}
