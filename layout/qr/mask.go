package qr

import (
	"math"
	"math/bits"
)

// symbol places the codewords and chooses the mask with the lowest penalty, the first
// of several (ISO/IEC 18004:2015, 7.7.3, 7.8).
func (v *version) symbol(codewords []byte) *symbol {
	p := v.patterns()
	var data, best, one [2 * 57]uint64
	side := v.side()
	rows, columns := data[:side], data[side:2*side]
	for i, c := range codewords {
		for bit, at := range p.order[8*i : 8*i+8] {
			dark := uint64(c >> (7 - bit) & 1)
			rows[at.y] |= dark << at.x
			columns[at.x] |= dark << at.y
		}
	}
	lowest := math.MaxInt
	for m := range p.mask {
		xor(one[:side], rows, p.mask[m].rows)
		xor(one[side:2*side], columns, p.mask[m].columns)
		if n := penalty(one[:side], one[side:2*side]); n < lowest {
			lowest, best = n, one
		}
	}
	s := &symbol{make([]uint64, side)}
	copy(s.rows, best[:side])
	return s
}

func xor(into, a, b []uint64) {
	for i := range into {
		into[i] = a[i] ^ b[i]
	}
}

// penalty weighs a symbol by the four features of ISO/IEC 18004:2015, Table 11: runs
// of one color, squares of one color, patterns like a finder, and the share of dark
// modules. The last is weighed as the library does: by the nearer multiple of 5 %.
func penalty(rows, columns []uint64) int {
	side := len(rows)
	n := lines(rows) + lines(columns)
	dark := 0
	pairs := uint64(1)<<(side-1) - 1
	for y, r := range rows {
		dark += bits.OnesCount64(r)
		if y+1 < side {
			below := rows[y+1]
			n += 3 * bits.OnesCount64(^(r^r>>1)&^(below^below>>1)&^(r^below)&pairs)
		}
	}
	percent := float64(dark) * 100 / float64(side*side)
	floor := math.Abs(math.Floor(percent/5) - 10)
	ceil := math.Abs(math.Ceil(percent/5) - 10)
	return n + int(math.Min(floor, ceil)*10)
}

// lines weighs the runs and the finder-like patterns of rows or columns. A bit of each
// intermediate word says whether something begins at that module.
func lines(words []uint64) (n int) {
	side := len(words)
	fives := uint64(1)<<(side-4) - 1    // where five modules fit
	elevens := uint64(1)<<(side-10) - 1 // where eleven modules fit
	for _, w := range words {
		// A run of k modules, k at least 5, weighs k-2: it has k-4 fives in it,
		// of which the first counts three.
		same := ^(w ^ w>>1)
		five := same & (same >> 1) & (same >> 2) & (same >> 3) & fives
		n += bits.OnesCount64(five) + 2*bits.OnesCount64(five&^(five<<1))

		// 1:1:3:1:1 with four light modules before or behind it weighs 40.
		light := ^w
		finder := w & (light >> 1) & (w >> 2) & (w >> 3) & (w >> 4) & (light >> 5) & (w >> 6)
		four := light & (light >> 1) & (light >> 2) & (light >> 3)
		n += 40 * bits.OnesCount64((finder&(four>>7)|four&(finder>>4))&elevens)
	}
	return n
}
