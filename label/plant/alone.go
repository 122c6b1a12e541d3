package plant

import (
	"fmt"
	"slices"
	"strings"

	"vouchmark/assess"
	"vouchmark/assess/standing"
	"vouchmark/label/record"
)

// checkDates finds newer dates in a row without a newer study behind them: the
// numbers are those of the last printed label, or lower than what a change gave
// for it. Dates alone clear no change: if the label is in question for a reason
// that a newer study would clear, it is an error. A repeated study may find every
// number unchanged, so if the label has only lapsed it is a caution.
func (p *Place) checkDates(log *assess.Log) {
	r, a := p.last(), p.Assessment
	if r == nil || !newer(r, a) {
		return
	}
	add := func(level assess.Level, what string) {
		p.own().Add(assess.SurveyAlone, level, a.Location.Cases[0].Line, "surveyed", newerDates(r, a)+what)
	}
	now := p.now()
	if forgotten := p.forgotten(log); forgotten != "" {
		add(assess.Error, ", and the row says less than "+forgotten)
		return
	}
	if !record.SameNumbers(r, now) {
		if why := p.deviceChanged(log); why != "" && record.SameDurations(r, now) {
			add(assess.Error, ", but the durations, the fault current and the curve are those from before this change: "+why+
				"; enter what the study found for the device, or have a named person accept it")
		}
		return
	}
	const same = ", but every number that a study recalculates is unchanged"
	switch why, lapsed := p.open(); {
	case why != "" && !lapsed:
		add(assess.Error, same+", and that label does not hold: "+why+"; newer dates alone clear nothing: "+
			"enter a study that takes this into account, or settle the change")
	case lapsed && a.Reviewed == nil:
		add(assess.Caution, same+", and that label has lapsed: "+why+"; was the study made again? "+
			"If it was only reviewed, log the review instead: newer dates alone are not a review")
	case answered(r, assess.SurveyAlone):
		add(assess.Error, same+", and that label already relied on newer dates alone")
	default:
		add(assess.Caution, same+"; if the study was only reviewed, log the review instead")
	}
}

// newer reports whether a row has newer dates than a record.
func newer(r *record.Record, a *assess.Assessment) bool {
	return r.Location.Base().Before(a.Location.Base()) || r.Prepared.Before(a.Prepared)
}

// newerDates says which dates of a row are newer than a record's.
func newerDates(r *record.Record, a *assess.Assessment) string {
	is, was := a.Location.Base(), r.Location.Base()
	if is == was {
		is, was = a.Prepared, r.Prepared
	}
	return fmt.Sprintf("the row's study is from %s, that of the last printed label from %s", is, was)
}

// open is the first reason against the last printed label that a newer study
// would clear; "" for none. A changed row is not such a reason. lapsed is true if
// the only reason is the label's age.
func (p *Place) open() (why string, lapsed bool) {
	reasons := p.Printed.Standing.Reasons
	for i := range reasons {
		r := &reasons[i]
		switch {
		case r.Status == standing.InQuestion && r.Cause != standing.DataCause && r.Cause != standing.PolicyCause &&
			r.Cause != standing.FindingCause:
			return r.Words(), false
		case r.Status == standing.Lapsed:
			why, lapsed = r.Words(), true
		}
	}
	return why, lapsed
}

// deviceChanged is an open change of a device that may clear the arc, for which
// no durations were given; "" for none.
func (p *Place) deviceChanged(log *assess.Log) string {
	told := func(id string) bool {
		return slices.ContainsFunc(log.Changes, func(c assess.Change) bool {
			v := c.New[p.ID()]
			return c.ID == id && (v.Clear > 0 || v.Curve != nil)
		})
	}
	reasons := p.Printed.Standing.Reasons
	for i := range reasons {
		r := &reasons[i]
		device := slices.ContainsFunc(assess.ChangeKinds, func(k assess.ChangeKind) bool { return k.Name == r.Kind && k.Device })
		if r.Cause != standing.UpstreamCause || !device {
			continue
		}
		names := r.Open
		if names == nil {
			names = []string{r.Change}
		}
		if r.Count > len(names) || slices.ContainsFunc(names, func(id string) bool { return !told(id) }) {
			return r.Words()
		}
	}
	return ""
}

// forgotten is what a change before the survey of the row gave that makes the
// last printed label too low, and that the row neither contains nor covers by
// what it prints; "" for nothing.
func (p *Place) forgotten(log *assess.Log) string {
	s, a := p.Printed.Standing.Screening, p.Assessment
	if !p.Printed.Standing.Understated() {
		return ""
	}
	last := ""
	for i := range log.Changes {
		if c := &log.Changes[i]; slices.Contains(s.Changes, c.ID) && c.Date.Before(a.Location.Base()) {
			last = c.ID
		}
	}
	if last == "" {
		return ""
	}
	for _, t := range s.Told {
		if t.On && (a.Maintenance == nil || !a.Maintenance.Permits()) {
			continue // the label would not mention it
		}
		shown := s.ShownBy(&a.Outcome, t.On, record.AsGood)
		var first []string
		taken, recomputed := false, false
		for i := range a.Location.Cases {
			c := &a.Location.Cases[i]
			if c.Name != t.Case && (a.Location.CaseNamed(t.Case) != nil || c.Maintenance != t.On) {
				continue
			}
			parts := untaken(a, i, &t.Values, shown)
			if parts == nil {
				taken, recomputed = true, recomputed || a.Computed[i] != nil
			}
			if first == nil {
				first = parts
			}
		}
		if !taken && first != nil {
			return fmt.Sprintf("change %s gave: %s. With that the result is %s; enter these values, "+
				"or have a named person accept what the study found", last, strings.Join(first, ", "), s.Found())
		}
		if less := s.Less(&a.Outcome, t.On, record.AsGood); less != "" && !recomputed {
			return fmt.Sprintf("change %s gave: %s, and it cannot be recomputed. With the given values the result is %s; "+
				"enter all inputs of the study, or have a named person accept what it found", last, less, s.Found())
		}
	}
	return ""
}

// untaken lists the values given for a case that a row does not contain. shown is
// true if it prints no less than what follows from them: then only a lower fault
// current counts, since that is printed too.
func untaken(a *assess.Assessment, i int, told *assess.NewValues, shown bool) []string {
	c, computed := &a.Location.Cases[i], a.Computed[i]
	clear, reduced := c.Clear, c.ClearReduced
	if computed != nil && c.Curve != "" {
		clear, reduced = max(clear, computed.Clear), max(reduced, computed.ClearReduced)
	}
	var parts []string
	differs := func(column, is, was string) { parts = append(parts, column+" "+is+" instead of "+was) }
	switch {
	case told.Fault == 0 || record.Near(c.Fault, told.Fault):
	case c.Fault < told.Fault || !shown:
		differs("fault_ka", given(c.Fault), assess.Number(told.Fault))
	}
	if shown {
		return parts
	}
	for _, d := range []struct {
		column   string
		is, told assess.MS
	}{{"clear_ms", clear, told.Clear}, {"clear_reduced_ms", reduced, told.ClearReduced}} {
		if d.is < d.told && !record.Near(d.is, d.told) {
			differs(d.column, given(d.is), assess.Number(d.told))
		}
	}
	if told.Curve != nil && !record.SamePoints(a.Curves[c.Curve], told.Curve) {
		differs("curve", words(c.Curve), told.Curve.File)
	}
	return parts
}

func given[T ~float64](v T) string {
	if v == 0 {
		return words("")
	}
	return assess.Number(v)
}

func words(s string) string {
	if s == "" {
		return "(empty)"
	}
	return s
}
