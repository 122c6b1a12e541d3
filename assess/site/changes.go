package site

import (
	"fmt"
	"maps"
	"regexp"
	"slices"
	"strings"

	"vouchmark/assess"
)

// log reads the entries of changes.toml.
type log struct {
	*assess.Log
	former map[string]bool // ids that locations had
	names  assess.ChangeNames
	place  map[string]int // of the changes, by name
	alone  bool           // no other file of the folder is there
}

// readLog reads changes.toml. A site without one has logged nothing yet.
func (r *reader) readLog() {
	n := r.readTOML(assess.ChangesFile, func() {})
	if n == nil {
		return
	}
	l := log{Log: &r.site.Log, former: map[string]bool{}, names: assess.ChangeNames{}, place: map[string]int{}, alone: r.alone}
	for _, id := range r.site.Policy.Former {
		l.former[id] = true
	}
	n.each(assess.ChangeEntry, false, l.change)
	n.each(assess.SettlementEntry, false, l.settlement)
	n.each(assess.ReviewEntry, false, l.review)
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
	if l.alone { // there are no points to compare
		t.known = append(t.known, newCurveSHA)
	} else {
		l.perLocation(t, newCurveSHA, c.At, aDigest, func(t *node, key, id, _ string) { l.points(t, key, &c, id) })
	}
	l.ofCase(t, &c)
	c.ID, c.Sum = l.named(t, c.Date, c.At)
	l.place[c.ID] = len(l.Changes)
	l.Changes = append(l.Changes, c)
}

// What is expected as a value for one location.
const (
	aNumber = "a number above 0 and at most 1000000"
	aCurve  = "the name of a CSV file in curves/, such as main-52.csv"
	aDigest = "12 hex digits of the SHA-256 of its points, as the program writes them"
)

// perLocation reads a table from locations to values, or one value for the place of the
// change.
func (l *log) perLocation(t *node, key, at, expected string, one func(t *node, key, id, expected string)) {
	values, ok := t.values[key].(map[string]any)
	if !ok {
		one(t, key, at, orForEach[expected])
		return
	}
	t.known = append(t.known, key)
	sub := t.sub(key, values)
	sub.lines.all()[t.path+key] = t.line(key)
	for _, id := range slices.Sorted(maps.Keys(values)) {
		l.checkPlace(sub, id, id)
		one(sub, id, id, expected)
	}
}

// orForEach is what is expected for one location, or for several.
var orForEach = map[string]string{
	aNumber: aNumber + `, or one for each location, such as { "MCC-4" = 60 }`,
	aCurve:  aCurve + `, or one for each location, such as { "MCC-4" = "main-52.csv" }`,
	aDigest: aDigest + `, or one for each location, such as { "MCC-4" = "0123456789ab" }`,
}

// curve is the curve in curves/ that a change names, or nil.
func (l *log) curve(t *node, key string) *assess.Curve {
	name := t.text(key, false)
	if name == "" {
		return nil
	}
	if !curveName.MatchString(name) {
		t.fault(key, quote(name), aCurve, "put the file in that folder")
		return nil
	}
	if l.alone {
		return &assess.Curve{File: name}
	}
	return t.curveOf(name, func() {
		t.fault(key, quote(name), "a file in curves/", "put the digitized curve there")
	})
}

// points compares a curve with the digest of the points in the entry. If it has other points
// now, only the name is known. Older entries have no digest.
func (l *log) points(t *node, key string, c *assess.Change, id string) {
	digest := t.text(key, false)
	if digest == "" {
		return
	}
	t.faultIf(!hexDigits.MatchString(digest), key, quote(digest), aDigest, "")
	curve := c.New[id].Curve
	t.faultIf(curve == nil, key, quote(digest), newCurve+" of "+id, "it identifies the points of that curve")
	if curve != nil && curve.Digest() != digest {
		setNew(c, id, func(n *assess.NewValues) { n.Curve = &assess.Curve{File: curve.File} })
	}
}

var hexDigits = regexp.MustCompile("^[0-9a-f]{12}$")

