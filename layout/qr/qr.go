// Package qr encodes text as a QR code (ISO/IEC 18004) at error correction level M.
// Alphanumeric text that fits into version 10 is encoded here: a row of a symbol is
// one machine word, and the penalties of the eight masks are counted for all modules
// of a row at once. Everything else goes to github.com/boombuler/barcode. Where both
// encode a text the symbols are the same, module for module, except signed numbers such
// as "+0", whose sign that library loses.
package qr

import (
	"fmt"

	"github.com/boombuler/barcode/qr"
)

// Code is the square of modules of a symbol, without its quiet zone.
type Code interface {
	Get(x, y int) bool // whether the module in column x of row y is dark
	Side() int         // modules on a side, 17 + 4*version
}

// Encode is the symbol of the smallest version that holds the text. It is an error
// if there is no text, or more than the largest version holds.
func Encode(text string) (Code, error) {
	if text == "" {
		return nil, fmt.Errorf("encode QR: the text is empty")
	}
	if v := versionFor(text); v != nil {
		return v.symbol(v.interleaved(v.dataOf(text))), nil
	}
	code, err := qr.Encode(text, qr.M, qr.Auto)
	if err != nil {
		return nil, fmt.Errorf("encode QR: %d bytes are more than a code can hold", len(text))
	}
	// The concrete type is unexported, but its Get is not; the image interface
	// would allocate a color for each module.
	bits, ok := code.(interface{ Get(x, y int) bool })
	if !ok {
		return nil, fmt.Errorf("encode QR: %T has no module matrix", code)
	}
	return other{bits, code.Bounds().Dx()}, nil
}

// other is a symbol that the library encoded.
type other struct {
	bits interface{ Get(x, y int) bool }
	side int
}

func (o other) Get(x, y int) bool { return o.bits.Get(x, y) }
func (o other) Side() int         { return o.side }

// symbol is a symbol of at most 64 modules on a side: bit x of row y is set where the
// module is dark.
type symbol struct {
	rows []uint64
}

func (s *symbol) Get(x, y int) bool { return s.rows[y]>>x&1 == 1 }
func (s *symbol) Side() int         { return len(s.rows) }

// Rows are the rows of the symbol, of which nothing may be changed.
func (s *symbol) Rows() []uint64 { return s.rows }
