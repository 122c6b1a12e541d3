package site

import (
	"errors"
	"fmt"
	"io/fs"
	"path"
	"slices"
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
	{Name: "current", Kind: assess.Quantity, Units: []assess.Unit{{Suffix: "a", Factor: 1}, {Suffix: "ka", Factor: 1000}}, Needed: true},
	{Name: "total_clearing_max", Kind: assess.Quantity, Needed: true,
		Units: []assess.Unit{{Suffix: "s", Factor: 1}, {Suffix: "ms", Factor: 1e-3}, {Suffix: assess.Cycles, Factor: 1e-3}}},
	{Name: curveTolerance, Kind: assess.Quantity, Units: []assess.Unit{{Suffix: "percent", Factor: 1}}},
}

const curveTolerance = "pickup_tolerance"

// readCurves reads the curves that the rows name.
func readCurves(folder fs.FS, s *assess.Site, ps *problems, sheet spreadsheet) {
	s.Curves = map[string]*assess.Curve{}
	for i := range s.Locations {
		for _, c := range s.Locations[i].Cases {
			if _, known := s.Curves[c.Curve]; c.Curve == "" || known {
				continue
			}
			s.Curves[c.Curve] = nil
			file := path.Join("curves", c.Curve)
			data, err := fs.ReadFile(folder, file)
			switch {
			case errors.Is(err, fs.ErrNotExist):
				ps.add(Problem{File: locationsFile, Line: c.Line, Column: "curve", Found: quote(c.Curve), Expected: "a file in curves/", Do: "put the digitised curve there"})
			case err != nil:
				ps.add(unreadable(file, err))
			default:
				s.Curves[c.Curve] = readCurve(file, data, ps, sheet.hertz)
			}
		}
	}
}

// ReadCurve reads a curve that stands outside a site folder. Its error is a
// Problems; hertz turns cycles into seconds.
func ReadCurve(file string, data []byte, hertz float64) (*assess.Curve, error) {
	var ps problems
	c := readCurve(file, data, &ps, hertz)
	return c, ps.err()
}

func readCurve(file string, data []byte, ps *problems, hertz float64) *assess.Curve {
	before := len(ps.list)
	t := readTable(file, data, ps)
	if t == nil || t.heading == nil {
		return nil
	}
	columns := make([]column, len(t.heading))
	for i, heading := range t.heading {
		columns[i], _ = columnOf(curveColumns, fold(heading))
		columns[i].heading = cleanText(heading)
	}
	rr := newRowReader(t, ps, Options{}, columns, hertz)
	rr.curveHeadings()
	if len(ps.list) > before {
		return nil
	}
	c := &assess.Curve{File: path.Base(file)}
	for _, r := range t.rows {
		rr.row = r
		p := arc.Point{CurrentA: rr.number("current"), TimeS: rr.number("total_clearing_max")}
		if tolerance := rr.number(curveTolerance); tolerance != 0 {
			if c.TolerancePercent != 0 && tolerance != c.TolerancePercent {
				rr.fault(curveTolerance, fmt.Sprint(tolerance), fmt.Sprintf("%g, as in a row above", c.TolerancePercent), "a device has one pickup tolerance")
			}
			c.TolerancePercent = tolerance
		}
		for _, must := range []string{"current", "total_clearing_max"} {
			if s, _ := rr.cell(must); s == "" {
				rr.fault(must, "an empty cell", "a number", "a point has both")
			}
		}
		c.Points = append(c.Points, p)
	}
	if len(ps.list) > before {
		return nil
	}
	if err := c.Read(); err != nil {
		for _, line := range strings.Split(err.Error(), "\n") {
			ps.add(Problem{File: file, Line: t.line, Found: line, Expected: "points in the order of rising current, at least two"})
		}
		return nil
	}
	return c
}

// curveHeadings reports what a curve does not declare.
func (rr *rowReader) curveHeadings() {
	t := rr.table
	head := func(column, found, expected, do string) {
		rr.problems.add(Problem{File: t.file, Line: t.line, Column: column, Found: found, Expected: expected, Do: do})
	}
	for i, c := range rr.columns {
		if c.Column != nil {
			if rr.place[c.Name] != i {
				head(c.heading, "a second column for "+c.Name, "one", "take one out")
			}
			continue
		}
		what := "one of " + strings.Join(spellings(curveColumns), ", ")
		if strings.Contains(fold(c.heading), "time") || strings.Contains(fold(c.heading), "clearing") || strings.Contains(fold(c.heading), "melting") {
			head(c.heading, "a time that is not declared as total clearing at the maximum of the band", strings.Join(curveColumns[1].Spellings(), " or "), "digitise that edge of the band; any other would understate the arc")
		} else if c.heading != "" || t.filled(i) {
			head(c.heading, "an unknown column", what, "take it out")
		}
	}
	for _, must := range curveColumns {
		if must.Needed && !rr.has(must.Name) && !slices.ContainsFunc(rr.problems.list, func(p Problem) bool { return p.File == t.file }) {
			head(must.Spellings()[0], "no such column", "it", "a curve has a current and a time in each row")
		}
	}
}
