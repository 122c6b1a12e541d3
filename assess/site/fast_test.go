package site

import (
	"math/rand/v2"
	"regexp"
	"slices"
	"strings"
	"testing"
	"unicode/utf8"
)

// Ways of reading that are fast for what nearly all files have say the same as the plain ones.

func randomText(r *rand.Rand, alphabet string) string {
	letters := []rune(alphabet)
	b := make([]rune, r.IntN(12))
	for i := range b {
		b[i] = letters[r.IntN(len(letters))]
	}
	return string(b)
}

func TestPlainNumbers(t *testing.T) {
	plain := regexp.MustCompile(`^[+-]?(\d+(\.\d*)?|\.\d+)([eE][+-]?\d+)?$`)
	r := rand.New(rand.NewPCG(1, 1))
	found := map[bool]int{}
	for range 300000 {
		s := randomText(r, "0123.5e+-,")
		want := plain.MatchString(s)
		if found[want]++; isPlain(s) != want {
			t.Fatalf("%q: %v", s, !want)
		}
		if s := randomText(r, "0123.,-"); isThousand(s) != thousand.MatchString(s) {
			t.Fatalf("thousand %q", s)
		}
	}
	if found[true] < 1000 {
		t.Error(found)
	}
}

func TestTidyTexts(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	for range 300000 {
		s := randomText(r, "ab  \t\n\u00a0é\x7f\x00\u200b")
		if want := strings.Join(strings.Fields(s), " "); cleanText(s) != want {
			t.Fatalf("%q: %q, want %q", s, cleanText(s), want)
		}
		if tidy(s) && strings.ContainsFunc(s, func(r rune) bool { return r < ' ' || r > '~' }) {
			t.Fatalf("%q is not tidy", s)
		}
	}
}

func TestTokens(t *testing.T) {
	pattern := regexp.MustCompile(`(?s)"""(?:\\.|[^\\])*?(?:"{3,5}|\\?\z)|'''.*?(?:'{3,5}|\z)|` +
		`"(?:\\[^\n]|[^"\\\n])*"?|'[^'\n]*'?|#[^\n]*|[][{}.,=\n]`)
	r := rand.New(rand.NewPCG(1, 3))
	for range 300000 {
		s := randomText(r, `""""'''#[]{}.,=`+"\n\\\\aé")
		var got []string
		for at, token := range tokens(s) {
			if !strings.HasPrefix(s[at:], token) {
				t.Fatalf("%q: %q is not at %d", s, token, at)
			}
			got = append(got, token)
		}
		if want := pattern.FindAllString(s, -1); !slices.Equal(got, want) {
			t.Fatalf("%q: %q, want %q", s, got, want)
		}
	}
}

// Quotation marks and bad bytes are looked for only where there may be some.
func TestMarksAndBytes(t *testing.T) {
	slow := func(data []byte, comma rune) []byte {
		data = slices.Clone(data)
		ends := string(comma) + "\n"
		for at := 0; at < len(data); at++ {
			if data[at] == '"' {
				if at = closing(data, at+1, ends); at < 0 {
					break
				}
				continue
			}
			cell := data[at:]
			if n := strings.IndexAny(string(cell), ends); n >= 0 {
				cell = cell[:n]
			}
			if asItStands(cell) {
				for i := range cell {
					if cell[i] == '"' {
						cell[i] = markByte
					}
				}
			}
			at += len(cell)
		}
		return data
	}
	r := rand.New(rand.NewPCG(1, 4))
	for range 300000 {
		s := []byte(randomText(r, `"",,`+"\n\r a1'"))
		if got, want := hideMarks(s, ','), slow(s, ','); string(got) != string(want) {
			t.Fatalf("%q: %q, want %q", s, got, want)
		}
	}
	for s, want := range map[string]int{"a": -1, "a\x00b": 1, "é\xff": 2, "\ufffd": -1, "": -1} {
		if got := badByte([]byte(s)); got != want || (want < 0) != (utf8.ValidString(s) && !strings.Contains(s, "\x00")) {
			t.Errorf("%q: %d, want %d", s, got, want)
		}
	}
}
