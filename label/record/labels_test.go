package record

import (
	"encoding/json"
	"fmt"
	"reflect"
	"strings"
	"testing"

	"vouchmark/assess"
)

// longLines are lines about labels of every form, and some that nearly are.
func longLines(t testing.TB) (all []string) {
	hex := strings.Repeat("0123456789abcdef", 4)
	day, err := assess.ParseDate("2026-05-01")
	if err != nil {
		t.Fatal(err)
	}
	for _, labels := range [][]Printed{
		{{ID: "A", Record: hex}},
		{{ID: "A", Record: hex, Copy: 1, Gist: "1-ab", Joins: Joins{Up: []string{}}}, {ID: "B", Record: hex, Copy: 999999999, Strip: true}},
		{{ID: "Übergabe <1>", Record: hex, Joins: Joins{Up: []string{"A", "B é"}, Ties: []string{"C"}}}, {ID: `with "quotes"`, Record: hex}},
		{{ID: "A\u2028B", Record: hex}, {ID: "", Record: ""}},
		{{ID: "A", Record: hex, Copy: 1234567890}, {ID: "B", Record: hex, Sight: &Sight{Found: FoundMissing}}},
	} {
		l := Line{Kind: Print, Date: day, Labels: labels, Count: len(labels), Stock: `,"labels":[{`, By: "tester"}
		data, err := l.seal(firstPrev)
		if err != nil {
			t.Fatal(err)
		}
		all = append(all, string(data))
	}
	inside := Line{Kind: Entered, Date: day, Log: &Logged{Table: "change", Name: "x", Values: map[string]any{"a": 1,
		"labels": []any{map[string]any{"id": "A", "record": "B"}}}}}
	data, err := inside.seal(firstPrev)
	if err != nil {
		t.Fatal(err)
	}
	return append(all, string(data))
}

// same compares both readers of a line, however short it is.
func sameLines(t *testing.T, text []byte) (read bool) {
	t.Helper()
	var quick, slow Line
	if read = quick.readLong(text); !read {
		return false
	}
	if err := slow.read(text); err != nil {
		t.Fatalf("%s: %v", text, err)
	}
	if !reflect.DeepEqual(quick, slow) {
		t.Fatalf("%s:\n%+v\n%+v", text, quick, slow)
	}
	return true
}

// A line about many labels says what it says as any JSON (RFC 8259, by encoding/json), and what is
// altered in it is refused.
func TestLongLines(t *testing.T) {
	quick := 0
	for _, text := range longLines(t) {
		if sameLines(t, []byte(text)) {
			quick++
		}
		for i := range text { // one byte less, one more, another one
			sameLines(t, []byte(text[:i]+text[i+1:]))
			sameLines(t, []byte(text[:i]+" "+text[i:]))
			for _, c := range []byte{'"', '0', '\\', ',', '}', 0x80} {
				sameLines(t, []byte(text[:i]+string(rune(c))+text[i+1:]))
			}
		}
	}
	if quick != 2 {
		t.Errorf("%d lines were read quickly", quick)
	}
	var many []Printed
	for i := range 100 {
		many = append(many, Printed{ID: fmt.Sprint("A", i), Record: strings.Repeat("ab", 32), Copy: 1, Joins: Joins{Up: []string{"B"}}})
	}
	l := Line{Kind: Print, Labels: many, Count: 100}
	data, err := l.seal(firstPrev)
	if err != nil {
		t.Fatal(err)
	}
	if got, err := parseLine(data, firstPrev); err != nil || len(got.Labels) != 100 || !reflect.DeepEqual(got, l) {
		t.Error(err)
	}
	if _, err := parseLine([]byte(strings.Replace(string(data), `"A50"`, `"A51"`, 1)), firstPrev); err == nil {
		t.Error("an altered label is read")
	}
	if !json.Valid(data) {
		t.Error("not JSON")
	}
}

func FuzzLongLines(f *testing.F) {
	for _, text := range longLines(f) {
		f.Add([]byte(text))
	}
	f.Fuzz(func(t *testing.T, text []byte) { sameLines(t, text) })
}
