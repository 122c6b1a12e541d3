package main

import (
	"fmt"
	"regexp"
	"regexp/syntax"
	"slices"
	"strings"
	"testing"

	"github.com/BurntSushi/toml"
)

// word is an entry of testdata/words.toml, which says what its keys mean.
type word struct {
	Find  string
	Write string
	Hit   string
	But   []string
	Shown bool

	find  *regexp.Regexp
	but   []*regexp.Regexp
	parts []string // one of them is in every text in which it is found, in small letters
}

// wordList are the entries for one language each.
type wordList struct {
	English, Spanish, French []*word
}

func readWords(t *testing.T) *wordList {
	t.Helper()
	var list wordList
	meta, err := toml.DecodeFile("testdata/words.toml", &list)
	if err != nil {
		t.Fatal(err)
	}
	if unknown := meta.Undecoded(); len(unknown) > 0 {
		t.Fatalf("testdata/words.toml: unknown keys %v", unknown)
	}
	for _, w := range slices.Concat(list.English, list.Spanish, list.French) {
		if w.Find == "" || w.Write == "" || w.Hit == "" {
			t.Fatalf("testdata/words.toml: an entry without find, write or hit: %+v", w)
		}
		w.find = anyBlank(t, `(?:^|[^\pL\pN_])(`+w.Find+`)(?:[^\pL\pN_]|$)`)
		if w.parts = parts(t, w.Find); w.parts == nil {
			t.Fatalf("testdata/words.toml: %q may find a text without letters", w.Find)
		}
		for _, but := range w.But {
			w.but = append(w.but, anyBlank(t, but))
		}
	}
	return &list
}

// anyBlank compiles an expression whose blanks also find the end of a line,
// with what begins the next line of a comment.
func anyBlank(t *testing.T, expression string) *regexp.Regexp {
	t.Helper()
	r, err := regexp.Compile(`(?i)` + strings.ReplaceAll(expression, " ", `(?:\s|//|#)+`))
	if err != nil {
		t.Fatalf("testdata/words.toml: %v", err)
	}
	return r
}

// parts are texts of which one is within all that an expression finds, since
// the expressions themselves are too slow to try on everything.
func parts(t *testing.T, expression string) []string {
	t.Helper()
	parsed, err := syntax.Parse(expression, syntax.Perl)
	if err != nil {
		t.Fatalf("testdata/words.toml: %v", err)
	}
	return needed(parsed)
}

func needed(r *syntax.Regexp) []string {
	switch r.Op {
	case syntax.OpLiteral:
		longest := "" // of its words: a blank may be the end of a line
		for word := range strings.FieldsSeq(strings.ToLower(string(r.Rune))) {
			if len(word) > len(longest) {
				longest = word
			}
		}
		if longest != "" {
			return []string{longest}
		}
	case syntax.OpCapture, syntax.OpPlus:
		return needed(r.Sub[0])
	case syntax.OpConcat:
		var best []string
		for _, sub := range r.Sub {
			if n := needed(sub); n != nil && (best == nil || shortest(n) > shortest(best)) {
				best = n
			}
		}
		return best
	case syntax.OpAlternate:
		var all []string
		for _, sub := range r.Sub {
			n := needed(sub)
			if n == nil {
				return nil
			}
			all = append(all, n...)
		}
		return all
	}
	return nil
}

// shortest is the length of the shortest of some texts.
func shortest(said []string) int {
	n := len(said[0])
	for _, s := range said {
		n = min(n, len(s))
	}
	return n
}

// in finds the word in a text: from which byte to which, each time.
func (w *word) in(words string) [][2]int {
	for _, but := range w.but {
		words = but.ReplaceAllStringFunc(words, func(right string) string { return strings.Repeat("\x00", len(right)) })
	}
	var found [][2]int
	for from := 0; from < len(words); {
		m := w.find.FindStringSubmatchIndex(words[from:])
		if m == nil {
			break
		}
		found = append(found, [2]int{from + m[2], from + m[3]})
		from += max(m[3], 1)
	}
	return found
}

// of are the entries for a file: a label's texts in another language than
// English have their own.
func (l *wordList) of(file string) []*word {
	switch file {
	case "label/wording/es.toml":
		return l.Spanish
	case "label/wording/fr.toml":
		return l.French
	}
	return l.English
}

// No text and no comment uses the words of testdata/words.toml.
func TestWords(t *testing.T) {
	list := readWords(t)
	for _, x := range texts(t, ".") {
		small := strings.ToLower(x.words)
		for _, w := range list.of(x.file) {
			if w.Shown && !x.shown || !slices.ContainsFunc(w.parts, func(part string) bool { return strings.Contains(small, part) }) {
				continue
			}
			for _, at := range w.in(x.words) {
				line := x.line + strings.Count(x.words[:at[0]], "\n")
				t.Errorf("%s:%d: %q: write: %s", x.file, line, x.words[at[0]:at[1]], w.Write)
			}
		}
	}
}

// Each entry finds its own example, in capitals, broken over two lines of a
// comment and within a sentence, and nothing in the same letters within a word.
func TestWordsAreFound(t *testing.T) {
	list := readWords(t)
	for _, w := range slices.Concat(list.English, list.Spanish, list.French) {
		for _, said := range []string{w.Hit, strings.ToUpper(w.Hit), strings.ReplaceAll(w.Hit, " ", "\n\t// ")} {
			if len(w.in(said)) == 0 {
				t.Errorf("%q is not found in %q", w.Find, said)
			}
			if small := strings.ToLower(said); !slices.ContainsFunc(w.parts, func(part string) bool { return strings.Contains(small, part) }) {
				t.Errorf("%q has none of %q, and is passed over", said, w.parts)
			}
		}
		for _, at := range w.in(w.Hit) {
			inner := "un" + w.Hit[at[0]:at[1]] + "ish"
			for _, again := range w.in(inner) {
				if again[0] == 2 {
					t.Errorf("%q is found in %q", w.Find, inner)
				}
			}
		}
	}
}

// What is read of a Go file, and what is left out.
func TestTextsOfGo(t *testing.T) {
	var got []string
	for _, x := range goTexts("x.go", []byte("package x\n\nimport \"anew/colour\"\n\n// A says\n// it.\nvar colour = \"told\"\n\n// colour is\nfunc colour() {}\n\ntype t struct {\n\tA int `json:\"colour\"` // a field\n}\n\nvar _ = `two\nlines`\n")) {
		got = append(got, fmt.Sprintf("%d %s", x.line, x.words))
	}
	want := []string{"5 // A says\n// it.", "9 //  is", "13 // a field", "7 told", "16 two\nlines"}
	if !slices.Equal(got, want) {
		t.Errorf("read %q, want %q", got, want)
	}
	for _, x := range htmlTexts("x.html", []byte("<p>{{.Headroom\n}} left</p>")) {
		if x.words != "<p>\n left</p>" {
			t.Errorf("read %q", x.words)
		}
	}
}
