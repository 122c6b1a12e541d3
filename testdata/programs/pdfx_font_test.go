package programs

import (
	"encoding/binary"
	"math"
	"slices"
	"strings"
	"testing"
)

// A TrueType font as its tables.
type trueType map[string][]byte

// readTrueType checks the list of tables and all sums of a font program: PDF Reference 5.8
// (the tables that a font of a composite font has) and the TrueType specification.
func readTrueType(t *testing.T, name, data string) trueType {
	t.Helper()
	b, be := []byte(data), binary.BigEndian
	if len(b) < 12 || be.Uint32(b) != 0x00010000 || be.Uint16(b[4:]) != 6 || len(b)%4 != 0 {
		t.Fatalf("%s: not a TrueType font of six tables", name)
	}
	font, order := trueType{}, []string{}
	for i := range 6 {
		entry := b[12+16*i:]
		from, n := be.Uint32(entry[8:]), be.Uint32(entry[12:])
		table := slices.Clone(b[from : from+n])
		tag := string(entry[:4])
		font[tag], order = table, append(order, tag)
		if tag == "head" {
			table = slices.Clone(table)
			copy(table[8:], "\x00\x00\x00\x00")
		}
		if total(table) != be.Uint32(entry[4:]) {
			t.Errorf("%s: the sum of table %s is wrong", name, tag)
		}
	}
	if got := strings.Join(order, " "); got != "glyf head hhea hmtx loca maxp" {
		t.Errorf("%s: tables %s", name, got)
	}
	if total(b) != 0xB1B0AFBA {
		t.Errorf("%s: the sum of the file is %#x", name, total(b))
	}
	return font
}

func total(b []byte) (sum uint32) {
	b = append(slices.Clone(b), make([]byte, -len(b)&3)...)
	for ; len(b) > 0; b = b[4:] {
		sum += binary.BigEndian.Uint32(b)
	}
	return sum
}

// widths: PDF Reference 5.6.3: the width of every character that the font has, in
// thousandths, is that of its glyph, to the one thousandth that rounding takes. It returns
// how many characters that are.
func (f trueType) widths(t *testing.T, name, toGlyph string, w []any, usual float64) (mapped int) {
	t.Helper()
	be := binary.BigEndian
	said := map[int]float64{}
	for i := 0; i+1 < len(w); {
		first, _ := w[i].(float64)
		if list, ok := w[i+1].([]any); ok {
			for k := range list {
				said[int(first)+k], _ = list[k].(float64)
			}
			i += 2
			continue
		}
		last, _ := w[i+1].(float64)
		for c := int(first); c <= int(last); c++ {
			said[c], _ = w[i+2].(float64)
		}
		i += 3
	}
	em, glyphs, full := float64(be.Uint16(f["head"][18:])), int(be.Uint16(f["maxp"][4:])), int(be.Uint16(f["hhea"][34:]))
	for c := 0; 2*c+1 < len(toGlyph); c++ {
		g := int(toGlyph[2*c])<<8 | int(toGlyph[2*c+1])
		if g == 0 {
			continue
		}
		mapped++
		want, ok := said[c]
		if !ok {
			want = usual
		}
		if g >= glyphs {
			t.Errorf("%s: character %d has glyph %d of %d", name, c, g, glyphs)
		} else if got := 1000 * float64(be.Uint16(f["hmtx"][4*min(g, full-1):])) / em; math.Abs(got-want) > 1 {
			t.Errorf("%s: character %d is %.1f wide, and the PDF says %v", name, c, got, want)
		}
	}
	return mapped
}
