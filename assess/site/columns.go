package site

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"vouchmark/assess"
)

// quantity is a column that holds a number: its name without unit, and the
// units it may be written in, each with its factor to the unit of the program.
type quantity struct {
	name  string
	units []unit
}

type unit struct {
	suffix string
	factor float64
}

func currents() []unit { return []unit{{"ka", 1}, {"a", 1e-3}} }
func lengths(first string) []unit {
	all := []unit{{"in", assess.MMPerInch}, {"mm", 1}, {"ft", assess.MMPerFoot}}
	i := slices.IndexFunc(all, func(u unit) bool { return u.suffix == first })
	all[0], all[i] = all[i], all[0]
	return all
}

// durations are turned to ms. A reader first turns cycles into ms by the
// frequency of the policy, so that their factor is 1.
func durations() []unit { return []unit{{"ms", 1}, {"s", 1000}, {"cycles", 1}} }

// numbers are the columns with a unit, each in its first spelling first.
var numbers = []quantity{
	{"voltage", []unit{{"v", 1}, {"kv", 1000}}},
	{"fault", currents()},
	{"rating", currents()},
	{"energy", []unit{{"cal_cm2", 1}, {"j_cm2", 1 / assess.JoulePerCal}}},
	{"boundary", lengths("in")},
	{"distance", lengths("in")},
	{"gap", lengths("mm")},
	{"height", lengths("mm")},
	{"width", lengths("mm")},
	{"depth", lengths("mm")},
	{"clear", durations()},
	{"clear_reduced", durations()},
	{"device_rating", currents()},
}

// texts are the columns without a unit. multiplier is a bare number.
var texts = []string{"id", "case", "area", "equipment", "class", "fed_from", "supply", "electrodes", "device", "device_at",
	"curve", "conductor", "method", "multiplier", "study", "revision", "edition", "surveyed", "prepared", "engineer", "accepted_by", "note"}

// column is what one heading of the file means.
type column struct {
	name    string // without unit: "voltage", "id"
	heading string // as the file spells it
	unit    unit   // of a number column
	number  bool
}

// canonical are all spellings of column names, in the order of the lists.
func canonical() []string {
	names := slices.Clone(texts)
	for _, q := range numbers {
		for _, u := range q.units {
			names = append(names, q.name+"_"+u.suffix)
		}
	}
	return names
}

// columnOf is the column that a canonical name means.
func columnOf(name string) (column, bool) {
	if slices.Contains(texts, name) {
		return column{name: name}, true
	}
	for _, q := range numbers {
		for _, u := range q.units {
			if name == q.name+"_"+u.suffix {
				return column{name: q.name, unit: u, number: true}, true
			}
		}
	}
	return column{}, false
}

// spelt is how messages name a column: with its heading where it stands in
// the file, else in its first spelling.
func spelt(name string) string {
	for _, q := range numbers {
		if q.name == name {
			return q.name + "_" + q.units[0].suffix
		}
	}
	return name
}

// matchColumns finds out what each heading means. Its result has a place for
// each heading; one that is ignored has no name.
func matchColumns(t *table, s spreadsheet, ps *problems) []column {
	owner := map[string]string{} // the owner's heading, folded, to canonical name
	for name, heading := range s.headings {
		owner[fold(heading)] = name
	}
	cols := make([]column, len(t.heading))
	taken := map[string]string{} // quantity to heading
	complain := func(i int, found, expected, do string) {
		at := strings.TrimSpace(t.heading[i])
		if at == "" {
			at = fmt.Sprintf("column %d", i+1)
		}
		ps.add(Problem{File: t.file, Line: t.line, Column: at, Found: found, Expected: expected, Do: do})
	}
	for i, heading := range t.heading {
		heading = cleanText(heading)
		key := fold(heading)
		name, mapped := owner[key]
		if !mapped {
			name = key
		}
		c, ok := columnOf(name)
		switch {
		case ok:
			c.heading = heading
			if other, twice := taken[c.name]; twice {
				complain(i, "a second column for "+c.name, "one", fmt.Sprintf("%q already holds it; take one of them out", other))
				continue
			}
			taken[c.name] = heading
			cols[i] = c
		case slices.ContainsFunc(s.ignored, func(h string) bool { return fold(h) == key }):
		case heading == "":
			if t.filled(i) {
				complain(i, "cells under an empty heading", "a heading", "name the column, or empty it")
			}
		default:
			q := slices.IndexFunc(numbers, func(q quantity) bool { return q.name == key })
			if q >= 0 {
				taken[key] = heading // so that it is not missed as well
				complain(i, "no unit in the heading", strings.Join(spellings(numbers[q]), " or "), "a number is never read in a guessed unit")
				continue
			}
			complain(i, "an unknown column", "one such as "+nearest(key, canonical()), "name your own columns in site.toml, under [columns] or in ignore_columns")
		}
	}
	for _, name := range slices.Sorted(maps.Keys(s.headings)) {
		heading := s.headings[name]
		if !slices.ContainsFunc(t.heading, func(h string) bool { return fold(h) == fold(heading) }) {
			ps.add(Problem{File: t.file, Line: t.line, Column: name, Found: "no column headed " + quote(heading), Expected: "the heading that [columns] in site.toml gives it", Do: "correct either of the two"})
		}
	}
	for _, must := range []string{"id", "equipment", "supply", "voltage", "distance", "prepared"} {
		if _, ok := taken[must]; !ok {
			ps.add(Problem{File: t.file, Line: t.line, Column: spelt(must), Found: "no such column", Expected: "it, since every label needs it", Do: "add it, or name your own heading for it under [columns] in site.toml"})
		}
	}
	return cols
}

func spellings(q quantity) []string {
	names := make([]string, len(q.units))
	for i, u := range q.units {
		names[i] = q.name + "_" + u.suffix
	}
	return names
}

// fold makes headings comparable: letter case and the blank or hyphen in
// place of an underscore do not matter.
func fold(s string) string {
	return strings.NewReplacer(" ", "_", "-", "_").Replace(strings.ToLower(cleanText(s)))
}

// filled reports whether any row has text in column i.
func (t *table) filled(i int) bool {
	return slices.ContainsFunc(t.rows, func(r row) bool { return i < len(r.cells) && strings.TrimSpace(r.cells[i]) != "" })
}
