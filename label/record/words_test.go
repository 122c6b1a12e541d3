package record

import (
	"strings"
	"testing"
)

func TestOneLine(t *testing.T) {
	for s, want := range map[string]string{
		"": "", " \t\n": "", "a\r\n b\tc": "a b c", `<b>"x"</b> \n %s`: `<b>"x"</b> \n %s`, "é日本 ½": "é日本 ½",
		strings.Repeat("é", LongestName): strings.Repeat("é", LongestName), // characters, not bytes
	} {
		if got, err := OneLine(s, LongestName); err != nil || got != want {
			t.Errorf("%q: %q, %v", s, got, err)
		}
	}
	for s, want := range map[string]string{
		"a\x1b[31m": "U+001B", "a\x00": "U+0000", "a\u009b": "U+009B", "\u202ea": "U+202E", "a\u2066": "U+2066", "\ufeffa": "U+FEFF", "a\u200bb": "U+200B",
		"a\xff": "UTF-8", strings.Repeat("x", LongestName+1): "201 characters", strings.Repeat("long ", 2000): "9999 characters",
	} {
		if got, err := OneLine(s, LongestName); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%.20q: %.20q, %v, want %s", s, got, err, want)
		}
	}
}

// A record with invisible characters was not made by this program, whatever its
// name says.
func TestDecodeRefusesHiddenCharacters(t *testing.T) {
	for _, s := range []string{"a\x1b[31m", "a\nb", "a\tb", "a\x7fb", "a\u009bb", "a\u202eb", "a\u2028b", "a\ufeffb", "a\ufffdb"} {
		for what, set := range map[string]func(*Record){
			"id":        func(r *Record) { r.Location.ID = s },
			"equipment": func(r *Record) { r.Location.Equipment = s },
			"note":      func(r *Record) { r.Location.Cases[0].Note = s },
			"edition":   func(r *Record) { r.Policy.Edition = s },
		} {
			r := example(t, "MCC-4", 6.5)
			set(r)
			data, _, err := r.Encode()
			if err != nil {
				t.Fatal(err)
			}
			if _, err := Decode(data); err == nil || !strings.Contains(err.Error(), "no terminal shows") {
				t.Errorf("%s %q: %v", what, s, err)
			}
		}
	}
	for _, s := range []string{`a\nb`, `a\u202eb`, `"`, `\`, `\\"`, "<b>&amp;", "½·²"} { // visible as they are
		r := example(t, "MCC-4", 6.5)
		r.Location.Cases[0].Note = s
		data, _, err := r.Encode()
		if err != nil {
			t.Fatal(err)
		}
		if got, err := Decode(data); err != nil || got.Location.Cases[0].Note != s {
			t.Errorf("%q: %v", s, err)
		}
	}
}
