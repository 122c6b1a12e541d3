package picture

import (
	"cmp"
	"math"
	"slices"
	"strings"

	"vouchmark/assess"
	"vouchmark/label"
)

// The drawing's measures, in px of a page that shows it as wide as it is: on a
// phone of 390 px a little less than the page.
const (
	chartWidth = 360
	plotLeft   = 46
	plotRight  = 352
	plotHeight = 250
	roomAbove  = 26 // in the plot, above the highest energy: a name
	roomBelow  = 32 // below the lowest: the boundary's name
	legendRow  = 20
	axisRow    = 18

	leastDecades = 1.3 // of the energy
)

// chart is the drawing as data: lines and texts in px.
type chart struct {
	f           *fall
	top, bottom float64 // of the plot
	height      float64
	low, high   float64 // lg of the energies at the ends of the scale, cal/cm²

	curves  [][]point // clipped to the plot; the first is drawn solid
	grid    []rule    // horizontal
	stems   []segment // dashed verticals: working distance, boundary
	markers []marker
	texts   []text
	dropped []string // names for which there was no room
	xTicks  []float64
	yTicks  []float64
	legend  []point // where the sample of each curve begins
}

type point struct{ x, y float64 }

type segment struct{ a, b point }

// rule is a horizontal line through the plot.
type rule struct {
	y    float64
	kind string // "threshold", "cutoff", "chosen", "rung"
}

// marker is a point that stands for a printed value.
type marker struct {
	at   point
	kind string // "energy", "study", "boundary"
}

// text is one line of text; its box is larger than what any usual face needs.
type text struct {
	at     point // on the baseline
	anchor string
	s      string
	bold   bool
	box    box
}

func newChart(f *fall) *chart {
	c := &chart{f: f}
	rows := len(f.lines)
	if rows > 1 {
		rows++ // one for the unit alone
	}
	c.top = float64(legendRow*rows) + 4
	c.bottom = c.top + plotHeight
	c.scale()
	for _, l := range f.lines {
		c.curves = append(c.curves, c.curve(l.points))
	}
	at, edge := c.at(f.distance, f.energy), c.at(f.boundary, float64(assess.Threshold))
	kind := "energy"
	if f.study {
		kind = "study"
	}
	c.markers = []marker{{edge, "boundary"}, {at, kind}}
	c.stems = []segment{{at, point{at.x, c.bottom}}, {edge, point{edge.x, c.bottom}}}
	c.addLegend()
	c.addAxes()
	c.addRules(edge)
	c.addNames(at, edge)
	return c
}

// addLegend names the curves, and the unit of the energies above its axis. A
// single curve stands beside the unit.
func (c *chart) addLegend() {
	unit := text{at: point{4, c.top - 8}, anchor: "start", s: "cal/cm²"}
	if c.f.units == assess.SI {
		unit.s = "J/cm²"
	}
	c.add(unit)
	left := 4.0
	if len(c.f.lines) == 1 {
		left = plotLeft + 40
	}
	for i, l := range c.f.lines {
		s := "recomputed"
		if l.name != "" || i > 0 {
			head, tail := s+": ", ""
			if i > 0 {
				tail = " (boundary)"
			}
			s = head + cut(cmp.Or(l.name, "no name"), chartWidth-left-44-width(head+tail, false), false) + tail
		}
		y := float64(legendRow*i) + 16
		c.legend = append(c.legend, point{left, y - 5})
		c.add(text{at: point{left + 36, y}, anchor: "start", s: s})
	}
}

// scale chooses the range of the energies: all that is drawn, and the ladder up
// to the cutoff, unless that is more than ten times as much.
func (c *chart) scale() {
	f := c.f
	low, high := min(float64(assess.Threshold), f.energy), max(float64(assess.Threshold), f.energy)
	for _, l := range f.lines {
		for _, p := range l.points {
			high = max(high, float64(p.Energy))
			if float64(p.Distance) == f.distance {
				low = min(low, float64(p.Energy))
			}
		}
	}
	for _, m := range f.marks {
		if m.at <= 10*high && m.kind != "rung" {
			high = max(high, m.at)
		}
	}
	c.low, c.high = math.Log10(low), math.Log10(high)
	c.high = max(c.high, c.low+leastDecades)
}

// perDecade is px for each power of ten of the energy.
func (c *chart) perDecade() float64 { return (plotHeight - roomAbove - roomBelow) / (c.high - c.low) }

// x is where a distance in mm stands.
func (c *chart) x(mm float64) float64 {
	return plotLeft + (plotRight-plotLeft)*math.Log(mm/c.f.near)/math.Log(c.f.far/c.f.near)
}

// y is where an energy in cal/cm² stands.
func (c *chart) y(cal float64) float64 {
	return c.bottom - roomBelow - float64(c.perDecade()*(math.Log10(cal)-c.low))
}

func (c *chart) at(mm, cal float64) point { return point{c.x(mm), c.y(cal)} }

// curve is the energy as a broken line: of the points only those without which
// it would be off by more than a twentieth of a px, and nothing below the plot.
// A power of the distance is straight on these scales, and two points are left.
func (c *chart) curve(points []assess.Point) []point {
	var all []point
	for _, p := range points {
		next := c.at(float64(p.Distance), float64(p.Energy))
		if next.y > c.bottom {
			if n := len(all); n > 0 {
				last := all[n-1]
				part := (c.bottom - last.y) / (next.y - last.y)
				all = append(all, point{last.x + float64(part*(next.x-last.x)), c.bottom})
			}
			break
		}
		all = append(all, next)
	}
	return straighten(all, 0.05)
}

