package site

import (
	"fmt"
	"path"
	"regexp"
	"strings"

	"vouchmark/assess"
	"vouchmark/assess/arc"
)

// A curve is a CSV file in curves/ with a point in each row: the current, and
// the time under a heading that declares it as the total clearing time at the
// maximum of the band. What a curve does not declare is not assumed: a melting
// time or the middle of a band would understate the arc.
//
//	current_a,total_clearing_max_s,pickup_tolerance_percent
//	800,12,10
//	4000,0.05,
var curveColumns = []assess.Column{
	{Name: "current", Kind: assess.Quantity, Needed: true,
		Units: []assess.Unit{{Suffix: "a", Factor: 1}, {Suffix: "ka", Factor: 1000}}},
	{Name: "total_clearing_max", Kind: assess.Quantity, Needed: true,
		Units: []assess.Unit{{Suffix: "s", Factor: 1}, {Suffix: "ms", Factor: 1e-3}, {Suffix: assess.Cycles, Factor: 1e-3}}},
	{Name: curveTolerance, Kind: assess.Quantity, Units: []assess.Unit{{Suffix: "percent", Factor: 1}}},
}

const curveTolerance = "pickup_tolerance"

// timeLike matches a heading, folded, that may well be of a time.
var timeLike = regexp.MustCompile("time|clearing|melting")

// readCurves reads the curves that the rows name.
func (r *reader) readCurves() {
	r.site.Curves = map[string]*assess.Curve{}
	for _, l := range r.site.Locations {
		for _, c := range l.Cases {
			if c.Curve == "" {
				continue
			}
			r.curveOf(c.Curve, func() {
				r.report(locationsFile, c.Line, "curve", quote(c.Curve), "a file in curves/", "put the digitised curve there")
			})
		}
	}
}

// curveOf is the curve of a file in curves/, which is read once; nil where it
// has a problem.
func (r *reader) curveOf(name string, missing func()) *assess.Curve {
	c, known := r.site.Curves[name]
	if !known {
		if r.site.Curves == nil { // locations.csv could not be read
			r.site.Curves = map[string]*assess.Curve{}
		}
		c = r.readCurve(path.Join("curves", name), missing)
		r.site.Curves[name] = c
	}
	return c
}

// ReadCurve reads a curve that stands outside a site folder. Its error is a
// Problems; hertz turns cycles into seconds.
func ReadCurve(file string, data []byte, hertz float64) (*assess.Curve, error) {
	r := reader{folder: With(nil, file, data), hertz: hertz}
	c := r.readCurve(file, nil)
	return c, r.err()
}

// readCurve is a curve without a problem, or nil; for missing, see [reader.file].
func (r *reader) readCurve(file string, missing func()) *assess.Curve {
	before := len(r.problems)
	t := r.readTable(file, missing)
	if t == nil || !t.matchCurve(before) {
		return nil
	}
	c := &assess.Curve{File: path.Base(file)}
	for _, t.row = range t.rows {
		p := arc.Point{CurrentA: t.number("current"), TimeS: t.number("total_clearing_max")}
		if tolerance := t.number(curveTolerance); tolerance != 0 {
			t.faultIf(c.TolerancePercent != 0 && tolerance != c.TolerancePercent, curveTolerance, fmt.Sprint(tolerance),
				fmt.Sprintf("%g, as in a row above", c.TolerancePercent), "a device has one pickup tolerance")
			c.TolerancePercent = tolerance
		}
		for _, must := range curveColumns {
			t.faultIf(must.Needed && t.cell(must.Name) == "", must.Name, "an empty cell", "a number", "a point has both")
		}
		c.Points = append(c.Points, p)
	}
	if len(r.problems) > before {
		return nil
	}
	if err := c.Read(); err != nil {
		for _, line := range strings.Split(err.Error(), "\n") {
			t.headingFault("", line, "points in the order of rising current, at least two", "")
		}
		return nil
	}
	return c
}

// matchCurve finds out what each heading of a curve means, and reports what it
// does not declare. before is the number of problems of the files before it.
func (t *table) matchCurve(before int) bool {
	columns := make([]column, len(t.heading.cells))
	taken := map[string]bool{}
	for i, heading := range t.heading.cells {
		heading = cleanText(heading)
		c, ok := columnOf(curveColumns, fold(heading))
		switch {
		case ok && taken[c.Name]:
			t.headingFault(heading, "a second column for "+c.Name, "one", "take one out")
		case ok:
			c.heading, taken[c.Name] = heading, true
			columns[i] = c
		case timeLike.MatchString(fold(heading)):
			t.headingFault(heading, "a time that is not declared as total clearing at the maximum of the band",
				strings.Join(curveColumns[1].Spellings(), " or "),
				"digitise that edge of the band; any other would understate the arc")
		case heading != "" || t.filled(i):
			t.headingFault(heading, "an unknown column",
				"one of "+strings.Join(spellings(curveColumns), ", "), "take it out")
		}
	}
	for _, must := range curveColumns {
		if must.Needed && !taken[must.Name] && len(t.problems) == before {
			t.headingFault(must.Spellings()[0], "no such column", "it", "a curve has a current and a time in each row")
		}
	}
	t.bind(columns)
	return len(t.problems) == before
}
