package qr

import "github.com/boombuler/barcode/utils"

// alphanumeric has the value of each character (ISO/IEC 18004:2015, Table 5), or -1.
var alphanumeric = func() (values [256]int) {
	for i := range values {
		values[i] = -1
	}
	for value, c := range []byte("0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ $%*+-./:") {
		values[c] = value
	}
	return values
}()

// dataOf are the data codewords of an alphanumeric text: mode, character count, two
// characters to 11 bits, terminator and padding (ISO/IEC 18004:2015, 7.4.4, 7.4.10).
func (v *version) dataOf(text string) []byte {
	w := bitWriter{words: make([]byte, v.capacity())}
	w.add(0b0010, 4)
	w.add(len(text), v.countBits())
	for ; len(text) >= 2; text = text[2:] {
		w.add(45*alphanumeric[text[0]]+alphanumeric[text[1]], 11)
	}
	if text != "" {
		w.add(alphanumeric[text[0]], 6)
	}
	end := (min(w.n+4, 8*len(w.words)) + 7) / 8
	for i := end; i < len(w.words); i++ {
		w.words[i] = [2]byte{0b11101100, 0b00010001}[(i-end)%2]
	}
	return w.words
}

// bitWriter writes numbers bit by bit, the highest first.
type bitWriter struct {
	words []byte
	n     int
}

func (b *bitWriter) add(value, length int) {
	for length--; length >= 0; length-- {
		b.words[b.n/8] |= byte(value>>length&1) << (7 - b.n%8)
		b.n++
	}
}

// The arithmetic of the error correction codewords (ISO/IEC 18004:2015, 7.5.2).
var (
	field   = utils.NewGaloisField(285, 256, 0)
	encoder = utils.NewReedSolomonEncoder(field)
	// powers are those of the primitive element, for sums of two logarithms; a
	// logarithm is at most 255
	powers = func() (all [511]byte) {
		for i := range all {
			all[i] = byte(field.ALogTbl[i%255])
		}
		return all
	}()
)

// generator is the polynomial that generates n error correction codewords, without its
// highest coefficient: what remains of x to the power of n. It gives the logarithms;
// no coefficient of these polynomials is 0.
func generator(n int) []int {
	logs := encoder.Encode([]int{1}, n)
	for i, c := range logs {
		logs[i] = field.LogTbl[c]
	}
	return logs
}

// correct writes the error correction codewords of a block: what remains when its data
// is divided by the generator.
func correct(into, block []byte, generator []int) {
	clear(into)
	for _, d := range block {
		lead := d ^ into[0]
		copy(into, into[1:])
		into[len(into)-1] = 0
		if lead == 0 {
			continue
		}
		log := field.LogTbl[lead]
		for i, g := range generator {
			into[i] ^= powers[log+g]
		}
	}
}

// interleaved are all codewords in the order of placement: the first of each block,
// the second of each, and so on; then the error correction codewords likewise (ISO/IEC
// 18004:2015, 7.6).
func (v *version) interleaved(data []byte) []byte {
	n := len(v.blocks)
	all := make([]byte, len(data)+n*v.correction)
	check := make([]byte, v.correction)
	g := v.patterns().generator
	longest := v.blocks[n-1]
	short := 0 // blocks without the last codeword of the longest
	for _, size := range v.blocks {
		if size < longest {
			short++
		}
	}
	for b, size := range v.blocks {
		block := data[:size]
		data = data[size:]
		for i, d := range block {
			if i == longest-1 {
				all[i*n+b-short] = d
			} else {
				all[i*n+b] = d
			}
		}
		correct(check, block, g)
		for i, c := range check {
			all[len(all)-n*v.correction+i*n+b] = c
		}
	}
	return all
}
