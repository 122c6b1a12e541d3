package site

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"vouchmark/assess"
)

// column is what one heading of a file means.
type column struct {
	*assess.Column             // nil where the heading is ignored
	heading        string      // as the file spells it
	unit           assess.Unit // of a quantity
}

// canonical are all spellings of the columns of locations.csv, in the order of
// the table.
func canonical() []string { return spellings(assess.Columns) }

func spellings(columns []assess.Column) []string {
	var names []string
	for i := range columns {
		if c := &columns[i]; !c.Noted {
			names = append(names, c.Spellings()...)
		}
	}
	return names
}

// columnOf is the column of a table that a canonical name means.
func columnOf(columns []assess.Column, name string) (column, bool) {
	for i := range columns {
		c := &columns[i]
		k := slices.Index(c.Spellings(), name)
		if k < 0 || c.Noted {
			continue
		}
		found := column{Column: c}
		if c.Kind == assess.Quantity {
			found.unit = c.Units[k]
		}
		return found, true
	}
	return column{}, false
}

// spelt is how messages name a column that the file does not have: in its
// first spelling.
func spelt(name string) string {
	if c := assess.ColumnNamed(name); c != nil {
		return c.Spellings()[0]
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
		c, ok := columnOf(assess.Columns, name)
		switch {
		case ok:
			c.heading = heading
			if other, twice := taken[c.Name]; twice {
				complain(i, "a second column for "+c.Name, "one", fmt.Sprintf("%q already holds it; take one of them out", other))
				continue
			}
			taken[c.Name] = heading
			cols[i] = c
		case slices.ContainsFunc(s.ignored, func(h string) bool { return fold(h) == key }):
		case heading == "":
			if t.filled(i) {
				complain(i, "cells under an empty heading", "a heading", "name the column, or empty it")
			}
		default:
			if c := assess.ColumnNamed(key); c != nil && !c.Noted {
				taken[key] = heading // so that it is not missed as well
				complain(i, "no unit in the heading", strings.Join(c.Spellings(), " or "), "a number is never read in a guessed unit")
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
	for i := range assess.Columns {
		must := &assess.Columns[i]
		if _, ok := taken[must.Name]; must.Needed && !ok {
			ps.add(Problem{File: t.file, Line: t.line, Column: must.Spellings()[0], Found: "no such column",
				Expected: "it, since every label needs it", Do: "add it, or name your own heading for it under [columns] in site.toml"})
		}
	}
	return cols
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
