package site

import (
	"fmt"
	"path"
	"regexp"
	"strings"

	"vouchmark/assess"
	"vouchmark/assess/arc"
)

// A curve is a CSV file in curves/ with a point in each row: the current, and the time under a
// heading that declares it as the total clearing time at the maximum of the band. Nothing that
// a curve does not declare is assumed: a melting time or the middle of a band would understate
// the arc.
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

// timeLike matches a folded heading that is probably a time.
var timeLike = regexp.MustCompile("time|clearing|melting")

// readCurves reads the curves that the rows name. A row whose curve is missing cannot be read.
func (r *reader) readCurves(heading string) {
	r.site.Curves = map[string]*assess.Curve{}
	missing, cycles := map[string]bool{}, map[string]bool{}
	for i := range r.site.Locations {
		l := &r.site.Locations[i]
		for k := range l.Cases {
			c := &l.Cases[k]
			if c.Curve == "" {
				continue
			}
			if _, known := r.site.Curves[c.Curve]; !known && !missing[c.Curve] {
				curve, inCycles := r.readCurve(path.Join("curves", c.Curve), func() { missing[c.Curve] = true })
				if !missing[c.Curve] {
					r.site.Curves[c.Curve], cycles[c.Curve] = curve, inCycles
				}
			}
			at := Problem{File: locationsFile, Line: c.Line, Column: heading, Found: quote(c.Curve)}
			if missing[c.Curve] {
				at.Expected, at.Do = "a file in curves/", "put the digitized curve there"
				r.stop(l, at)
			} else if cycles[c.Curve] && c.Hertz != 0 && float64(c.Hertz) != r.hertz {
				at.Found += ", whose times are in cycles"
				at.Expected = fmt.Sprintf("times in s or ms: this row has %g Hz, the site %g", c.Hertz, r.hertz)
				at.Do = "write the curve's times in ms"
				r.stop(l, at)
			}
		}
	}
}

// curveOf is the curve of a file in curves/, which is read once; nil if it has a problem.
func (r *reader) curveOf(name string, missing func()) *assess.Curve {
	c, known := r.site.Curves[name]
	if !known {
		if r.site.Curves == nil { // locations.csv could not be read
			r.site.Curves = map[string]*assess.Curve{}
		}
		c, _ = r.readCurve(path.Join("curves", name), missing)
		r.site.Curves[name] = c
	}
	return c
}

// ReadCurve reads a curve outside a site folder. Its error is a Problems; hertz converts cycles
// to seconds.
func ReadCurve(file string, data []byte, hertz float64) (*assess.Curve, error) {
	r := reader{folder: With(nil, file, data), hertz: hertz}
	c, _ := r.readCurve(file, nil)
	return c, r.err()
}

// readCurve is a curve without a problem, or nil, and whether any of its times is in cycles; for
// missing, see [reader.file].
func (r *reader) readCurve(file string, missing func()) (c *assess.Curve, cycles bool) {
	before := r.faults
	t := r.readTable(file, missing)
	if t == nil {
		return nil, false
	}
	t.whole = true
	if !t.matchOwn(curveColumns, undeclaredTime) {
		return nil, false
	}
	c = &assess.Curve{File: path.Base(file)}
	for _, t.row = range t.rows {
		p := arc.Point{CurrentA: t.number("current"), TimeS: t.number("total_clearing_max")}
		if tolerance := t.number(curveTolerance); tolerance != 0 {
			t.faultIf(c.TolerancePercent != 0 && tolerance != c.TolerancePercent, curveTolerance, fmt.Sprint(tolerance),
				fmt.Sprintf("%g, as in a row above", c.TolerancePercent), "a device has only one pickup tolerance")
			c.TolerancePercent = tolerance
		}
		for _, must := range curveColumns {
			t.faultIf(must.Needed && t.cell(must.Name) == "", must.Name, "an empty cell", "a number", "a point needs both")
		}
		c.Points = append(c.Points, p)
	}
	if r.faults > before {
		return nil, false
	}
	if err := c.Read(); err != nil {
		for _, line := range strings.Split(err.Error(), "\n") {
			t.headingFault("", line, "at least two points, in the order of rising current", "")
		}
		return nil, false
	}
	return c, t.cycles
}

// undeclaredTime says what is wrong with a heading that is probably a time.
func undeclaredTime(heading string) (found, expected, do string) {
	if !timeLike.MatchString(fold(heading)) {
		return "", "", ""
	}
	return "a time that is not declared as total clearing at the maximum of the band",
		strings.Join(curveColumns[1].Spellings(), " or "), "digitize the maximum of the band; any other edge would understate the arc"
}
