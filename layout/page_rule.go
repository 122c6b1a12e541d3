package layout

import "strconv"

// printedRule is a length to be measured on paper.
type printedRule struct {
	name  string
	unit  float64 // from number to number
	units int     // how many of them
	step  int     // of the numbers that are written
	parts int     // ticks in a unit
	half  int     // every such tick is longer
}

// printedRules are the two that show whether the print was scaled.
var printedRules = []printedRule{
	{name: "mm", unit: MM(10), units: 10, step: 10, parts: 10, half: 5},
	{name: "in", unit: Inch(1), units: 4, step: 1, parts: 16, half: 8},
}

const ruleHeight = 30.0

// ruler draws r from x, y on, with its ticks on the line and the numbers below in f. The
// outermost ticks are exactly at the ends of the length.
func (p *pen) ruler(x, y float64, r printedRule, f font) {
	const long, middle, short, fine = 13.0, 9.0, 6.0, 0.35
	base := y + long
	length := r.unit * float64(r.units)
	p.line(x, base, length, 0, 1, Black)
	for i := 0; i <= r.units*r.parts; i++ {
		h, width, under := short, fine, 0.0
		switch {
		case i%r.parts == 0:
			h, width, under = long, 1, 0.5 // down to the lower side of the line
		case i%r.half == 0:
			h = middle
		}
		p.line(x+float64(i)*r.unit/float64(r.parts), base-h, 0, h+under, width, Black)
	}
	for i := 0; i <= r.units; i++ {
		n := strconv.Itoa(i * r.step)
		if i == r.units {
			n += " " + r.name
		}
		at := x + float64(i)*r.unit - f.width(strconv.Itoa(i*r.step))/2
		p.text(at, base+f.size, f, Black, n)
	}
}
