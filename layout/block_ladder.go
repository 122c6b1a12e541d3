package layout

import (
	"cmp"
	"slices"

	"vouchmark/label"
)

// mostRungs is how many rungs are drawn of a long ladder: the chosen one and
// its neighbours.
const mostRungs = 5

// ladder is the owner's ladder as it is drawn.
type ladder struct {
	*canvas
	rungs         []label.Rung // those that are drawn, lowest first
	at            int          // the chosen one, or -1
	lower, higher bool         // there are further ones
	width, height float64
	tip           float64 // of the chosen rung's pointer
	rung, chosen  float64 // heights
	pad           float64
	name, rating  font // of the chosen rung
}

func newLadder(c *canvas, w float64) *ladder {
	l := &ladder{canvas: c, at: -1}
	all := c.label.Ladder
	if len(all) == 0 {
		return l
	}
	middle := max(0, c.label.Chosen)
	if c.label.Danger {
		middle = len(all) - 1
	}
	first := max(0, min(middle-mostRungs/2, len(all)-mostRungs))
	last := min(len(all), first+mostRungs)
	l.rungs, l.lower, l.higher = all[first:last], first > 0, last < len(all)
	if c.label.Chosen >= 0 {
		l.at = c.label.Chosen - first
	}

	u := c.unit
	l.pad, l.rung, l.chosen, l.tip = 4*u, 11.6*u, 21*u, 5*u
	size := 14 * u
	if c.tight {
		l.pad, l.rung, l.chosen, l.tip, size = 3*u, c.lead+0.4*u, 15*u, 4*u, 11*u
	}
	l.width = 46 * u
	for _, r := range l.rungs {
		l.width = max(l.width, l.needs(r, c.body, c.medium))
	}
	if l.at >= 0 {
		most := max(l.width, min(0.34*w, 76*u))
		chosen := l.rungs[l.at]
		for _, s := range [...]float64{1, 0.88, 0.78, 0.68, 0.6} {
			l.name = c.strong.at(max(c.strong.size, size*s))
			l.rating = c.strong.at(max(c.strong.size, size*s*0.72))
			if l.needs(chosen, l.name, l.rating) <= most {
				break
			}
		}
		l.width = max(l.width, l.needs(chosen, l.name, l.rating))
	}
	if l.width > 0.5*w {
		longest := slices.MaxFunc(l.rungs, func(a, b label.Rung) int {
			return cmp.Compare(c.body.width(a.Kit), c.body.width(b.Kit))
		})
		c.note("kit", longest.Kit, 1, 1, false)
	}
	l.height = float64(len(l.rungs))*l.rung + 2*l.foot()
	switch {
	case l.at >= 0:
		l.height += l.chosen - l.rung
	case !c.label.Danger:
		l.height += 2 * u // the mark on the ground
	}
	return l
}

// needs is the width of a rung.
func (l *ladder) needs(r label.Rung, name, rating font) float64 {
	return 2*l.pad + name.width(r.Kit) + 6*l.unit + rating.width(r.Rating)
}

// foot is how far the rails reach beyond the rungs.
func (l *ladder) foot() float64 { return 3 * l.unit }

func (l *ladder) draw(h float64) {
	if len(l.rungs) == 0 {
		return
	}
	c, u := l.canvas, l.unit
	// A higher neighbour stretches the rungs by up to a third, no further.
	stretch := max(1, min(1.35, h/l.height))
	foot := l.foot() * stretch
	rail := 1.5 * u
	height := l.height * stretch
	top := min(0, (h-height)/2)
	c.rect(0, top, rail, height, Black)
	c.rect(l.width-rail, top, rail, height, Black)
	if l.higher {
		l.goesOn(top)
	}
	if l.lower {
		l.goesOn(top + height - foot)
	}
	y := top + foot
	for i, r := range slices.Backward(l.rungs) {
		rh, name, rating, ink := l.rung*stretch, c.body, c.body, Black
		if i == l.at {
			rh, name, rating, ink = l.chosen*stretch, l.name, l.rating, White
			c.path(0, 0, 1, Black, []Point{{X: -1.2 * u, Y: y}, {X: l.width + 1.2*u, Y: y},
				{X: l.width + l.tip, Y: y + rh/2}, {X: l.width + 1.2*u, Y: y + rh}, {X: -1.2 * u, Y: y + rh}})
		} else {
			c.box(rail/2, y, l.width-rail, rh, 0, White, Black, c.hair)
		}
		base := y + (rh+name.caps())/2
		c.text(l.pad, base, name, ink, r.Kit)
		c.right(l.width-l.pad, base, rating, ink, r.Rating)
		y += rh
	}
	switch {
	case c.label.Danger:
		c.cross(2*u, top+3*u, l.width-4*u, height-6*u, 5.4*u, White)
		c.cross(2*u, top+3*u, l.width-4*u, height-6*u, 3.4*u, Signal)
	case l.at < 0:
		c.rect(-1.5*u, top+height-2.4*u, l.width+3*u, 2.4*u, Black)
	}
}

// cross strikes out a rectangle.
func (c *canvas) cross(x, y, w, h, stroke float64, ink Ink) {
	c.line(x, y, w, h, stroke, ink)
	c.line(x, y+h, w, -h, stroke, ink)
}

// goesOn marks that the ladder has more rungs: three dots between the rails.
func (l *ladder) goesOn(y float64) {
	u := l.unit
	for i := -1; i <= 1; i++ {
		l.rect(l.width/2+float64(i)*4*u-0.7*u, y+0.7*u, 1.4*u, 1.4*u, Black)
	}
}