// straighten leaves out points that lie within so many px of the line between
// those that stay.
func straighten(all []point, px float64) []point {
	if len(all) < 3 {
		return all
	}
	a, b := all[0], all[len(all)-1]
	worst, off := 0, px
	for i, p := range all[1 : len(all)-1] {
		on := a.y
		if b.x != a.x {
			on += float64((b.y - a.y) * (p.x - a.x) / (b.x - a.x))
		}
		if d := math.Abs(p.y - on); d > off {
			worst, off = i+1, d
		}
	}
	if worst == 0 {
		return []point{a, b}
	}
	return append(straighten(all[:worst+1], px), straighten(all[worst:], px)[1:]...)
}

// addAxes adds what stands outside the plot.
func (c *chart) addAxes() {
	f := c.f
	per := 1.0
	if f.units == assess.SI {
		per = assess.JoulePerCal
	}
	steps := []float64{1, 2, 5}
	if c.perDecade() < 60 {
		steps = steps[:1]
	}
	for k := -6; k < 9; k++ {
		for _, step := range steps {
			value := step * math.Pow(10, float64(k))
			y, s := c.y(value/per), assess.Number(value)
			if y < c.top || y > c.bottom-4 || width(s, false) > plotLeft-8 {
				continue
			}
			if c.add(text{at: point{plotLeft - 8, y + 5}, anchor: "end", s: s}) {
				c.yTicks = append(c.yTicks, y)
			}
		}
	}
	base := c.axisNames(c.bottom + 20)
	for _, mm := range distanceTicks(f) {
		c.tick(mm)
	}
	c.add(text{at: point{(plotLeft + plotRight) / 2, base + axisRow + 4}, anchor: "middle",
		s: "distance from the arc; log scales"})
	c.height = base + axisRow + 12
}

// axisNames puts value and name under the verticals, the boundary's below those
// of the working distance where both have no room side by side. It returns the
// last baseline.
func (c *chart) axisNames(base float64) float64 {
	f := c.f
	name := "boundary"
	if f.studyBoundary {
		name = "study's boundary"
	}
	before := len(c.texts)
	c.axisName(c.x(f.boundary), base, f.boundaryText(), name)
	if c.axisName(c.x(f.distance), base, f.distanceText(), "working distance") {
		return base + axisRow
	}
	c.texts = c.texts[:before]
	c.axisName(c.x(f.distance), base, f.distanceText(), "working distance")
	below := base + float64(2*axisRow) + 4
	c.axisName(c.x(f.boundary), below, f.boundaryText(), name)
	longer := segment{c.stems[1].b, point{c.stems[1].b.x, below - 14}}
	if !slices.ContainsFunc(c.texts, func(t text) bool { return t.box.y1 < below-14 && t.box.grow(2).crossedBy(longer) }) {
		c.stems[1].b = longer.b
	}
	return below + axisRow
}

// axisName puts a value in the middle under x, or as near to it as the drawing
// is wide, and its name under it, a little aside where another stands there.
func (c *chart) axisName(x, base float64, value, name string) bool {
	t := text{at: point{inside(x, width(value, true)), base}, anchor: "middle", s: value, bold: true}
	if !c.free(&t, 6) {
		return false
	}
	for _, aside := range []float64{0, -12, 12, -24, 24, -36, 36, -48, 48} {
		n := text{at: point{inside(x+aside, width(name, false)), base + axisRow}, anchor: "middle", s: name}
		if c.free(&n, 4) {
			c.texts = append(c.texts, t, n)
			return true
		}
	}
	return false
}

// inside moves the middle of a text so that the text stays in the drawing.
func inside(x, w float64) float64 { return min(max(x, w/2+2), chartWidth-w/2-2) }

// tick adds a plain tick of the distances where there is room.
func (c *chart) tick(mm float64) {
	x := c.x(mm)
	t := text{at: point{x, c.bottom + 20}, anchor: "middle", s: tickText(mm, c.f.units)}
	if c.free(&t, 6) && t.box.x0 >= 0 && t.box.x1 <= chartWidth && !t.box.grow(2).crossedBy(c.stems[1]) {
		c.texts = append(c.texts, t)
		c.xTicks = append(c.xTicks, x)
	}
}

func tickText(mm float64, u assess.Units) string {
	if u == assess.Both {
		u = assess.US
	}
	return label.Length(assess.MM(mm), assess.MM(mm), u)
}

// distanceTicks are round distances: doubled feet, or 1, 2, 5 of a metre.
func distanceTicks(f *fall) []float64 {
	var all []float64
	if f.units == assess.SI {
		for k := 1; k < 7; k++ {
			for _, step := range []float64{1, 2, 5} {
				all = append(all, step*math.Pow(10, float64(k)))
			}
		}
	} else {
		for k := -4; k < 12; k++ {
			all = append(all, assess.MMPerFoot*math.Pow(2, float64(k)))
		}
	}
	return slices.DeleteFunc(all, func(mm float64) bool { return mm < f.near || mm > f.far })
}

// addRules adds the horizontal lines. Of those that fall together the first is
// drawn: a chosen rung at the cutoff has both names.
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
	if short, _, both := strings.Cut(s, " ("); both { // in the axis's own unit alone, where both have no good place
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
	// Why the curve does not reach what lies nearer to the arc.
	if p := f.lines[0].points[0]; float64(p.Distance) > min(f.boundary, f.distance) {
		start := c.at(float64(p.Distance), float64(p.Energy))
		c.place(around("curve from "+label.Distance(p.Distance, f.units), false, start), 3*rungCost)
	}
}

// rungCost leaves out a name that would stand on another line.
const rungCost = 8

// places are those along a mark's line, for its name in full and, less
// welcome, for a shorter one.
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

// names are a mark's name in full, then shorter: of the chosen rung at last the
// word alone. Its name stands in the description and on the page.
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
