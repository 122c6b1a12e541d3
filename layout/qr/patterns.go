package qr

// patterns are the modules of a version that do not depend on the text.
type patterns struct {
	generator []int
	order     []place // where each bit of the codewords goes
	mask      [8]grid // the dark modules of each mask, with its format information; free modules inverted by it
}

// place is a module's column and row.
type place struct{ x, y uint8 }

// grid is a square of modules by rows and by columns, so that both can be counted in
// words: bit x of row y, and bit y of column x.
type grid struct {
	rows, columns []uint64
}

func newGrid(side int) grid {
	words := make([]uint64, 2*side)
	return grid{words[:side], words[side:]}
}

func (g grid) set(x, y int, dark bool) {
	if dark {
		g.rows[y] |= 1 << x
		g.columns[x] |= 1 << y
	} else {
		g.rows[y] &^= 1 << x
		g.columns[x] &^= 1 << y
	}
}

func (g grid) get(x, y int) bool { return g.rows[y]>>x&1 == 1 }

// masks are the conditions under which a module is inverted (ISO/IEC 18004:2015, Table
// 10), for column x of row y.
var masks = [8]func(x, y int) bool{
	func(x, y int) bool { return (y+x)%2 == 0 },
	func(_, y int) bool { return y%2 == 0 },
	func(x, _ int) bool { return x%3 == 0 },
	func(x, y int) bool { return (y+x)%3 == 0 },
	func(x, y int) bool { return (y/2+x/3)%2 == 0 },
	func(x, y int) bool { return y*x%2+y*x%3 == 0 },
	func(x, y int) bool { return (y*x%2+y*x%3)%2 == 0 },
	func(x, y int) bool { return ((y+x)%2+y*x%3)%2 == 0 },
}

// draw makes the patterns of a version (ISO/IEC 18004:2015, 6.3, 7.7 to 7.10).
func (v *version) draw() *patterns {
	side := v.side()
	dark, taken := newGrid(side), newGrid(side)
	set := func(x, y int, on bool) {
		dark.set(x, y, on)
		taken.set(x, y, true)
	}
	drawFinders(side, set)
	drawAlignment(v.number, side, taken, set)
	for i := range side { // timing
		for _, p := range [2]place{{uint8(i), 6}, {6, uint8(i)}} {
			if x, y := int(p.x), int(p.y); !taken.get(x, y) {
				set(x, y, i%2 == 0)
			}
		}
	}
	drawVersion(v.number, side, set)
	drawFormat(0, side, set) // takes its place; each mask has its own

	p := &patterns{generator: generator(v.correction), order: order(side, taken)}
	for m, inverted := range masks {
		g := newGrid(side)
		copy(g.rows, dark.rows)
		copy(g.columns, dark.columns)
		drawFormat(m, side, g.set)
		for y := range side {
			for x := range side {
				if !taken.get(x, y) {
					g.set(x, y, inverted(x, y))
				}
			}
		}
		p.mask[m] = g
	}
	return p
}

// drawFinders draws three squares of seven modules and the light modules around them.
func drawFinders(side int, set func(x, y int, dark bool)) {
	for _, corner := range [3][2]int{{0, 0}, {0, side - 7}, {side - 7, 0}} {
		for dy := -1; dy <= 7; dy++ {
			for dx := -1; dx <= 7; dx++ {
				x, y := corner[0]+dx, corner[1]+dy
				if 0 <= x && x < side && 0 <= y && y < side {
					ring := max(dx-3, 3-dx, dy-3, 3-dy)
					set(x, y, ring != 2 && ring != 4)
				}
			}
		}
	}
}

// drawAlignment draws squares of five modules, but none over a finder (ISO/IEC
// 18004:2015, Annex E).
func drawAlignment(number, side int, taken grid, set func(x, y int, dark bool)) {
	var at []int
	switch last := side - 7; {
	case number == 1:
	case number < 7:
		at = []int{6, last}
	default:
		at = []int{6, (6 + last) / 2, last}
	}
	for _, cx := range at {
		for _, cy := range at {
			if taken.get(cx, cy) {
				continue
			}
			for dy := -2; dy <= 2; dy++ {
				for dx := -2; dx <= 2; dx++ {
					set(cx+dx, cy+dy, max(dx, -dx, dy, -dy) != 1)
				}
			}
		}
	}
}

// drawFormat draws level M and a mask twice, with their error correction, and the
// module that is always dark (ISO/IEC 18004:2015, 7.9.1).
func drawFormat(mask, side int, set func(x, y int, dark bool)) {
	const levelM = 0b00
	data := levelM<<3 | mask
	format := (data<<10 | remainder(data<<10, 0b10100110111)) ^ 0b101010000010010
	for i := range 15 { // from the lowest bit
		dark := format>>i&1 == 1
		switch {
		case i < 6:
			set(8, i, dark)
		case i < 8:
			set(8, i+1, dark)
		case i == 8:
			set(7, 8, dark)
		default:
			set(14-i, 8, dark)
		}
		if i < 8 {
			set(side-1-i, 8, dark)
		} else {
			set(8, side-15+i, dark)
		}
	}
	set(8, side-8, true)
}

// drawVersion draws the number of the version twice, with its error correction, from
// version 7 on (ISO/IEC 18004:2015, 7.10).
func drawVersion(number, side int, set func(x, y int, dark bool)) {
	if number < 7 {
		return
	}
	information := number<<12 | remainder(number<<12, 0b1111100100101)
	for i := range 18 {
		dark := information>>i&1 == 1
		set(side-11+i%3, i/3, dark)
		set(i/3, side-11+i%3, dark)
	}
}

// remainder divides polynomials over GF(2), whose coefficients are the bits.
func remainder(dividend, divisor int) int {
	for shift := length(dividend) - length(divisor); shift >= 0; shift = length(dividend) - length(divisor) {
		dividend ^= divisor << shift
	}
	return dividend
}

func length(n int) (bits int) {
	for ; n > 0; n >>= 1 {
		bits++
	}
	return bits
}

// order are the free modules in the order of the codewords' bits: upward and downward
// in pairs of columns from the right, without the column of the timing pattern (ISO/IEC
// 18004:2015, 7.7.3).
func order(side int, taken grid) []place {
	var all []place
	up := true
	for right := side - 1; right > 0; right -= 2 {
		if right == 6 {
			right--
		}
		for i := range side {
			y := i
			if up {
				y = side - 1 - i
			}
			for _, x := range [2]int{right, right - 1} {
				if !taken.get(x, y) {
					all = append(all, place{uint8(x), uint8(y)})
				}
			}
		}
		up = !up
	}
	return all
}
