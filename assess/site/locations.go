package site

import (
	"fmt"
	"regexp"
	"slices"
	"strings"

	"vouchmark/assess"
	"vouchmark/assess/shock"
)

var (
	classes    = []string{"switchgear", "switchboard", "mcc", "panelboard", "disconnect", "transformer", "battery", "other"}
	supplies   = []string{string(shock.AC3), string(shock.AC1), string(shock.DC)}
	electrodes = []string{"VCB", "VCBB", "HCB", "VOA", "HOA"}
	conductors = []string{"fixed", "movable"}
	methods    = []string{string(assess.IEEE1584), string(assess.Lee), string(assess.DCMaxPower), string(assess.Stated)}
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
		if _, twice := rr.place[c.name]; c.name != "" && !twice {
			rr.place[c.name] = i
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
			if c.number && i < len(r.cells) {
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
		return "", column{name: name, heading: spelt(name)}
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

func (rr *rowReader) required(name string, k kind) string {
	s := rr.text(name, k)
	if raw, _ := rr.cell(name); raw == "" && rr.has(name) {
		rr.fault(name, "an empty cell", "text, since every label needs it", "fill it in")
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
	v, expected, do := rr.decimals.parse(s, c.unit.suffix)
	if expected != "" {
		rr.fault(name, quote(s), expected, do)
		return 0
	}
	if v <= 0 || v > 1e9 {
		rr.fault(name, quote(s), "a number above 0 and at most 1000000000", "leave the cell empty where the study says nothing")
		return 0
	}
	if c.unit.suffix == "cycles" {
		v *= 1000 / rr.hertz
	}
	if c.number {
		v *= c.unit.factor
	}
	return assess.Round9(v)
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
	l := assess.Location{
		ID:        rr.required("id", kindID),
		Area:      rr.text("area", kindDescribe),
		Equipment: rr.required("equipment", kindDescribe),
		Class:     rr.oneOf("class", classes),
		FedFrom:   rr.feeds(),
		Supply:    shock.Supply(rr.oneOf("supply", supplies)),
		Voltage:   assess.Volts(rr.number("voltage")),
		Rating:    assess.KA(rr.number("rating")),

		Distance:   assess.MM(rr.number("distance")),
		Electrodes: rr.oneOf("electrodes", electrodes),
		Gap:        assess.MM(rr.number("gap")),
		Height:     assess.MM(rr.number("height")),
		Width:      assess.MM(rr.number("width")),
		Depth:      assess.MM(rr.number("depth")),
		Movable:    rr.oneOf("conductor", conductors) == "movable",
	}
	if l.ID == scopeAll {
		rr.fault("id", quote(l.ID), "another id", "in changes.toml this word means every location")
	}
	l.Cases = []assess.Case{rr.readCase(&l)}
	if rr.typical {
		assess.AssumeTypical(&l)
	}
	for _, must := range []string{"supply", "voltage", "distance", "prepared"} {
		if s, _ := rr.cell(must); s == "" && rr.has(must) && (must != "distance" || l.Distance == 0) {
			rr.fault(must, "an empty cell", "a value, since every label needs it", "take it from the study report")
		}
	}
	return l
}

func (rr *rowReader) readCase(l *assess.Location) assess.Case {
	c := assess.Case{
		Name:         rr.text("case", kindText),
		Line:         rr.row.line,
		Fault:        assess.KA(rr.number("fault")),
		Energy:       assess.CalCM2(rr.number("energy")),
		Boundary:     assess.MM(rr.number("boundary")),
		Clear:        assess.MS(rr.number("clear")),
		ClearReduced: assess.MS(rr.number("clear_reduced")),
		Device:       rr.text("device", kindDescribe),
		DeviceAt:     rr.text("device_at", kindID),
		DeviceRating: assess.KA(rr.number("device_rating")),
		Curve:        rr.text("curve", kindText),
		Method:       assess.Method(rr.oneOf("method", methods)),
		Multiplier:   rr.number("multiplier"),
		Study:        rr.text("study", kindText),
		Revision:     rr.text("revision", kindText),
		Edition:      rr.text("edition", kindText),
		Surveyed:     rr.date("surveyed"),
		Prepared:     rr.date("prepared"),
		Engineer:     rr.text("engineer", kindText),
		AcceptedBy:   rr.text("accepted_by", kindText),
		Note:         rr.text("note", kindNote),
	}
	if c.Curve != "" && !curveName.MatchString(c.Curve) {
		rr.fault("curve", quote(c.Curve), "the name of a CSV file in curves/, such as main-52.csv", "put the file into that folder")
		c.Curve = ""
	}
	if c.Multiplier != 0 && c.Multiplier != 1 && c.Multiplier != 3 {
		rr.fault("multiplier", quote(fmt.Sprint(c.Multiplier)), "1 in the open or 3 in an enclosure", "nothing between has a source")
	}
	c.MethodGiven = c.Method != ""
	if !c.MethodGiven {
		c.Method = assess.Stated
		if l.Supply == shock.AC3 && l.Electrodes != "" {
			c.Method = assess.IEEE1584
		}
	}
	return c
}

func (rr *rowReader) feeds() []string {
	s := rr.text("fed_from", kindText)
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
	for _, d := range []struct {
		column string
		differ bool
	}{
		{"area", to.Area != l.Area}, {"equipment", to.Equipment != l.Equipment}, {"class", to.Class != l.Class},
		{"fed_from", !slices.Equal(to.FedFrom, l.FedFrom)}, {"supply", to.Supply != l.Supply}, {"voltage", to.Voltage != l.Voltage},
		{"rating", to.Rating != l.Rating}, {"distance", to.Distance != l.Distance}, {"electrodes", to.Electrodes != l.Electrodes},
		{"gap", to.Gap != l.Gap}, {"height", to.Height != l.Height}, {"width", to.Width != l.Width}, {"depth", to.Depth != l.Depth},
		{"conductor", to.Movable != l.Movable},
	} {
		if d.differ {
			cell, _ := rr.cell(d.column)
			rr.problem(c.Line, d.column, quote(cell), fmt.Sprintf("the same as for %s on line %d", quote(to.ID), first.Line), "cases are operating conditions of one piece of equipment")
		}
	}
	to.Cases = append(to.Cases, c)
}
