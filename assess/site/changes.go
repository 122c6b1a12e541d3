package site

import (
	"maps"
	"slices"
	"strings"

	"vouchmark/assess"
)

// log reads the entries of changes.toml.
type log struct {
	*assess.Log
	known map[string]bool // ids of locations
	names assess.ChangeNames
}

// readLog reads changes.toml. A site without one has logged nothing.
func (r *reader) readLog() {
	n := r.readTOML(assess.ChangesFile, func() {})
	if n == nil {
		return
	}
	l := log{Log: &r.site.Log, known: map[string]bool{}, names: assess.ChangeNames{}}
	for _, location := range r.site.Locations {
		l.known[location.ID] = true
	}
	for _, id := range r.site.Policy.Former {
		l.known[id] = true
	}
	n.each("change", false, l.change)
	n.each("settlement", false, l.settlement)
	n.each("review", false, l.review)
	n.done()
}

func (l *log) change(t *node) {
	c := assess.Change{Date: t.date("date", true), At: t.text("at", true), Note: t.prose("note", false),
		By: t.text("by", true), Line: t.line("date")}
	l.checkPlace(t, "at", c.At)
	c.Kind, _ = ParseKind(t.word("kind", true, "", kindNames()...))
	for i, v := range newValues {
		l.perLocation(t, v.key, c.At, aNumber, func(t *node, key, id, expected string) {
			if x := t.number(key, false, 0, 1e-6, 1e6, expected); x > 0 {
				setNew(&c, id, func(n *assess.NewValues) { *newValues[i].of(n) = x })
			}
		})
	}
	l.perLocation(t, newCurve, c.At, aCurve, func(t *node, key, id, _ string) {
		if curve := l.curve(t, key); curve != nil {
			setNew(&c, id, func(n *assess.NewValues) { n.Curve = curve })
		}
	})
	l.ofCase(t, &c)
	c.ID = l.names.Next(c.Date, c.At)
	l.Changes = append(l.Changes, c)
}

// What is expected of a value for one location.
const (
	aNumber = "a number above 0 and at most 1000000"
	aCurve  = "the name of a CSV file in curves/, such as main-52.csv"
)

// perLocation reads a table from locations to values, or one value for the
// place of the change.
func (l *log) perLocation(t *node, key, at, expected string, one func(t *node, key, id, expected string)) {
	values, ok := t.values[key].(map[string]any)
	if !ok {
		one(t, key, at, expected+", or one for each location, such as { "+exampleOf[expected]+" }")
		return
	}
	t.known = append(t.known, key)
	sub := t.sub(key, values)
	sub.lines[t.path+key] = t.line(key)
	for _, id := range slices.Sorted(maps.Keys(values)) {
		l.checkPlace(sub, id, id)
		one(sub, id, id, expected)
	}
}

var exampleOf = map[string]string{aNumber: `"MCC-4" = 60`, aCurve: `"MCC-4" = "main-52.csv"`}

// curve is a curve of curves/ that a change names, or nil.
func (l *log) curve(t *node, key string) *assess.Curve {
	name := t.text(key, false)
	if name == "" {
		return nil
	}
	if !curveName.MatchString(name) {
		t.fault(key, quote(name), aCurve, "put the file into that folder")
		return nil
	}
	return t.curveOf(name, func() {
		t.fault(key, quote(name), "a file in curves/", "put the digitised curve there")
	})
}

// ofCase reads of which case the new values of a change are. A location whose
// study is newer than the change may name its cases as it likes: the change
// counts for older labels alone.
func (l *log) ofCase(t *node, c *assess.Change) {
	name := t.text(newCase, false)
	if name == "" {
		return
	}
	t.faultIf(len(c.New) == 0, newCase, quote(name), "new values of that case", "without any it says nothing")
	for _, id := range slices.Sorted(maps.Keys(c.New)) {
		if at, ok := t.site.Location(id); ok && at.CaseNamed(name) == nil && !c.Date.Before(at.Base()) {
			t.fault(newCase, quote(name), "a case of "+id+caseNames(at), "the new values of "+id+" are of one of its cases")
		}
		v := c.New[id]
		v.Case = name
		c.New[id] = v
	}
}

// caseNames are the names of a location's cases, as a hint.
func caseNames(l *assess.Location) string {
	var names []string
	for i := range l.Cases {
		if n := l.Cases[i].Name; n != "" {
			names = append(names, n)
		}
	}
	if names == nil {
		return ", which names none"
	}
	return ", which has " + strings.Join(names, ", ")
}

func (l *log) settlement(t *node) {
	e := assess.Settlement{Change: t.text("change", true), Date: t.date("date", true), By: t.answer("by", t.text("by", true)),
		Reason: t.answer("reason", t.prose("reason", true)), Scope: l.scope(t), Line: t.line("change"),
		AgainstScreening: t.answer("against_screening", t.prose("against_screening", false))}
	i := slices.IndexFunc(l.Changes, func(c assess.Change) bool { return c.ID == e.Change })
	switch {
	case e.Change == "":
	case i < 0:
		near := nearest(e.Change, slices.Sorted(maps.Keys(l.names)))
		if near != "" {
			near = "; the nearest is " + near
		}
		t.fault("change", quote(e.Change), `a change of this file by its day and place, such as "2026-08-11/SWB-1"`+near,
			"nothing is settled that was not logged")
	case e.Date.Before(l.Changes[i].Date) && !e.Date.IsZero():
		t.fault("date", e.Date.String(), "the day of the change, "+l.Changes[i].Date.String()+", or a later one",
			"a change is settled after it was made")
	}
	l.Settlements = append(l.Settlements, e)
}

func (l *log) review(t *node) {
	l.Reviews = append(l.Reviews, assess.Review{Date: t.date("date", true), By: t.answer("by", t.text("by", true)), Scope: l.scope(t),
		Line: t.line("date"), Reason: t.answer("reason", t.prose("reason", false)),
		Finding: assess.Finds(t.word("finding", true, "", string(assess.FoundRight), string(assess.FoundWrong)))})
}

// scopeAll is the scope that holds every location.
const scopeAll = "all"

// scope is "all" or a list of ids. It is never assumed.
func (l *log) scope(t *node) assess.Scope {
	const expected = `"all", or a list of ids such as ["MCC-4", "LP-2"]`
	return ask(t, "scope", true, assess.Scope{}, expected, func(v any) (assess.Scope, bool) {
		if _, ok := v.([]any); !ok {
			return assess.Scope{All: true}, v == scopeAll
		}
		ids := t.list("scope", true)
		t.faultIf(len(ids) == 0, "scope", "an empty list", expected, "")
		for _, id := range ids {
			l.checkPlace(t, "scope", id)
		}
		return assess.Scope{IDs: ids}, true
	})
}

// checkPlace reports an id that locations.csv, if it could be read, lacks.
func (l *log) checkPlace(t *node, key, id string) {
	unknown := id != "" && !l.known[id] && len(t.site.Locations) > 0
	t.faultIf(unknown, key, quote(id), "the id of a location in "+locationsFile,
		"if it was taken out of that file, name it under former in site.toml")
}
