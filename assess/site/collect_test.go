package site

import (
	"fmt"
	"strings"
	"testing"
	"testing/fstest"
)

// Fifty problems of a kind are listed, a thousand in all; the rest is counted.
func TestCollected(t *testing.T) {
	for _, c := range []struct{ kinds, each, listed int }{
		{1, 50, 50}, {1, 51, 50}, {2, 51, 100}, {20, 50, 1000}, {20, 51, 1000}, {21, 50, 1001}, {1000, 1, 1000}, {1001, 1, 1001}, {5000, 7, 1001},
	} {
		var of Collected
		for k := range c.kinds {
			for i := range c.each {
				// What differs in names and numbers alone is of one kind.
				kind := strings.Repeat("x", k+1)
				p := Problem{File: "f", Line: c.each - i, Column: fmt.Sprintf("change[%d].at", i), Found: "it", Expected: fmt.Sprintf("%s of %d in %q", kind, i, fmt.Sprint("n", i))}
				if full := of.Full(p); full == of.Add(p) {
					t.Fatalf("%+v: full %v", c, full)
				}
			}
		}
		all := of.All()
		if len(all) != c.listed || all.Count() != c.kinds*c.each {
			t.Errorf("%+v: %d listed of %d", c, len(all), all.Count())
		}
		for i := range all[1:] {
			if all[i].Line > all[i+1].Line {
				t.Fatalf("%+v: line %d before %d", c, all[i].Line, all[i+1].Line)
			}
		}
	}
}

// A text may have so many characters, whatever they are, and one more is refused.
func TestLongestTexts(t *testing.T) {
	const change = "[[change]]\ndate = 2026-01-01\nat = \"P-1\"\nkind = \"fuse replaced\"\nby = \"%s\"\nnote = \"%s\"\n"
	rows := func(id string) string { return strings.Replace(goodRows, "P-1", id, 1) }
	e := func(n int) string { return strings.Repeat("é", n) }
	for _, c := range []struct{ file, text, want string }{
		{"locations.csv", rows(e(40)), ""},
		{"locations.csv", rows(e(41)), "id: found 41 characters, expected at most 40"},
		{"changes.toml", fmt.Sprintf(change, e(200), e(2000)), ""},
		{"changes.toml", fmt.Sprintf(change, e(201), ""), "by: found 201 characters, expected at most 200"},
		{"changes.toml", fmt.Sprintf(change, "x", e(2001)), "note: found 2001 characters, expected at most 2000"},
	} {
		folder := fstest.MapFS{"site.toml": {Data: []byte(goodPolicy)}, "locations.csv": {Data: []byte(goodRows)}}
		folder[c.file] = &fstest.MapFile{Data: []byte(c.text)}
		_, err := Read(folder, Options{Languages: []string{"en", "es"}})
		if c.want == "" && err != nil || c.want != "" && (err == nil || !strings.Contains(err.Error(), c.want)) {
			t.Errorf("%.60s: %v", c.text, err)
		}
	}
	for n, want := range map[int]bool{600: true, 601: false} {
		folder := fstest.MapFS{"en.toml": {Data: []byte("k = \"" + e(n) + "\"\n")}}
		if _, err := ReadTexts(folder, "en.toml", map[string]bool{"k": false}, func(string) bool { return true }, Options{}); (err == nil) != want {
			t.Errorf("%d characters of a wording: %v", n, err)
		}
	}
}
