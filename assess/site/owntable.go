package site

import (
	"strings"

	"vouchmark/assess"
)

// matchOwn finds out what each heading of a table with fixed columns means, and reports whether
// everything is clear. wrong, which may be nil, recognizes headings that are worse than unknown:
// found is "" for the others.
func (t *table) matchOwn(all []assess.Column, wrong func(heading string) (found, expected, do string)) bool {
	before := t.faults
	columns := make([]column, t.heading.cells())
	taken := map[string]bool{}
	known := "one of " + strings.Join(spellings(all), ", ")
	for i, heading := range t.heading.all() {
		heading = cleanText(heading)
		found, expected, do := "an unknown column", known, "delete it"
		if wrong != nil {
			if f, e, d := wrong(heading); f != "" {
				found, expected, do = f, e, d
			}
		}
		c, ok := columnOf(all, fold(heading))
		switch {
		case ok && taken[c.Name]:
			t.headingFault(heading, "a second column for "+c.Name, "one", "delete one of them")
		case ok:
			c.heading, taken[c.Name] = heading, true
			columns[i] = c
		case heading != "" || t.filled(i):
			t.headingFault(heading, found, expected, do)
		}
	}
	for _, must := range all {
		if must.Needed && !taken[must.Name] && t.faults == before {
			t.headingFault(must.Spellings()[0], "no such column", "", "every row needs it")
		}
	}
	t.bind(columns)
	return t.faults == before
}
