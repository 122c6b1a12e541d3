package layout

import (
	"math/bits"

	"vouchmark/fonts"
)

// usage is what pages use of what all of them share.
type usage struct {
	faces map[*fonts.Face]*runes
	spots map[int]bool // the numbers of the spot colors
}

// of is the set of a face's runes that are used.
func (u *usage) of(f *fonts.Face) *runes {
	r := u.faces[f]
	if r == nil {
		if u.faces == nil {
			u.faces = map[*fonts.Face]*runes{}
		}
		r = new(runes)
		u.faces[f] = r
	}
	return r
}

func (u *usage) spot(number int) {
	if u.spots == nil {
		u.spots = map[int]bool{}
	}
	u.spots[number] = true
}

// add adds what others use.
func (u *usage) add(others *usage) {
	for f, more := range others.faces {
		r := u.of(f)
		for i := range more {
			r[i] |= more[i]
		}
	}
	for n := range others.spots {
		u.spot(n)
	}
}

// runes is a set of runes of the basic plane, one bit each.
type runes [1 << 16 / 64]uint64

func (s *runes) add(r rune) { s[r>>6&(1<<10-1)] |= 1 << (r & 63) }

// text is the runes of the set, in order.
func (s *runes) text() string {
	var all []rune
	for i, word := range s {
		for ; word != 0; word &= word - 1 {
			all = append(all, rune(64*i+bits.TrailingZeros64(word)))
		}
	}
	return string(all)
}
