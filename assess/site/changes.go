package site

import (
	"errors"
	"fmt"
	"io/fs"
	"maps"
	"slices"
	"strings"

	"vouchmark/assess"
)

// readLog reads changes.toml. A site without one has logged nothing.
func readLog(folder fs.FS, s *assess.Site, ps *problems, o Options) {
	data, err := fs.ReadFile(folder, assess.ChangesFile)
	switch {
	case errors.Is(err, fs.ErrNotExist):
	case err != nil:
		ps.add(unreadable(assess.ChangesFile, err))
	default:
		parseLog(data, s, ps, o)
	}
}

// log reads the entries of changes.toml.
type log struct {
	known map[string]bool // ids of locations; nil where they could not be read
	ids   assess.ChangeNames
}

func parseLog(data []byte, s *assess.Site, ps *problems, o Options) {
	n := parseTOML(assess.ChangesFile, data, ps, o)
	if n == nil {
		return
	}
	l := log{ids: assess.ChangeNames{}}
	if len(s.Locations) > 0 {
		l.known = map[string]bool{}
		for i := range s.Locations {
			l.known[s.Locations[i].ID] = true
		}
		for _, id := range s.Policy.Former {
			l.known[id] = true
		}
	}
	for _, t := range n.tables("change", false) {
		c := l.change(t)
		c.ID = l.ids.Next(c.Date, c.At)
		s.Log.Changes = append(s.Log.Changes, c)
	}
	for _, t := range n.tables("settlement", false) {
		s.Log.Settlements = append(s.Log.Settlements, l.settlement(t, s.Log.Changes))
	}
	for _, t := range n.tables("review", false) {
		s.Log.Reviews = append(s.Log.Reviews, l.review(t))
	}
	n.done()
}

func (l *log) change(t *node) assess.Change {
	c := assess.Change{Date: t.date("date", true), At: t.text("at", true, ""), Note: t.prose("note", false), By: t.text("by", true, ""), Line: t.line("date")}
	l.checkPlace(t, "at", c.At)
	if name := t.word("kind", true, "", kindNames()...); name != "" {
		c.Kind, _ = ParseKind(name)
	}
	set := func(key string, store func(*assess.NewValues, float64)) {
		for id, v := range l.perLocation(t, key, c.At) {
			if c.New == nil {
				c.New = map[string]assess.NewValues{}
			}
			values := c.New[id]
			store(&values, v)
			c.New[id] = values
		}
	}
	set("new_fault_ka", func(n *assess.NewValues, v float64) { n.Fault = assess.KA(v) })
	set("new_clear_ms", func(n *assess.NewValues, v float64) { n.Clear = assess.MS(v) })
	set("new_clear_reduced_ms", func(n *assess.NewValues, v float64) { n.ClearReduced = assess.MS(v) })
	t.done()
	return c
}

// perLocation reads a table from locations to numbers, or one number for the
// place of the change.
func (l *log) perLocation(t *node, key, at string) map[string]float64 {
	const most = 1e6
	const expected = `a number above 0 and at most 1000000, or one for each location, such as { "MCC-4" = 60 }`
	v, ok := t.value(key, false, expected)
	if !ok {
		return nil
	}
	table, ok := v.(map[string]any)
	if !ok {
		return map[string]float64{at: t.number(key, true, 0, 1e-6, most, expected)}
	}
	sub := &node{file: t.file, path: t.path + key + ".", values: table, lines: t.lines, problems: t.problems, options: t.options, kind: t.kind}
	sub.lines[strings.TrimSuffix(sub.path, ".")] = t.line(key)
	out := map[string]float64{}
	for _, id := range slices.Sorted(maps.Keys(table)) {
		l.checkPlace(sub, id, id)
		if x := sub.number(id, true, 0, 1e-6, most, "a number above 0 and at most 1000000"); x > 0 {
			out[id] = x
		}
	}
	return out
}

func (l *log) settlement(t *node, changes []assess.Change) assess.Settlement {
	e := assess.Settlement{Change: t.text("change", true, ""), Date: t.date("date", true), By: t.text("by", true, ""), Reason: t.prose("reason", true), Scope: l.scope(t), Line: t.line("change")}
	i := slices.IndexFunc(changes, func(c assess.Change) bool { return c.ID == e.Change })
	switch {
	case e.Change == "":
	case i < 0:
		near := nearest(e.Change, slices.Sorted(maps.Keys(l.ids)))
		if near != "" {
			near = "; the nearest is " + near
		}
		t.fault("change", quote(e.Change), "a change of this file by its day and place, such as \"2026-08-11/SWB-1\""+near, "nothing is settled that was not logged")
	case e.Date.Before(changes[i].Date) && !e.Date.IsZero():
		t.fault("date", e.Date.String(), "the day of the change, "+changes[i].Date.String()+", or a later one", "a change is settled after it was made")
	}
	t.done()
	return e
}

func (l *log) review(t *node) assess.Review {
	r := assess.Review{Date: t.date("date", true), By: t.text("by", true, ""), Scope: l.scope(t), Line: t.line("date"),
		Finding: assess.Finds(t.word("finding", true, "", string(assess.FoundRight), string(assess.FoundWrong)))}
	t.done()
	return r
}

// scopeAll is the scope that holds every location.
const scopeAll = "all"

// scope is "all" or a list of ids. It is never assumed.
func (l *log) scope(t *node) assess.Scope {
	const expected = `"all", or a list of ids such as ["MCC-4", "LP-2"]`
	v, ok := t.value("scope", true, expected)
	if !ok {
		return assess.Scope{}
	}
	if v == scopeAll {
		return assess.Scope{All: true}
	}
	if _, is := v.([]any); !is {
		t.wrong("scope", v, expected)
		return assess.Scope{}
	}
	ids := t.list("scope", true)
	if len(ids) == 0 {
		t.fault("scope", "an empty list", expected, "")
	}
	for _, id := range ids {
		l.checkPlace(t, "scope", id)
	}
	return assess.Scope{IDs: ids}
}

func (l *log) checkPlace(t *node, key, id string) {
	if id != "" && l.known != nil && !l.known[id] {
		t.fault(key, quote(id), fmt.Sprintf("the id of a location in %s", locationsFile), "if it was taken out of that file, name it under former in site.toml")
	}
}
