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

// readLocations turns locations.csv into locations, in the order of the file.
func readLocations(data []byte, ps *problems, o Options, s spreadsheet) []assess.Location {
	t := readTable(locationsFile, data, ps)
	if t == nil || t.heading == nil {
		return nil
	}
	rr := newRowReader(t, ps, o, matchColumns(t, s, ps), s.hertz)
	rr.typical = s.typical

	var all []assess.Location
	index := map[string]int{}  // id to place in all
	folded := map[string]int{} // id in lower case, likewise
	for _, r := range t.rows {
		if len(r.cells) > len(rr.columns) {
			rr.problem(r.line, "", fmt.Sprintf("%d cells", len(r.cells)), fmt.Sprintf("%d, as in the heading line", len(rr.columns)), "a text with the delimiter in it stands in quotation marks")
			continue // no telling which cell is which
		}
		l := rr.read(r)
		if l.ID == "" {
			continue
		}
		i, known := index[l.ID]
		if known {
			rr.addCase(&all[i], &l)
			continue
		}
		if j, ok := folded[strings.ToLower(l.ID)]; ok {
			rr.problem(r.line, "id", quote(l.ID), fmt.Sprintf("an id that differs from %s on line %d in more than capitals", quote(all[j].ID), all[j].Cases[0].Line), "a reader cannot tell them apart")
		}
		index[l.ID], folded[strings.ToLower(l.ID)] = len(all), len(all)
		all = append(all, l)
	}
	for i := range all {
		// Which case comes first in the file is no fact: records have them by name.
		slices.SortStableFunc(all[i].Cases, func(a, b assess.Case) int { return strings.Compare(a.Name, b.Name) })
	}
	if len(t.rows) == 0 && !t.broken {
		ps.add(Problem{File: t.file, Line: t.line, Found: "no row below the headings", Expected: "a row for each location"})
	}
	return all
}

// rowReader reads the rows of one table.
type rowReader struct {
	table    *table
	problems *problems
	options  Options
	columns  []column
	place    map[string]int // of each column that the file has
	decimals decimals
	hertz    float64
	typical  bool // the owner lets typical values fill in
	row      row  // the row being read
}

func newRowReader(t *table, ps *problems, o Options, columns []column, hertz float64) *rowReader {
	rr := &rowReader{table: t, problems: ps, options: o, columns: columns, hertz: hertz, place: map[string]int{}}
	for i, c := range columns {
		if c.Column == nil {
			continue
		}
		if _, twice := rr.place[c.Name]; !twice {
			rr.place[c.Name] = i
		}
	}
	rr.decimals = decimals{comma: t.comma != ','}
	rr.decimals.settle(rr.numberCells())
	return rr
}

func (rr *rowReader) numberCells() []string {
	var cells []string
	for _, r := range rr.table.rows {
		for i, c := range rr.columns {
			if c.Column != nil && c.Kind == assess.Quantity && i < len(r.cells) {
				cells = append(cells, r.cells[i])
			}
		}
	}
	return cells
}

func (rr *rowReader) problem(line int, name, found, expected, do string) {
	rr.problems.add(Problem{File: rr.table.file, Line: line, Column: rr.headingOf(name), Found: found, Expected: expected, Do: do})
}

func (rr *rowReader) headingOf(name string) string {
	if i, ok := rr.place[name]; ok {
		return rr.columns[i].heading
	}
	return spelt(name)
}

// fault reports a problem of the cell being read.
func (rr *rowReader) fault(name, found, expected, do string) {
	rr.problem(rr.row.line, name, found, expected, do)
}

// cell is the text of a column in the row being read.
func (rr *rowReader) cell(name string) (string, column) {
	i, ok := rr.place[name]
	if !ok {
		return "", column{heading: spelt(name)}
	}
	if i >= len(rr.row.cells) {
		return "", rr.columns[i]
	}
	return cleanText(rr.row.cells[i]), rr.columns[i]
}

func (rr *rowReader) text(name string, k kind) string {
	i, ok := rr.place[name]
	if !ok || i >= len(rr.row.cells) {
		return ""
	}
	s, found, expected := rr.options.read(rr.row.cells[i], k)
	if found != "" {
		rr.fault(name, found, expected, "correct the cell")
		return ""
	}
	return s
}

// has reports whether the file has the column at all; a missing one was
// reported once, for the heading.
func (rr *rowReader) has(name string) bool {
	_, ok := rr.place[name]
	return ok
}

// number is the value of a column in the program's unit, rounded as stored;
// 0 where the cell is empty.
func (rr *rowReader) number(name string) float64 {
	s, c := rr.cell(name)
	if s == "" {
		return 0
	}
	v, expected, do := rr.decimals.parse(s, c.unit.Suffix)
	if expected != "" {
		rr.fault(name, quote(s), expected, do)
		return 0
	}
	if v <= 0 || v > 1e9 {
		rr.fault(name, quote(s), "a number above 0 and at most 1000000000", "leave the cell empty where the study says nothing")
		return 0
	}
	if c.unit.Suffix == assess.Cycles {
		v *= 1000 / rr.hertz
	}
	return assess.Round9(v * c.unit.Factor)
}

