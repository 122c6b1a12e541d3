package record

import (
	"vouchmark/assess"
	"vouchmark/assess/standing"
)

// Passed is a value of a location that differs between two states of its rows, and
// on which the studies of the locations below it are based.
type Passed struct {
	standing.Difference
	Case string // of the later state
}

// passing are the columns on which those studies are based.
var passing = []struct {
	column string
	of     func(assess.Row) float64
}{
	{"voltage", func(r assess.Row) float64 { return float64(r.Voltage) }},
	{"fault", func(r assess.Row) float64 { return float64(r.Fault) }},
	{"clear", func(r assess.Row) float64 { return float64(r.Clear) }},
	{"clear_reduced", func(r assess.Row) float64 { return float64(r.ClearReduced) }},
}

// PassedOn are the differences between two states of a location in the values on
// which the studies below it are based: fault current, voltage, arc durations and
// the curves that give them. A value that is empty in either state does not count
// as different, except a fault current that is no longer known. A case that one
// state does not have is compared with the largest value over the cases of the
// other.
func PassedOn(old, now *assess.Inputs) []Passed {
	var all []Passed
	cases := old.Location.ByName()
	var most []float64 // of each of these over all earlier cases, once it is needed
	for i := range now.Location.Cases {
		n := now.Location.Row(i)
		o := cases.Named(n.Name)
		if o == nil && most == nil {
			for _, p := range passing {
				most = append(most, largest(p.of, old.Location))
			}
		}
		for k, p := range passing {
			col := assess.ColumnNamed(p.column)
			if !col.PerCase && i > 0 {
				continue
			}
			was, is := 0.0, p.of(n)
			if o != nil {
				was = p.of(assess.Row{Location: old.Location, Case: o})
			} else {
				was = most[k]
			}
			lost := is == 0 && p.column == "fault"
			if was == 0 || is == 0 && !lost || assess.Same(was, is) {
				continue
			}
			d := standing.Difference{Field: col.Key(), Old: assess.Number(was), New: assess.Number(is)}
			if lost {
				d.New = missing(now.Location)
			}
			if col.PerCase && len(now.Location.Cases) > 1 {
				d.Field += " of " + caseName(n.Name)
			}
			all = append(all, Passed{d, n.Name})
		}
		if o == nil {
			continue
		}
		a, b := old.Curves[o.Curve], now.Curves[n.Curve]
		if a != nil && b != nil && !sameCurve(a, b) {
			all = append(all, Passed{standing.Difference{Field: "curve", Old: o.Curve, New: n.Curve + otherPoints(o.Curve, n.Curve)},
				n.Name})
		}
	}
	return append(all, dropped(old.Location, now.Location)...)
}

// dropped are the cases that a location no longer has, where no remaining case has
// as much fault current.
func dropped(old, now *assess.Location) []Passed {
	fault := func(r assess.Row) float64 { return float64(r.Fault) }
	col, most := assess.ColumnNamed("fault"), largest(fault, now)
	var all []Passed
	cases := now.ByName()
	for i := range old.Cases {
		c := &old.Cases[i]
		if was := float64(c.Fault); cases.Named(c.Name) == nil && most > 0 && assess.More(most, was) {
			all = append(all, Passed{standing.Difference{Field: col.Key() + " of " + caseName(c.Name),
				Old: assess.Number(was), New: assess.Number(most)}, c.Name})
		}
	}
	return all
}

// missing says why a row has no value: "" where its cell is empty.
func missing(l *assess.Location) string {
	if len(l.Unreadable) > 0 {
		return "(unreadable)"
	}
	return ""
}

// largest is the largest value over all cases.
func largest(of func(assess.Row) float64, l *assess.Location) float64 {
	most := 0.0
	for i := range l.Cases {
		most = max(most, of(l.Row(i)))
	}
	return most
}

// otherPoints says that a curve with the same name differs.
func otherPoints(old, now string) string {
	if old == now {
		return " with other points"
	}
	return ""
}