// ofCase reads to which case the new values of a change belong. A location whose study is
// newer than the change may name its cases in any way: the change counts only for older
// labels.
func (l *log) ofCase(t *node, c *assess.Change) {
	name := t.text(newCase, false)
	if name == "" {
		return
	}
	t.faultIf(len(c.New) == 0, newCase, quote(name), "new values for that case", "the case has no use without any")
	for _, id := range slices.Sorted(maps.Keys(c.New)) {
		date := c.Date
		check := func() {
			i, ok := t.index[id]
			if !ok {
				return
			}
			if at := &t.site.Locations[i]; at.CaseNamed(name) == nil && !date.Before(at.Base()) {
				t.fault(newCase, quote(name), "a case of "+id+caseNames(at), "the new values for "+id+" belong to one of its cases")
			}
		}
		if t.index == nil { // the locations are read later
			t.later = append(t.later, check)
		} else {
			check()
		}
		v := c.New[id]
		v.Case = name
		c.New[id] = v
	}
}

// caseNames lists the names of a location's cases, as a hint.
func caseNames(l *assess.Location) string {
	var names []string
	for i := range l.Cases {
		if n := l.Cases[i].Name; n != "" {
			names = append(names, n)
		}
	}
	if names == nil {
		return ", which has no case names"
	}
	return ", which has " + strings.Join(names, ", ")
}

func (l *log) settlement(t *node) {
	e := assess.Settlement{Change: t.text("change", true), Date: t.date("date", true), By: t.text("by", true),
		Reason: t.prose("reason", true), Scope: l.scope(t), Line: t.line("change"),
		AgainstScreening: t.answer("against_screening", t.prose("against_screening", false))}
	e.Sum = l.entry(t, assess.SettlementEntry, e.Change, e.Line)
	i, logged := l.place[e.Change]
	switch {
	case e.Change == "":
	case !logged:
		const expected = `a change of this file by its day and place, such as "2026-08-11/SWB-1"`
		if t.full(Problem{File: t.file, Column: t.path + "change", Expected: expected}) {
			break
		}
		near := nearest(e.Change, slices.Sorted(maps.Keys(l.names)))
		if near != "" {
			near = theNearest + near
		}
		t.fault("change", quote(e.Change), expected+near, "only a logged change can be settled")
	case e.Date.Before(l.Changes[i].Date) && !e.Date.IsZero():
		t.fault("date", e.Date.String(), "the date of the change, "+l.Changes[i].Date.String()+", or a later one",
			"a change cannot be settled before it was made")
	}
	if l.says(t, "settlement of "+e.Change, e.By, e.Reason) {
		l.Settlements = append(l.Settlements, e)
	}
}

// says reports whether a name and a reason say anything. An older entry, from before that was
// required, may have a sign for "nothing": it cannot be deleted, and no longer counts.
func (l *log) says(t *node, what string, texts ...string) bool {
	for _, text := range texts {
		if text != "" && !assess.Says(text) {
			t.site.Policy.Findings = append(t.site.Policy.Findings, assess.Finding{Level: assess.Caution, Code: assess.EntryUnsigned,
				Field: "by", File: assess.ChangesFile, Line: t.line("date"),
				Message: fmt.Sprintf("the %s has only %q as a name or a reason, so it does not count; "+
					"add an entry with a person's name and the reason", what, text)})
			return false
		}
	}
	return true
}

func (l *log) review(t *node) {
	r := assess.Review{Date: t.date("date", true), By: t.text("by", true), Scope: l.scope(t),
		Line: t.line("date"), Reason: t.prose("reason", false),
		Finding: assess.Finds(t.word("finding", true, "", string(assess.FoundRight), string(assess.FoundWrong)))}
	r.Sum = l.entry(t, assess.ReviewEntry, r.Date.String(), r.Line)
	if r.Finding != assess.FoundRight || l.says(t, "review of "+r.Date.String(), r.By, r.Reason) {
		l.Reviews = append(l.Reviews, r)
	}
}

// scopeAll is the scope with every location.
const scopeAll = "all"

// scope is "all" or a list of ids. It has no default.
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

// checkPlace reports an id that is not in locations.csv, if that could be read.
func (l *log) checkPlace(t *node, key, id string) {
	_, listed := t.listed[id]
	unknown := id != "" && !listed && !l.former[id] && len(t.listed) > 0
	t.faultIf(unknown, key, quote(id), "the id of a location in "+locationsFile,
		"if its row was deleted there, list the id under former in site.toml")
}
