package report

import (
	"slices"
	"strings"
	"testing"
)

// A terminal draws a letter and its combining accent in one column, and the signs of
// the trade in one column each, whatever the locale.
func TestWidth(t *testing.T) {
	for s, want := range map[string]int{"cafe\u0301": 4, "café": 4, "≥½°±": 4, "cal/cm²": 7, "●◔■◆⇄✕⊘○·": 9, "├─ │": 4, "配電盤": 6, "": 0} {
		if got := Width(s); got != want {
			t.Errorf("%q takes %d columns, want %d", s, got, want)
		}
	}
	if got := cut("cafe\u0301 noir", 5); got != "cafe\u0301…" {
		t.Errorf("cut: %q", got)
	}
}

func TestFolded(t *testing.T) {
	for _, c := range []struct {
		text  string
		width int
		want  []string
	}{
		{"in question since 2026-02-10", 14, []string{"in question", "since", "2026-02-10"}},
		{"142.4\u00a0J/cm² (34.1\u00a0cal/cm²)", 14, []string{"142.4\u00a0J/cm²", "(34.1\u00a0cal/cm²)"}},
		{"cafe\u0301cafe\u0301", 6, []string{"cafe\u0301ca", "fe\u0301"}},
		{"", 5, []string{""}},
		{"配", 1, []string{"配"}},
	} {
		if got := folded(c.text, c.width); !slices.Equal(got, c.want) {
			t.Errorf("%q in %d columns: %q, want %q", c.text, c.width, got, c.want)
		}
	}
}

// A line breaks before a word that is too wide for it, also before the first one; a
// word that no line can hold stays whole, so that it can be copied.
func TestWrapFirstWord(t *testing.T) {
	link := strings.Repeat("x", 30)
	for _, c := range []struct{ text, head, indent, want string }{
		{"a b", "head ", "  ", "head a b\n"},
		{"abcdefgh", "a long head: ", "  ", "a long head:\n  abcdefgh\n"},
		{"a " + link + " b", "", "  ", "a\n  " + link + "\n  b\n"},
		{link, "  ", "  ", "  " + link + "\n"},
	} {
		if got := Wrap(c.text, c.head, c.indent, 16); got != c.want {
			t.Errorf("%q after %q: %q, want %q", c.text, c.head, got, c.want)
		}
	}
}

func TestGrid(t *testing.T) {
	g := grid{below: true, spans: true, of: []column{{head: "ID"}, {head: "LABEL"}, {least: 4}, {head: "TWO WORDS"}, {head: "NOTES", least: 8}}}
	g.add("A-1", "WARNING", "5.0 cal", "46 in", "one caution")
	g.add("B-1", "not printed: two errors", "", "", "-")
	g.add("an id that is as long as ids can be", "DANGER", "9.0 cal", "8 in", "-")
	for width, want := range map[int]string{
		80: `ID   LABEL             TWO WORDS  NOTES
A-1  WARNING  5.0 cal  46 in      one caution
B-1  not printed: two errors      -
an id that is as long as ids can be
     DANGER   9.0 cal  8 in       -
`,
		38: `ID   LABEL             TWO    NOTES
                       WORDS
A-1  WARNING  5.0 cal  46 in  one
                              caution
B-1  not printed: two errors  -
an id that is as long as ids can be
     DANGER   9.0 cal  8 in   -
`,
		25: `ID   LABEL          TWO
                    WORDS
A-1  WARNING  5.0   46 in
              cal
     one caution
B-1  not printed: two
     errors
an id that is as long as
ids can be
     DANGER   9.0   8 in
              cal
`,
	} {
		var b strings.Builder
		if g.write(&b, width); b.String() != want {
			t.Errorf("%d columns:\n%swant\n%s", width, &b, want)
		}
	}
}
