package picture

import (
	"math"
	"slices"
	"strings"

	"vouchmark/label"
)

// addRules adds the horizontal lines. Of those that coincide the first is drawn:
// a chosen rung at the cutoff has both names.
func (c *chart) addRules(edge point) {
	c.grid = append(c.grid, rule{edge.y, "threshold"})
	for _, m := range c.f.marksOf("chosen", "cutoff", "rung") {
		y := c.y(m.at)
		if c.shows(y) && !slices.ContainsFunc(c.grid, func(g rule) bool { return math.Abs(g.y-y) < 1.5 }) {
			c.grid = append(c.grid, rule{y, m.kind})
		}
	}
}

// addNames puts the names into the plot, the most important first.
func (c *chart) addNames(at, edge point) {
	f := c.f
	s := f.energyText()
	if f.study {
		s = "study " + s
	}
	places := around(s, true, at)
	if short, _, both := strings.Cut(s, " ("); both { // in the axis's own unit only, where both units do not fit
		places = append(places, dearer(4, around(short, true, at))...)
	}
	c.place(places, anyCost)
	c.place(along(f.thresholdText(), false, edge.y, edge.x-8, true), anyCost)
	for _, m := range f.marksOf("cutoff", "chosen", "rung") {
		if y := c.y(m.at); c.shows(y) {
			most := anyCost
			if m.kind == "rung" {
				most = rungCost
			}
			c.place(m.places(y), most)
		}
	}
	// Why the curve does not start nearer to the arc.
	if p := f.lines[0].points[0]; float64(p.Distance) > min(f.boundary, f.distance) {
		start := c.at(float64(p.Distance), float64(p.Energy))
		c.place(around("curve from "+label.Distance(p.Distance, f.units), false, start), 3*rungCost)
	}
}

// rungCost leaves out a name that would cross another line.
const rungCost = 8

// places are those along a mark's line, for its full name and, less preferred,
// for a shorter one.
func (m *mark) places(y float64) (all []candidate) {
	names := m.names()
	for i, s := range names {
		if i > 0 && s == names[i-1] {
			continue
		}
		all = append(all, dearer(2*float64(i), along(s, m.kind == "chosen", y, plotRight-4, false))...)
	}
	return all
}

// names are a mark's full name, then shorter ones: for the chosen rung at last
// only that word. Its name is in the description and on the page.
func (m *mark) names() []string {
	if m.kind == "cutoff" {
		return []string{m.rating}
	}
	var all []string
	chosen := m.kind == "chosen"
	for _, letters := range []float64{24, 12, 7} {
		all = append(all, cut(m.name, min(letters*10, plotRight-plotLeft-10-width(m.rating, chosen)), chosen)+m.rating)
	}
	if chosen {
		all = append(all, "chosen"+strings.TrimSuffix(m.rating, chosenMark), "chosen")
	}
	return all
}

// shows reports whether a height is in the plot.
func (c *chart) shows(y float64) bool { return y > c.top+1 && y < c.bottom-1 }

// marksOf are the marks of these kinds, one kind after the other.
func (f *fall) marksOf(kinds ...string) (all []mark) {
	for _, kind := range kinds {
		for _, m := range f.marks {
			if m.kind == kind {
				all = append(all, m)
			}
		}
	}
	return all
}
