package assess

import (
	"testing"
	"unicode"
)

// TestUnseen compares with what the Unicode tables hold to be graphic: what is not, and is
// not merely without a meaning (private, unassigned, half of a pair), is unseen.
func TestUnseen(t *testing.T) {
	for r := rune(0); r <= unicode.MaxRune; r++ {
		want := !unicode.IsGraphic(r) && !unicode.In(r, unicode.Co, unicode.Cn, unicode.Cs)
		if Unseen(r) != want {
			t.Fatalf("%U: %v, want %v", r, !want, want)
		}
	}
	for _, r := range "\x00\t\n\x1b\x7f\u0085\u00ad\u200b\u2028\u2029\u202e\u2066\ufeff\U000e0001" {
		if !Unseen(r) {
			t.Errorf("%U is taken for visible", r)
		}
	}
	for _, r := range "a é·\u00a0²\u3000配\ufffd😀" {
		if Unseen(r) {
			t.Errorf("%U is taken for invisible", r)
		}
	}
}

func TestSays(t *testing.T) {
	for _, nothing := range []string{"", " ", "-", "--", "\u2014", ".", "...", "?", "N/A", "n/a", "NA", "n.a.", "TBD", "tbd.", "none", "None", "no", "(none)"} {
		if Says(nothing) {
			t.Errorf("%q says something", nothing)
		}
	}
	for _, text := range []string{"x", "E. Sample, PE", "7", "no other source", "Nona", "\u914d\u96fb", "\u00f8"} {
		if !Says(text) {
			t.Errorf("%q says nothing", text)
		}
	}
}
