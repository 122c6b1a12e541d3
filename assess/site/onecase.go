package site

import (
	"slices"
	"strings"

	"vouchmark/assess"
)

// caseColumns are the columns that an evaluation of one case reads.
var caseColumns = []string{"supply", "voltage", "fault", "electrodes", "gap", "height", "width", "depth", "distance",
	"clear", "clear_reduced", "method", "multiplier"}

// flagHelp says what each of them is, for the help of the command.
var flagHelp = map[string]string{
	"supply":        "ac3, ac1 or dc (default ac3)",
	"voltage":       "system voltage, phase to phase on ac3",
	"fault":         "available (bolted) fault current",
	"electrodes":    "VCB, VCBB, HCB, VOA or HOA; never assumed",
	"gap":           "gap between conductors",
	"height":        "enclosure",
	"width":         "enclosure",
	"depth":         "enclosure; none counts as deep",
	"distance":      "working distance",
	"clear":         "arc duration at the arcing current",
	"clear_reduced": "arc duration at the reduced arcing current",
	"method":        "ieee1584-2018, lee or dc-max-power",
	"multiplier":    "dc-max-power: 1 in the open, 3 in an enclosure",
}

// CaseHelp says what a column of [CaseColumns] is, and its unit.
func CaseHelp(name string) string {
	c, _ := columnOf(name)
	if !c.number {
		return flagHelp[c.name]
	}
	return flagHelp[c.name] + ", " + strings.ReplaceAll(c.unit.suffix, "_", "/")
}

// CaseColumns are the canonical spellings of the columns that [OneCase] takes.
func CaseColumns() []string {
	var names []string
	for _, name := range canonical() {
		if c, ok := columnOf(name); ok && slices.Contains(caseColumns, c.name) {
			names = append(names, name)
		}
	}
	return names
}

// OneCase reads a case without a site folder: values by canonical column, and
// a clearing curve, nil for none; hertz turns cycles into ms. It is read as a row of locations.csv is, and
// its problems name the columns as flags.
func OneCase(values map[string]string, curve []byte, hertz float64) (*assess.Site, error) {
	var ps problems
	given := map[string]string{"id": "case", "equipment": "case", "prepared": "2000-01-01", "supply": "ac3"}
	for name, v := range values {
		given[name] = v
	}
	t := &table{file: "command line", comma: ','}
	var cells []string
	for _, name := range canonical() {
		if v, ok := given[name]; ok {
			t.heading = append(t.heading, name)
			cells = append(cells, v)
		}
	}
	t.rows = []row{{cells: cells}}
	rr := newRowReader(t, &ps, Options{}, matchColumns(t, spreadsheet{}, &ps), hertz)
	s := &assess.Site{Locations: []assess.Location{rr.read(t.rows[0])}, Curves: map[string]*assess.Curve{}}
	for i := range ps.list {
		ps.list[i].Column = "--" + strings.ReplaceAll(ps.list[i].Column, "_", "-")
		if ps.list[i].Found == "no such column" {
			ps.list[i].Found, ps.list[i].Expected, ps.list[i].Do = "nothing", "a value", "vouchmark arc --help lists the flags"
		}
	}
	if values["method"] == "" && values["electrodes"] == "" {
		ps.add(Problem{File: "command line", Column: "--electrodes", Found: "neither electrodes nor a method", Expected: "VCB, VCBB, HCB, VOA or HOA for IEEE 1584-2018, or --method lee or dc-max-power"})
	}
	if curve != nil {
		const name = "the curve"
		s.Curves[name] = readCurve(name, curve, &ps, hertz)
		s.Locations[0].Cases[0].Curve = name
	}
	return s, ps.err()
}
