package site

import (
	"maps"
	"strings"

	"vouchmark/assess"
)

// Flag is a flag of the command arc: a column that an equation reads, in one
// of its units.
type Flag struct{ Column, Help string }

// Flags are those of [OneCase], in the order of the table.
func Flags() []Flag {
	var flags []Flag
	for i := range assess.Columns {
		c := &assess.Columns[i]
		if !c.Equation {
			continue
		}
		for k, name := range c.Spellings() {
			help := c.Meaning
			if c.Kind == assess.Quantity && c.Units[k].Suffix != "" {
				help += ", " + strings.ReplaceAll(c.Units[k].Suffix, "_", "/")
			}
			if c.Kind == assess.Choice {
				help += ": " + strings.Join(c.Choices, ", ")
			}
			if d, ok := caseDefaults[c.Name]; ok {
				help += " (default " + d + ")"
			}
			flags = append(flags, Flag{name, help})
		}
	}
	return flags
}

// caseDefaults are what a case without a site folder has where no flag says
// so.
var caseDefaults = map[string]string{"id": "case", "equipment": "case", "prepared": "2000-01-01", "supply": "ac3"}

// OneCase reads a case without a site folder: values by canonical column, and
// a clearing curve, nil for none; hertz turns cycles into ms. It is read as a row of locations.csv is, and
// its problems name the columns as flags.
func OneCase(values map[string]string, curve []byte, hertz float64) (*assess.Site, error) {
	var ps problems
	given := maps.Clone(caseDefaults)
	maps.Copy(given, values)
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
