package site

import (
	"cmp"
	"fmt"
	"regexp"
	"slices"
	"strings"

	"vouchmark/assess"
	"vouchmark/assess/shock"
)

// curveName is what a file in curves/ may be called: no folders, so that a
// row can never reach outside of the site.
var curveName = regexp.MustCompile(`^[A-Za-z0-9][A-Za-z0-9 ._-]*\.csv$`)

// readLocations reads locations.csv, checks what site.toml says of locations,
// and reads the curves that the rows name.
func (r *reader) readLocations() {
	t := r.readTable(locationsFile, func() {
		r.report(locationsFile, 0, "", "no such file", "the study's results, a row for each location",
			assess.Remedy{Words: "{} makes a starter folder with one", Act: assess.ToStart}.Text(r.Command))
	})
	if t == nil {
		return
	}
	t.matchColumns()
	r.site.Locations = t.locations()
	for _, check := range r.later {
		check()
	}
	r.readCurves()
}

// locations turns the rows into locations, in the order of the file.
func (t *table) locations() []assess.Location {
	var all []assess.Location
	index := map[string]int{}  // id to place in all
	folded := map[string]int{} // id in lower case, likewise
	for _, t.row = range t.rows {
		if len(t.row.cells) > len(t.columns) {
			t.fault("", fmt.Sprintf("%d cells", len(t.row.cells)),
				fmt.Sprintf("%d, as in the heading line", len(t.columns)),
				"a text with the delimiter in it stands in quotation marks")
			continue // no telling which cell is which
		}
		l := t.location()
		if l.ID == "" {
			continue
		}
		if i, known := index[l.ID]; known {
			t.addCase(&all[i], &l)
			continue
		}
		lower := strings.ToLower(l.ID)
		if j, ok := folded[lower]; ok {
			t.fault("id", quote(l.ID), fmt.Sprintf("an id that differs from %s on line %d in more than capitals",
				quote(all[j].ID), all[j].Cases[0].Line), "a reader cannot tell them apart")
		}
		index[l.ID], folded[lower] = len(all), len(all)
		all = append(all, l)
	}
	for i := range all {
		// Which case comes first in the file is no fact: records have them by name.
		slices.SortStableFunc(all[i].Cases, func(a, b assess.Case) int { return strings.Compare(a.Name, b.Name) })
	}
	if len(t.rows) == 0 && !t.broken {
		t.headingFault("", "no row below the headings", "a row for each location", "")
	}
	return all
}

// fault reports a problem of a cell of the row being read.
func (t *table) fault(name, found, expected, do string) {
	heading := ""
	if i, ok := t.place[name]; ok {
		heading = t.columns[i].heading
	} else if c := assess.ColumnNamed(name); c != nil {
		heading = c.Spellings()[0]
	}
	t.report(t.file, t.row.line, heading, found, expected, do)
}

// faultIf states a rule: what it reports where the rule is broken.
func (t *table) faultIf(broken bool, name, found, expected, do string) {
	if broken {
		t.fault(name, found, expected, do)
	}
}

// raw is a cell of the row being read as it stands in the file.
func (t *table) raw(name string) string {
	if i, ok := t.place[name]; ok && i < len(t.row.cells) {
		return t.row.cells[i]
	}
	return ""
}

// cell is the text of a cell.
func (t *table) cell(name string) string { return cleanText(t.raw(name)) }

// number is the value of a column in the program's unit, rounded as stored;
// 0 where the cell is empty.
func (t *table) number(name string) float64 {
	s := t.cell(name)
	if s == "" {
		return 0
	}
	unit := t.columns[t.place[name]].unit
	v, expected, do := t.decimals.parse(s, unit.Suffix)
	if expected == "" && (v <= 0 || v > 1e9) {
		expected, do = "a number above 0 and at most 1000000000", "leave the cell empty where the study says nothing"
	}
	if expected != "" {
		t.fault(name, quote(s), expected, do)
		return 0
	}
	if unit.Suffix == assess.Cycles {
		v *= 1000 / t.hertz
	}
	return assess.Round9(v * unit.Factor)
}

