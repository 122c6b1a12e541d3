package site

import (
	"maps"
	"strings"

	"vouchmark/assess"
)

// Flag is a flag of the command arc: a column used in an equation, in one of its units.
type Flag struct{ Column, Value, Help string }

// Flags are those of [OneCase], in the order of the table.
func Flags() []Flag {
	var flags []Flag
	for _, c := range assess.Columns {
		if !c.Equation {
			continue
		}
		for k, name := range c.Spellings() {
			help := c.Meaning
			if k > 0 {
				help = "the same"
			}
			value := "NUMBER"
			if c.Kind == assess.Quantity && c.Units[k].Suffix != "" {
				unit := c.Units[k].Words()
				value, help = strings.ToUpper(c.Units[k].Suffix), help+", in "+unit
			}
			if c.Kind == assess.Choice {
				value = strings.Join(c.Choices, "|")
			}
			if d, ok := caseDefaults[c.Name]; ok {
				help += " (default: " + d + ")"
			}
			flags = append(flags, Flag{name, value, help})
		}
	}
	return flags
}

// caseDefaults are the values of a case without a site folder if no flag gives them.
var caseDefaults = map[string]string{"id": "case", "equipment": "case", "prepared": "2000-01-01", "supply": "ac3"}

// help is the remedy for a missing flag.
var help = assess.Remedy{Words: "{} lists the flags", Act: assess.ToHelp}

// OneCase reads a case without a site folder: values by canonical column, and a clearing curve,
// nil for none; hertz converts cycles to ms. It is read like a row of locations.csv, and its
// problems name the columns as flags.
func OneCase(values map[string]string, curve []byte, hertz float64, o Options) (*assess.Site, error) {
	const file, curveFile = "command line", "the curve"
	r := newReader(With(nil, curveFile, curve), o)
	r.hertz = hertz
	given := maps.Clone(caseDefaults)
	maps.Copy(given, values)
	t := &table{reader: r, file: file, comma: ',', whole: true}
	var names, cells []string
	for _, name := range spellings(assess.Columns) {
		if v, ok := given[name]; ok {
			names, cells = append(names, name), append(cells, v)
		}
	}
	t.heading, t.row = newRow(0, names), newRow(0, cells)
	t.rows = []row{t.row}
	t.matchColumns()
	s := &assess.Site{Locations: []assess.Location{t.location()}, Curves: map[string]*assess.Curve{}}
	for i := range r.problems.listed {
		p := &r.problems.listed[i]
		p.Column = "--" + strings.ReplaceAll(p.Column, "_", "-")
		if p.Found == "no such column" {
			p.Found, p.Expected, p.Do = "nothing", "a value", help.Text(o.Command)
		}
	}
	if values["method"] == "" && values["electrodes"] == "" {
		r.report(file, 0, "--electrodes", "neither --electrodes nor --method",
			"VCB, VCBB, HCB, VOA or HOA for IEEE 1584-2018, or --method lee or dc-max-power", "")
	}
	if curve != nil {
		s.Curves[curveFile], _ = r.readCurve(curveFile, nil)
		s.Locations[0].Cases[0].Curve = curveFile
	}
	return s, r.err()
}
