package picture

import (
	"math"
	"slices"

	"vouchmark/assess"
	"vouchmark/label"
)

// addAxes adds what is outside the plot.
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

// axisNames puts value and name under the vertical lines. Where those of the
// boundary and the working distance do not fit side by side, the boundary's go
// below. It returns the last baseline.
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

// axisName centers a value under x, or as near to it as the edge of the drawing
// allows, and its name below, moved a little sideways where another is in the way.
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

// inside moves the center of a text so that the text stays in the drawing.
func inside(x, w float64) float64 { return min(max(x, w/2+2), chartWidth-w/2-2) }

// tick adds a plain tick on the distance axis where there is room.
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

// distanceTicks are round distances: feet in powers of two, or meters in steps of
// 1, 2 and 5.
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
