package layout

import (
	"errors"
	"math/bits"

	"vouchmark/assess/cores"
	"vouchmark/layout/qr"
)

// quietZone is the light margin that the QR standard (ISO/IEC 18004) requires, in
// modules.
const quietZone = 4

// reservedModules is the side of a version 5 code, the largest that a link made by the
// program needs. Every label has room for it, so that the code has the same size on all
// labels of a stock.
const reservedModules = 17 + 4*5

// minModule is the least width of a module for a phone at arm's length: 0.4 mm, from
// memory. At 300 dpi this is more than the recommended 4 printer dots.
var minModule = MM(0.4)

// Matrix is a square of QR modules without its quiet zone.
type Matrix struct {
	side int // modules a side, 17 + 4*version
	bits interface{ Get(x, y int) bool }
	rows []uint64 // bit x of row y is a dark module; nil for a code of more than 64 modules a side
}

// Side is the number of modules on a side.
func (m *Matrix) Side() int { return m.side }

// Version is the QR version, 1 to 40.
func (m *Matrix) Version() int { return (m.side - 17) / 4 }

// Dark reports whether column x of row y is a dark module.
func (m *Matrix) Dark(x, y int) bool { return m.bits.Get(x, y) }

// EncodeQR encodes each text at error correction level M, on all cores. If a text cannot be
// encoded, its entry is nil and the error says why.
func EncodeQR(texts []string) ([]*Matrix, error) {
	codes := make([]*Matrix, len(texts))
	errs := make([]error, len(texts))
	cores.Each(len(texts), nil, func(i int) { codes[i], errs[i] = newMatrix(texts[i]) })
	return codes, errors.Join(errs...)
}

func newMatrix(text string) (*Matrix, error) {
	code, err := qr.Encode(text)
	if err != nil {
		return nil, err
	}
	m := &Matrix{side: code.Side(), bits: code}
	if small, ok := code.(interface{ Rows() []uint64 }); ok {
		m.rows = small.Rows()
	}
	return m, nil
}

// Rects calls draw for rectangles that together cover each dark module once. A run in
// a row is one rectangle, and equal runs below it are joined to it, so that no hairline
// can show between modules.
func (m *Matrix) Rects(draw func(x, y, w, h int)) {
	for y := range m.side {
		for x := 0; x < m.side; x++ {
			w := m.run(x, y)
			if w == 0 {
				continue
			}
			if m.run(x, y-1) != w { // else it is joined to the run above
				h := 1
				for m.run(x, y+h) == w {
					h++
				}
				draw(x, y, w, h)
			}
			x += w // the module behind a run is light
		}
	}
}

// run is the number of adjacent dark modules of row y from x on, if x is the first of
// them.
func (m *Matrix) run(x, y int) (w int) {
	if y < 0 || y >= m.side {
		return 0
	}
	if m.rows != nil {
		row := m.rows[y]
		if x > 0 && row>>(x-1)&1 == 1 {
			return 0
		}
		return bits.TrailingZeros64(^(row >> x))
	}
	if x > 0 && m.Dark(x-1, y) {
		return 0
	}
	for x+w < m.side && m.Dark(x+w, y) {
		w++
	}
	return w
}
