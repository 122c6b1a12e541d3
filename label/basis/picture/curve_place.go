package picture

import (
	"math"
	"unicode"
)

// box is a rectangle in px, y downward.
type box struct{ x0, y0, x1, y1 float64 }

func (b box) grow(px float64) box { return box{b.x0 - px, b.y0, b.x1 + px, b.y1} }

func (b box) meets(o box) bool { return b.x0 < o.x1 && o.x0 < b.x1 && b.y0 < o.y1 && o.y0 < b.y1 }

// crossedBy reports whether a segment passes through the box.
func (b box) crossedBy(s segment) bool {
	from, to := 0.0, 1.0
	for _, side := range [4][2]float64{ // what is left of the segment inside each side
		{s.a.x - s.b.x, s.a.x - b.x0}, {s.b.x - s.a.x, b.x1 - s.a.x},
		{s.a.y - s.b.y, s.a.y - b.y0}, {s.b.y - s.a.y, b.y1 - s.a.y},
	} {
		p, q := side[0], side[1]
		switch {
		case p == 0 && q < 0:
			return false
		case p < 0:
			from = max(from, q/p)
		case p > 0:
			to = min(to, q/p)
		}
	}
	return from < to
}

const (
	typeSize = 14
	ascent   = 13 // of the box, above the baseline
	descent  = 4
	markerPx = 6 // half of a marker's box
)

// measure sets the box of a text.
func (t *text) measure() {
	w := width(t.s, t.bold)
	x := t.at.x
	switch t.anchor {
	case "end":
		x -= w
	case "middle":
		x -= w / 2
	}
	t.box = box{x, t.at.y - ascent, x + w, t.at.y + descent}
}

// width is at most how wide a text is in px, in the widest of the faces that a
// browser takes for its sans-serif: those of DejaVu Sans, rounded up by kinds of
// letters.
func width(s string, bold bool) float64 {
	em := 0.0
	for _, r := range s {
		switch r {
		case ' ', '.', ',', ':', ';', '\'', '|', 'i', 'j', 'l', 'I', '·':
			em += 0.40
		case 'f', 't', 'r', '(', ')', '/', '-', '²', '[', ']', '\\', '!':
			em += 0.53
		case 'm', 'w', 'M', 'W', '@', '%', '…', '—', 'æ', 'œ', 'ŵ', 'ŉ':
			em += 1.11
		case '&', '+', '=', '<', '>', '~', '#', '^', '_', '`':
			em += 0.90
		default:
			switch {
			case r >= 'A' && r <= 'Z':
				em += 0.86
			case r < 0x80:
				em += 0.72
			case r < 0x180 && unicode.IsLower(r):
				em += 0.80
			default:
				em += 1.25 // a sign, or another script
			}
		}
	}
	if !bold {
		em *= 0.94
	}
	return em * typeSize
}

// cut shortens a name that is wider than so many px.
func cut(name string, px float64, bold bool) string {
	if width(name, bold) <= px {
		return name
	}
	runes := []rune(name)
	for len(runes) > 0 && width(string(runes)+"…", bold) > px {
		runes = runes[:len(runes)-1]
	}
	return string(runes) + "…"
}

// add adds a text at its place, unless another is there.
func (c *chart) add(t text) bool {
	free := c.free(&t, 0)
	if free {
		c.texts = append(c.texts, t)
	}
	return free
}

// free measures a text, and reports whether nothing is there or within so many px
// to its left and right.
func (c *chart) free(t *text, beside float64) bool {
	t.measure()
	return !c.taken(t.box.grow(beside))
}

func (c *chart) taken(b box) bool {
	for i := range c.texts {
		if c.texts[i].box.meets(b) {
			return true
		}
	}
	return false
}

// candidate is a place for a text, and how unwelcome it is.
type candidate struct {
	text
	cost float64
}

// dearer makes places less welcome.
func dearer(by float64, places []candidate) []candidate {
	for i := range places {
		places[i].cost += by
	}
	return places
}

// around are the places about a point on a falling curve: to the right of it
// and above, else to the left and below, where the curve is not. A little
// higher or lower they may miss a line.
func around(s string, bold bool, at point) []candidate {
	all := make([]candidate, 0, 700)
	add := func(x, y float64, anchor string, cost float64) {
		all = append(all, candidate{text{at: point{x, y}, anchor: anchor, s: s, bold: bold}, cost})
	}
	w := width(s, bold)
	for dy := -12.0; dy <= 18; dy += 3 {
		off := math.Abs(dy) / 6
		for shift := 0.0; shift < w+20; shift += 10 {
			add(at.x+10-shift, at.y-9-dy, "start", off+shift/20)
			add(at.x-10+shift, at.y+19+dy, "end", off+shift/20+1)
		}
	}
	return all
}

// along are the places for the name of a horizontal line: above it, else
// below, as near as can be to where its right end is wanted.
func along(s string, bold bool, y, right float64, below bool) []candidate {
	up, down := 0.0, 1.5
	if below {
		up, down = down, up
	}
	all := make([]candidate, 0, 120)
	add := func(x float64, anchor string, cost float64) {
		t := text{at: point{x, y - 6}, anchor: anchor, s: s, bold: bold}
		all = append(all, candidate{t, cost + up})
		t.at.y = y + 16
		all = append(all, candidate{t, cost + down})
	}
	add(right, "end", 0)
	for x := plotLeft + width(s, bold) + 2; x <= plotRight; x += 6 {
		add(x, "end", math.Abs(x-right)/40)
	}
	add(plotLeft+4, "start", 3) // where the line begins
	return all
}

// place puts a text into the plot at the best of the places: never on another
// text or on a marker, and not on a curve or another line if it can be helped.
// Where all are more unwelcome than most it is left out.
func (c *chart) place(places []candidate, most float64) {
	var best text
	least := most
	for i := range places {
		p := &places[i]
		if p.cost >= least {
			continue
		}
		p.measure()
		if cost := p.cost + c.cost(p.box); cost < least {
			least, best = cost, p.text
		}
	}
	if least == most {
		c.dropped = append(c.dropped, places[0].s)
		return
	}
	c.texts = append(c.texts, best)
}

// anyCost takes every place where nothing else is drawn.
var anyCost = math.Inf(1)

// crossing is how unwelcome a text across a horizontal line is.
var crossing = map[string]float64{"threshold": 12, "cutoff": 20, "chosen": 20, "rung": 8}

// cost is how much a text in a box would hide; infinite where it may not be.
func (c *chart) cost(b box) float64 {
	if b.x0 < plotLeft+1 || b.x1 > plotRight || b.y0 < c.top || b.y1 > c.bottom || c.taken(b) {
		return math.Inf(1)
	}
	for _, m := range c.markers {
		if b.meets(box{m.at.x - markerPx, m.at.y - markerPx, m.at.x + markerPx, m.at.y + markerPx}) {
			return math.Inf(1)
		}
	}
	cost := 0.0
	for _, curve := range c.curves {
		for i := range len(curve) - 1 {
			if b.crossedBy(segment{curve[i], curve[i+1]}) {
				cost += 12
			}
		}
	}
	for _, s := range c.stems {
		if b.crossedBy(s) {
			cost += 8
		}
	}
	for _, g := range c.grid {
		if b.y0-1 < g.y && g.y < b.y1 {
			cost += crossing[g.kind]
		}
	}
	return cost
}
