package layout

import (
	"bytes"
	"compress/zlib"
	"encoding/binary"
	"fmt"
	"io"
	"regexp"
)

// programTables are the tables that a TrueType font of a composite font must have, in the
// order of the file (PDF Reference 1.4, 5.8, from memory). Those for hints come on top where
// a font has them. The PDF itself says which glyph a character is, how wide it is, and what
// the font is called.
var programTables = []string{"cvt ", "fpgm", "glyf", "head", "hhea", "hmtx", "loca", "maxp", "prep"}

// fontProgram is a subset as gofpdf v1.16.2 makes it, without the tables that a PDF does not
// need and with right sums. Its table of characters has a wrong length and its sum over the
// whole file is sometimes wrong: viewers do not mind, but a check before printing may.
func fontProgram(ttf []byte) ([]byte, error) {
	const headSum = 8 // where head keeps the sum over the file
	at := func(from, n int) []byte {
		if from < 0 || n < 0 || from+n > len(ttf) {
			return nil
		}
		return ttf[from : from+n]
	}
	found := map[string][]byte{}
	for i := 0; ; i++ {
		entry := at(12+16*i, 16)
		if head := at(4, 2); head == nil || i >= int(binary.BigEndian.Uint16(head)) {
			break
		} else if entry == nil {
			return nil, errNotAsWritten
		}
		found[string(entry[:4])] = at(int(binary.BigEndian.Uint32(entry[8:])), int(binary.BigEndian.Uint32(entry[12:])))
	}
	var tables []string
	for _, name := range programTables {
		if found[name] != nil {
			tables = append(tables, name)
		}
	}
	head := bytes.Clone(found["head"])
	if len(head) < headSum+4 || found["glyf"] == nil || found["loca"] == nil {
		return nil, errNotAsWritten
	}
	clear(head[headSum : headSum+4])
	found["head"] = head

	power, log := 1, 0 // the largest power of two of tables
	for power*2 <= len(tables) {
		power, log = power*2, log+1
	}
	be := binary.BigEndian
	out := be.AppendUint32(nil, 0x00010000)
	for _, n := range [...]int{len(tables), 16 * power, log, 16 * (len(tables) - power)} {
		out = be.AppendUint16(out, uint16(n))
	}
	from, headAt := 12+16*len(tables), 0
	for _, name := range tables {
		if name == "head" {
			headAt = from
		}
		out = append(out, name...)
		for _, v := range [...]uint32{sumOf(found[name]), uint32(from), uint32(len(found[name]))} {
			out = be.AppendUint32(out, v)
		}
		from += (len(found[name]) + 3) &^ 3
	}
	for _, name := range tables {
		out = append(out, found[name]...)
		out = append(out, make([]byte, -len(found[name])&3)...)
	}
	be.PutUint32(out[headAt+headSum:], 0xB1B0AFBA-sumOf(out))
	return out, nil
}

// sumOf is the sum of b's 32-bit numbers, with zeros to a whole one.
func sumOf(b []byte) (sum uint32) {
	for len(b) > 0 {
		var word [4]byte
		b = b[copy(word[:], b):]
		sum += binary.BigEndian.Uint32(word[:])
	}
	return sum
}

var fontStream = regexp.MustCompile(`^<</Length \d+\n/Filter /FlateDecode\n/Length1 \d+\n?>>\nstream\n`)

// rebuildFont replaces the font program in the object of number num.
func (o *objects) rebuildFont(num int) error {
	head := len(fontStream.Find(o.body[num]))
	packed, ok := bytes.CutSuffix(o.body[num][head:], []byte(streamEnd))
	if head == 0 || !ok {
		return errNotAsWritten
	}
	r, err := zlib.NewReader(bytes.NewReader(packed))
	if err != nil {
		return errNotAsWritten
	}
	ttf, err := io.ReadAll(r)
	if err != nil {
		return errNotAsWritten
	}
	if ttf, err = fontProgram(ttf); err != nil {
		return err
	}
	var out bytes.Buffer // never fails
	w := zlib.NewWriter(&out)
	w.Write(ttf)
	w.Close()
	o.body[num] = fmt.Appendf(nil, "<</Filter /FlateDecode /Length %d /Length1 %d>>\nstream\n%s%s", out.Len(), len(ttf), out.Bytes(), streamEnd)
	return nil
}
