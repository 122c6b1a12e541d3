package layout

import (
	"cmp"
	"slices"

	"vouchmark/label"
)

// mostRungs is how many rungs are drawn of a long ladder: the chosen one and
// its neighbors. Where room is short there are three, or two.
const mostRungs = 5

// ladder is the owner's ladder as it is drawn: a box for each rung, the highest
// on top, the chosen one black and larger.
type ladder struct {
	*canvas
	rungs         []label.Rung // those that are drawn, lowest first
	at            int          // the chosen one
	lower, higher bool         // there are further ones
	width, height float64
	over          float64 // how far the chosen box reaches out to the left and right
	rung, chosen  float64 // heights
	pad           float64
	caption       string // names the numbers
	name, rating  font   // of the chosen rung
}

// newLadder plans the ladder with at most so many rungs; of a label without a
// chosen rung it is empty.
func newLadder(c *canvas, w float64, most int) *ladder {
	l := &ladder{canvas: c}
	all := c.label.Ladder
	if c.label.Chosen < 0 || c.label.Chosen >= len(all) {
		return l
	}
	first := max(0, min(c.label.Chosen-(most-1)/2, len(all)-most))
	last := min(len(all), first+most)
	l.rungs, l.lower, l.higher = all[first:last], first > 0 && !c.packed, last < len(all) && !c.packed
	l.at = c.label.Chosen - first

	u := c.unit
	l.pad, l.rung, l.chosen, l.over = 4*u, 11.6*u, 23*u, 1.6*u
	size := 14 * u
	if c.tight {
		l.pad, l.rung, l.chosen, size = 3*u, c.lead+0.6*u, 16*u, 11*u
	}
	l.width = 52 * u
	for _, r := range l.rungs {
		l.width = max(l.width, l.needs(r, c.body, c.body))
	}
	widest := max(l.width, min(0.38*w, 88*u))
	chosen := l.rungs[l.at]
	for _, s := range [...]float64{1, 0.88, 0.78, 0.68, 0.6} {
		l.name = c.strong.at(max(c.strong.size, size*s))
		l.rating = c.strong.at(max(c.strong.size, size*s*0.72))
		if l.needs(chosen, l.name, l.rating) <= widest {
			break
		}
	}
	l.width = max(l.width, l.needs(chosen, l.name, l.rating)) + 2*l.over
	if l.width > 0.5*w {
		longest := slices.MaxFunc(l.rungs, func(a, b label.Rung) int {
			return cmp.Compare(c.body.width(a.Kit), c.body.width(b.Kit))
		})
		c.note("kit", longest.Kit, 1, 1, false)
	}
	l.caption = c.inEach(" / ", func(t *label.Words) string { return t.ArcRating })
	if c.body.width(l.caption) > l.width { // of the first language alone
		l.caption = c.words.ArcRating
	}
	l.height = float64(len(l.rungs)-1)*l.rung + l.chosen
	if l.caption != "" {
		l.height += l.captionHeight()
	}
	for _, further := range [...]bool{l.lower, l.higher} {
		if further {
			l.height += l.dots()
		}
	}
	return l
}

// needs is the width of a rung.
func (l *ladder) needs(r label.Rung, name, rating font) float64 {
	return 2*l.pad + name.width(r.Kit) + 7*l.unit + rating.width(r.Rating)
}

// captionHeight is the height of what names the numbers.
func (l *ladder) captionHeight() float64 { return l.body.caps() + 3*l.unit }

// dots is the height of the dots that stand for further rungs.
func (l *ladder) dots() float64 { return 5 * l.unit }

func (l *ladder) draw(h float64) {
	if len(l.rungs) == 0 {
		return
	}
	c := l.canvas
	was := c.place
	c.plate = None // the boxes are the texts' ground
	defer func() { c.place = was }()
	// A taller neighbor stretches the rungs by up to a third, not further.
	stretch := max(1, min(1.35, h/l.height))
	y := max(0, (h-l.height*stretch)/2)
	if l.caption != "" {
		c.plate = was.plate
		c.right(l.width-l.over, y+c.body.caps(), c.body, Black, l.caption)
		c.plate = None
		y += l.captionHeight() * stretch
	}
	if l.higher {
		l.goesOn(y)
		y += l.dots() * stretch
	}
	for i, r := range slices.Backward(l.rungs) {
		rh, name, rating, ink := l.rung*stretch, c.body, c.body, Black
		if i == l.at {
			rh, name, rating, ink = l.chosen*stretch, l.name, l.rating, White
			c.rect(0, y, l.width, rh, Black)
		} else {
			c.box(l.over+c.hair/2, y, l.width-2*l.over-c.hair, rh, 0, White, Black, c.hair)
		}
		base := y + (rh+name.caps())/2
		c.text(l.over+l.pad, base, name, ink, r.Kit)
		c.right(l.width-l.over-l.pad, base, rating, ink, r.Rating)
		y += rh
	}
	if l.lower {
		l.goesOn(y + l.dots()*(stretch-1))
	}
}

// goesOn marks that the ladder has more rungs: three dots.
func (l *ladder) goesOn(y float64) {
	u := l.unit
	for i := -1; i <= 1; i++ {
		l.rect(l.width/2+float64(i)*4*u-0.7*u, y+2*u, 1.4*u, 1.4*u, Black)
	}
}
