package picture

import (
	"cmp"
	"math"

	"vouchmark/assess"
)

// The drawing's measures, in px of a page that shows it at its own width: a
// little less than the page on a phone of 390 px.
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

// marker is the point of a printed value.
type marker struct {
	at   point
	kind string // "energy", "study", "boundary"
}

// text is one line of text; its box is larger than any usual typeface needs.
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

// addLegend names the curves, and the unit of the energies above their axis. The
// name of a single curve is next to the unit.
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
// to the cutoff unless that is more than ten times as high.
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

// x is where a distance in mm is drawn.
func (c *chart) x(mm float64) float64 {
	return plotLeft + (plotRight-plotLeft)*math.Log(mm/c.f.near)/math.Log(c.f.far/c.f.near)
}

// y is where an energy in cal/cm² is drawn.
func (c *chart) y(cal float64) float64 {
	return c.bottom - roomBelow - float64(c.perDecade()*(math.Log10(cal)-c.low))
}

func (c *chart) at(mm, cal float64) point { return point{c.x(mm), c.y(cal)} }

// curve is the energy as a polyline, cut at the bottom of the plot. It keeps only
// the points without which it would be off by more than a twentieth of a px: a
// power of the distance is straight on these scales and needs two.
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