// value is what the row being read has in a column. Letter case does not
// matter in a choice.
func (t *table) value(c *assess.Column) any {
	s := t.cell(c.Name)
	switch c.Kind {
	case assess.Quantity:
		return t.number(c.Name)
	case assess.Day:
		d, err := assess.ParseDate(s)
		t.faultIf(err != nil && s != "", c.Name, quote(s), "a date such as 2026-03-14",
			"year, month, day; the day must exist")
		return d
	case assess.Choice:
		i := slices.IndexFunc(c.Choices, func(choice string) bool { return strings.EqualFold(choice, s) })
		if i >= 0 {
			return c.Choices[i]
		}
		if s != "" {
			t.fault(c.Name, quote(s), "one of "+strings.Join(c.Choices, ", "),
				"the nearest is "+nearest(strings.ToLower(s), c.Choices))
		}
		return ""
	case assess.List:
		var ids []string
		for _, id := range strings.Split(t.text(c), ";") {
			if id = strings.TrimSpace(id); id != "" && !slices.Contains(ids, id) {
				ids = append(ids, id)
			}
		}
		return ids
	}
	return t.text(c)
}

func (t *table) text(c *assess.Column) string {
	s, found, expected := t.read(t.raw(c.Name), kind{longest: cmp.Or(c.Longest, kindText.longest), prose: c.Prose})
	t.faultIf(found != "", c.Name, found, expected, "correct the cell")
	return s
}

// location turns the row being read into a location with one case.
func (t *table) location() assess.Location {
	l := assess.Location{Cases: []assess.Case{{Line: t.row.line}}}
	to := l.Row(0)
	for _, c := range assess.Columns {
		if !c.Noted {
			c.Set(to, t.value(&c))
		}
	}
	t.faultIf(l.ID == scopeAll, "id", quote(l.ID), "another id", "in changes.toml this word means every location")
	t.checkCase(to)
	if t.site.Policy.Typical {
		assess.AssumeTypical(&l)
	}
	for _, c := range assess.Columns {
		// A column that the file does not have was reported once, for the heading.
		if _, has := t.place[c.Name]; !c.Needed || !has || t.cell(c.Name) != "" {
			continue
		}
		if c.Kind == assess.Text {
			t.fault(c.Name, "an empty cell", "text, since every label needs it", "fill it in")
		} else if c.Text(to) == "" {
			t.fault(c.Name, "an empty cell", "a value, since every label needs it", "take it from the study report")
		}
	}
	return l
}

// checkCase checks what no single cell tells, and chooses the method that an
// empty cell means.
func (t *table) checkCase(r assess.Row) {
	if r.Curve != "" && !curveName.MatchString(r.Curve) {
		t.fault("curve", quote(r.Curve), "the name of a CSV file in curves/, such as main-52.csv",
			"put the file into that folder")
		r.Curve = ""
	}
	t.faultIf(!slices.Contains([]float64{0, 1, 3}, r.Multiplier), "multiplier", quote(fmt.Sprint(r.Multiplier)),
		"1 in the open or 3 in an enclosure", "nothing between has a source")
	if r.Method == "" {
		r.Method = assess.Stated
		if r.Supply == shock.AC3 && r.Electrodes != "" {
			r.Method = assess.IEEE1584
		}
	}
}

// addCase adds the one case of l, the row being read, to a location that has
// the same id. What describes the equipment must agree.
func (t *table) addCase(to *assess.Location, l *assess.Location) {
	c := l.Cases[0]
	for _, other := range to.Cases {
		if strings.EqualFold(other.Name, c.Name) {
			do := map[bool]string{true: "every location needs its own id", false: "a location has each case once"}
			t.fault("id", fmt.Sprintf("%s, which already stands on line %d", quote(l.ID), other.Line),
				"another id, or another case", do[c.Name == ""])
			return
		}
	}
	for _, d := range assess.Columns {
		if !d.PerCase && !d.Noted && d.Text(to.Row(0)) != d.Text(l.Row(0)) {
			t.fault(d.Name, quote(t.cell(d.Name)),
				fmt.Sprintf("the same as for %s on line %d", quote(to.ID), to.Cases[0].Line),
				"cases are operating conditions of one piece of equipment")
		}
	}
	to.Cases = append(to.Cases, c)
}