func (rr *rowReader) date(name string) assess.Date {
	s, _ := rr.cell(name)
	if s == "" {
		return assess.Date{}
	}
	d, err := assess.ParseDate(s)
	if err != nil {
		rr.fault(name, quote(s), "a date such as 2026-03-14", "year, month, day; the day must exist")
	}
	return d
}

// oneOf is a word from a list; letter case does not matter.
func (rr *rowReader) oneOf(name string, known []string) string {
	s, _ := rr.cell(name)
	if s == "" {
		return ""
	}
	for _, k := range known {
		if strings.EqualFold(k, s) {
			return k
		}
	}
	rr.fault(name, quote(s), "one of "+strings.Join(known, ", "), "the nearest is "+nearest(strings.ToLower(s), known))
	return ""
}

// read turns one row into a location with one case.
func (rr *rowReader) read(r row) assess.Location {
	rr.row = r
	l := assess.Location{Cases: []assess.Case{{Line: r.line}}}
	to := l.Row(0)
	for i := range assess.Columns {
		if c := &assess.Columns[i]; !c.Noted {
			c.Set(to, rr.value(c))
		}
	}
	if l.ID == scopeAll {
		rr.fault("id", quote(l.ID), "another id", "in changes.toml this word means every location")
	}
	rr.checkCase(to)
	if rr.typical {
		assess.AssumeTypical(&l)
	}
	for i := range assess.Columns {
		c := &assess.Columns[i]
		s, _ := rr.cell(c.Name)
		if c.Needed && s == "" && rr.has(c.Name) && (c.Kind == assess.Text || c.Text(to) == "") {
			what, do := "a value", "take it from the study report"
			if c.Kind == assess.Text {
				what, do = "text", "fill it in"
			}
			rr.fault(c.Name, "an empty cell", what+", since every label needs it", do)
		}
	}
	return l
}

// value is what the row being read has in a column.
func (rr *rowReader) value(c *assess.Column) any {
	switch c.Kind {
	case assess.Choice:
		return rr.oneOf(c.Name, c.Choices)
	case assess.List:
		return rr.ids(c.Name)
	case assess.Day:
		return rr.date(c.Name)
	case assess.Quantity:
		return rr.number(c.Name)
	}
	return rr.text(c.Name, kind{longest: cmp.Or(c.Longest, kindText.longest), prose: c.Prose})
}

// checkCase checks what no single cell tells, and chooses the method that an
// empty cell means.
func (rr *rowReader) checkCase(r assess.Row) {
	if r.Curve != "" && !curveName.MatchString(r.Curve) {
		rr.fault("curve", quote(r.Curve), "the name of a CSV file in curves/, such as main-52.csv", "put the file into that folder")
		r.Curve = ""
	}
	if r.Multiplier != 0 && r.Multiplier != 1 && r.Multiplier != 3 {
		rr.fault("multiplier", quote(fmt.Sprint(r.Multiplier)), "1 in the open or 3 in an enclosure", "nothing between has a source")
	}
	if r.Method == "" {
		r.Method = assess.Stated
		if r.Supply == shock.AC3 && r.Electrodes != "" {
			r.Method = assess.IEEE1584
		}
	}
}

// ids are the ids of a list.
func (rr *rowReader) ids(name string) []string {
	s := rr.text(name, kindText)
	var ids []string
	for _, id := range strings.Split(s, ";") {
		if id = strings.TrimSpace(id); id != "" && !slices.Contains(ids, id) {
			ids = append(ids, id)
		}
	}
	return ids
}

// addCase adds the one case of l to a location that has the same id. What
// describes the equipment must agree.
func (rr *rowReader) addCase(to *assess.Location, l *assess.Location) {
	first, c := &to.Cases[0], l.Cases[0]
	for i := range to.Cases {
		if strings.EqualFold(to.Cases[i].Name, c.Name) {
			what := "every location needs its own id"
			if c.Name != "" {
				what = "a location has each case once"
			}
			rr.problem(c.Line, "id", fmt.Sprintf("%s, which already stands on line %d", quote(l.ID), to.Cases[i].Line), "another id, or another case", what)
			return
		}
	}
	for i := range assess.Columns {
		d := &assess.Columns[i]
		if d.PerCase || d.Noted || d.Text(to.Row(0)) == d.Text(l.Row(0)) {
			continue
		}
		cell, _ := rr.cell(d.Name)
		rr.problem(c.Line, d.Name, quote(cell), fmt.Sprintf("the same as for %s on line %d", quote(to.ID), first.Line),
			"cases are operating conditions of one piece of equipment")
	}
	to.Cases = append(to.Cases, c)
}
