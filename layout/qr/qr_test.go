package qr

import (
	"bytes"
	"fmt"
	"math/rand/v2"
	"os"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/boombuler/barcode/qr"
	"github.com/makiuchi-d/gozxing/qrcode/decoder"
)

const characters = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ $%*+-./:"

// longest is the number of alphanumeric characters that version 10 holds at level M
// (ISO/IEC 18004:2015, Table 7).
const longest = 311

// Random texts of every length give the symbols that boombuler/barcode gives, module
// for module.
func TestSameAsLibrary(t *testing.T) {
	rounds := 2
	switch os.Getenv("VOUCHMARK_EXHAUSTIVE") {
	case "":
	case "all":
		rounds = 320 // 100,000 texts: some ten minutes, nearly all of them the library's
	default:
		rounds = 64
	}
	for n := 1; n <= longest+2; n++ {
		t.Run(fmt.Sprint(n), func(t *testing.T) {
			t.Parallel()
			rnd := rand.New(rand.NewPCG(18004, uint64(n)))
			text := make([]byte, n)
			for range rounds {
				for i := range text {
					text[i] = characters[rnd.IntN(len(characters))]
				}
				if !signed(string(text)) {
					same(t, string(text))
				}
			}
		})
	}
}

// signed reports whether the library takes a text for digits although it has signs: it
// reads three characters at a time as a number, "+0" as 0, and loses the sign.
func signed(text string) bool {
	if !strings.ContainsAny(text, "+-") {
		return false
	}
	for part := range slices.Chunk([]byte(text), 3) {
		if _, err := strconv.Atoi(string(part)); err != nil {
			return false
		}
	}
	return true
}

// Such texts keep their signs here: another decoder reads them back.
func TestSigns(t *testing.T) {
	for _, text := range []string{"+0", "-12", "+1-2-3", "A+1"} {
		code, err := Encode(text)
		if err != nil {
			t.Fatal(err)
		}
		modules := make([][]bool, code.Side())
		for y := range modules {
			modules[y] = make([]bool, code.Side())
			for x := range modules[y] {
				modules[y][x] = code.Get(x, y)
			}
		}
		read, err := decoder.NewDecoder().DecodeBoolMapWithoutHint(modules)
		if err != nil {
			t.Fatal(err)
		}
		if read.GetText() != text {
			t.Errorf("%q is read as %q", text, read.GetText())
		}
	}
}

// So do texts that this package leaves to the library, and texts of few different
// characters, whose masks differ least.
func TestSameAsLibraryAtTheEdges(t *testing.T) {
	for _, text := range []string{"0", "01234567", "A", "AC-42", "a", "é", " ", "A\n",
		string(bytes.Repeat([]byte("A"), longest)), string(bytes.Repeat([]byte("0"), 400)), string(bytes.Repeat([]byte(" "), 90))} {
		same(t, text)
	}
}

func same(t *testing.T, text string) {
	t.Helper()
	want, err := qr.Encode(text, qr.M, qr.Auto)
	if err != nil {
		t.Fatal(err)
	}
	dark := want.(interface{ Get(x, y int) bool })
	got, err := Encode(text)
	if err != nil {
		t.Fatal(err)
	}
	if got.Side() != want.Bounds().Dx() {
		t.Fatalf("%q: %d modules a side, want %d", text, got.Side(), want.Bounds().Dx())
	}
	for y := range got.Side() {
		for x := range got.Side() {
			if got.Get(x, y) != dark.Get(x, y) {
				t.Fatalf("%q: module %d of row %d differs", text, x, y)
			}
		}
	}
}

func TestRefused(t *testing.T) {
	for _, text := range []string{"", string(bytes.Repeat([]byte("é"), 1200))} {
		if _, err := Encode(text); err == nil {
			t.Errorf("%d bytes are encoded", len(text))
		}
	}
}

// ISO/IEC 18004:2015, 7.4.4: the bits of AC-42 in a symbol of version 1.
func TestAlphanumericExample(t *testing.T) {
	v := versionFor("AC-42")
	if v.number != 1 {
		t.Fatalf("version %d", v.number)
	}
	var want bitWriter
	want.words = make([]byte, 6)
	for _, part := range []struct{ value, length int }{
		{0b0010, 4}, {0b000000101, 9}, {0b00111001110, 11}, {0b11100111001, 11}, {0b000010, 6},
	} {
		want.add(part.value, part.length)
	}
	if got := v.dataOf("AC-42"); !bytes.HasPrefix(got, want.words) {
		t.Errorf("%08b, want %08b", got, want.words)
	}
}

// ISO/IEC 18004:2015, Annex I: the codewords of the symbol 1-M for 01234567.
func TestErrorCorrectionExample(t *testing.T) {
	data := []byte{0x10, 0x20, 0x0c, 0x56, 0x61, 0x80, 0xec, 0x11, 0xec, 0x11, 0xec, 0x11, 0xec, 0x11, 0xec, 0x11}
	want := []byte{0xa5, 0x24, 0xd4, 0xc1, 0xed, 0x36, 0xc7, 0x87, 0x2c, 0x55}
	got := make([]byte, 10)
	if correct(got, data, generator(10)); !bytes.Equal(got, want) {
		t.Errorf("% x, want % x", got, want)
	}
}

// ISO/IEC 18004:2015, 7.9.1 and 7.10: the examples of format and version information.
func TestInformation(t *testing.T) {
	const data = 0b00101 // level M, mask 101
	if got := (data<<10 | remainder(data<<10, 0b10100110111)) ^ 0b101010000010010; got != 0b100000011001110 {
		t.Errorf("format %015b", got)
	}
	if got := 7<<12 | remainder(7<<12, 0b1111100100101); got != 0b000111110010010100 {
		t.Errorf("version %018b", got)
	}
}

func BenchmarkEncode(b *testing.B) {
	b.ReportAllocs()
	for b.Loop() {
		if _, err := Encode(benchText); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkLibrary(b *testing.B) {
	b.ReportAllocs()
	for b.Loop() {
		if _, err := qr.Encode(benchText, qr.M, qr.Auto); err != nil {
			b.Fatal(err)
		}
	}
}

const benchText = "HTTPS://LABELS.EXAMPLE.ORG/V/7K3M9QTDRC4A0W2E/MCC-4/2026-03-14/2031-03-14/480V/6.6CAL/18IN/46IN/KIT-B"
