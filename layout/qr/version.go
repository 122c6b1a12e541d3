package qr

import "sync"

// version is what all symbols of one version have in common.
type version struct {
	number int
	// ISO/IEC 18004:2015, Table 9, level M: the error correction codewords of each
	// block, and the data codewords of each block, shorter blocks first.
	correction int
	blocks     []int

	patterns func() *patterns
}

// versions are the versions 1 to 10.
var versions = func() []*version {
	rows := []*version{
		{correction: 10, blocks: []int{16}},
		{correction: 16, blocks: []int{28}},
		{correction: 26, blocks: []int{44}},
		{correction: 18, blocks: []int{32, 32}},
		{correction: 24, blocks: []int{43, 43}},
		{correction: 16, blocks: []int{27, 27, 27, 27}},
		{correction: 18, blocks: []int{31, 31, 31, 31}},
		{correction: 22, blocks: []int{38, 38, 39, 39}},
		{correction: 22, blocks: []int{36, 36, 36, 37, 37}},
		{correction: 26, blocks: []int{43, 43, 43, 43, 44}},
	}
	for i, v := range rows {
		v.number = i + 1
		v.patterns = sync.OnceValue(v.draw)
	}
	return rows
}()

// side is the number of modules on a side.
func (v *version) side() int { return 17 + 4*v.number }

// capacity is the number of data codewords.
func (v *version) capacity() (n int) {
	for _, size := range v.blocks {
		n += size
	}
	return n
}

// countBits is the length of the character count of alphanumeric text (ISO/IEC
// 18004:2015, Table 3).
func (v *version) countBits() int {
	if v.number < 10 {
		return 9
	}
	return 11
}

// versionFor is the smallest version that holds an alphanumeric text, or nil. Text of
// digits alone is not for this package: it has a shorter encoding.
func versionFor(text string) *version {
	digits := true
	for i := range len(text) {
		if alphanumeric[text[i]] < 0 {
			return nil
		}
		digits = digits && '0' <= text[i] && text[i] <= '9'
	}
	if digits {
		return nil
	}
	for _, v := range versions {
		if 4+v.countBits()+len(text)/2*11+len(text)%2*6 <= 8*v.capacity() {
			return v
		}
	}
	return nil
}
