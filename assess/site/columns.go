package site

import (
	"cmp"
	"fmt"
	"maps"
	"slices"
	"strings"

	"vouchmark/assess"
)

// column is the meaning of one heading of a file.
type column struct {
	*assess.Column             // nil if the heading is ignored
	heading        string      // as the file writes it
	unit           assess.Unit // of a quantity
}

// spellings lists all spellings of columns, in the order of the table.
func spellings(columns []assess.Column) []string {
	var names []string
	for _, c := range columns {
		if !c.Noted {
			names = append(names, c.Spellings()...)
		}
	}
	return names
}

// columnOf is the column of a table with a canonical name.
func columnOf(columns []assess.Column, name string) (column, bool) {
	for i := range columns {
		c := column{Column: &columns[i]}
		k := slices.Index(c.Spellings(), name)
		if k < 0 || c.Noted {
			continue
		}
		if c.Kind == assess.Quantity {
			c.unit = c.Units[k]
		}
		return c, true
	}
	return column{}, false
}

// matchColumns finds out what each heading of locations.csv means.
func (t *table) matchColumns() {
	columns := make([]column, t.heading.cells())
	taken := map[string]int{} // number of the heading with a quantity, from 1
	for i, heading := range t.heading.all() {
		at := cmp.Or(strings.TrimSpace(heading), fmt.Sprintf("column %d", i+1))
		heading = cleanText(heading)
		key := fold(heading)
		c, ok := columnOf(assess.Columns, cmp.Or(t.owner[key], key))
		_, itself := columnOf(assess.Columns, key)
		bare := assess.ColumnNamed(key)
		switch {
		case ok && t.owner[key] != "" && !itself && t.otherUnit(c, heading):
			taken[c.Name] = i + 1 // so that it is not also reported as missing
		case ok && taken[c.Name] > 0:
			t.headingFault(at, "a second column for "+c.Name, "one", fmt.Sprintf("%q already has it; delete one of them",
				cleanText(t.heading.cell(taken[c.Name]-1))))
		case ok:
			c.heading, taken[c.Name] = heading, i+1
			columns[i] = c
		case slices.ContainsFunc(t.ignored, func(h string) bool { return fold(h) == key }):
		case heading == "" && !t.filled(i):
		case heading == "":
			t.headingFault(at, "cells below an empty heading", "a heading", "give the column a heading, or clear its cells")
		case bare != nil && !bare.Noted:
			taken[key] = i + 1 // so that it is not also reported as missing
			t.headingFault(at, "no unit in the heading", strings.Join(bare.Spellings(), " or "),
				"the unit of a number is never guessed")
		default:
			t.headingFault(at, "an unknown column", "one such as "+nearest(key, spellings(assess.Columns)),
				"list your own columns in site.toml, under [columns] or in ignore_columns")
		}
	}
	for _, name := range slices.Sorted(maps.Keys(t.headings)) {
		heading := t.headings[name]
		if !slices.ContainsFunc(t.heading.all(), func(h string) bool { return fold(h) == fold(heading) }) {
			t.headingFault(name, "no column headed "+quote(heading),
				"the heading that [columns] in site.toml gives it", "correct one of the two")
		}
	}
	for _, must := range assess.Columns {
		if _, given := t.defaults[must.Name]; must.Needed && taken[must.Name] == 0 && !given {
			t.headingFault(must.Spellings()[0], "no such column", "",
				"every label needs it: add it, or enter your own heading for it under [columns] in site.toml")
		}
	}
	t.bind(columns)
}

// bind notes what the headings mean, and how the file writes numbers.
func (t *table) bind(columns []column) {
	t.columns, t.place, t.decimals.comma = columns, map[string]int{}, t.comma != ','
	var numbers []string
	for i, c := range columns {
		if c.Column == nil {
			continue
		}
		t.place[c.Name] = i
		if c.Kind != assess.Quantity || !t.decimals.comma {
			continue
		}
		for _, r := range t.rows {
			numbers = append(numbers, r.cell(i))
		}
	}
	t.decimals.settle(numbers)
	t.order = make([]int, len(assess.Columns))
	for i := range assess.Columns {
		t.order[i] = t.at(assess.Columns[i].Name)
	}
}

// fold makes headings comparable: letter case does not matter, nor does a blank or hyphen
// instead of an underscore.
func fold(s string) string {
	return joined.Replace(strings.ToLower(cleanText(s)))
}

var joined = strings.NewReplacer(" ", "_", "-", "_")

// filled reports whether any row has text in column i.
func (t *table) filled(i int) bool {
	return slices.ContainsFunc(t.rows, func(r row) bool { return strings.TrimSpace(r.cell(i)) != "" })
}
