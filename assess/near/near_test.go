package near

import (
	"fmt"
	"slices"
	"strings"
	"testing"
)

func TestWords(t *testing.T) {
	commands := []string{"init", "intake", "check", "print", "reprint", "guide", "walk", "arc", "due", "tree",
		"serve", "accept", "publish", "suppose", "mounted", "removed", "withdraw", "history", "audit", "sign"}
	stocks := []string{"4x4", "4x6", "6x4", "5x3.5", "3x5", "100x100", "100x150", "letter-4x4", "letter-4x3"}
	for _, c := range []struct {
		word  string
		known []string
		want  []string
	}{
		{"prnt", commands, []string{"print"}},
		{"PRINT", commands, []string{"print"}},
		{"pritn", commands, []string{"print"}},
		{"rep", commands, []string{"reprint"}},
		{"i", commands, []string{"init", "intake"}},
		{"in", commands, []string{"init", "intake"}},
		{"su", commands, []string{"suppose"}}, // and not due, of which nothing would be left
		{"chekc", commands, []string{"check"}},
		{"remouted", commands, []string{"removed"}},
		{"monted", commands, []string{"mounted"}},
		{"xyzzy", commands, nil},
		{"", commands, nil},
		{"4x5", stocks, []string{"4x4", "4x6", "3x5"}}, // all that differ by one
		{"Letter-4X4", stocks, []string{"letter-4x4"}},
		{"letter", stocks, []string{"letter-4x4", "letter-4x3"}},
		{strings.Repeat("x", 1<<20), stocks, nil},
	} {
		if got := Words(c.word, c.known); !slices.Equal(got, c.want) {
			t.Errorf("%.20q: %q, want %q", c.word, got, c.want)
		}
	}
}

func TestIDs(t *testing.T) {
	ids := []string{"RAW-MC1", "RAW-TX1", "SEP-MC2", "PNL-10", "PNL-11", "PNL-12", "PNL-13", "Lift 3"}
	for _, c := range []struct {
		id, want string
	}{
		{"raw-mc1", `no location raw-mc1 in this site; the id is RAW-MC1: only capitals differ`},
		{"lift 3", `no location lift 3 in this site; the id is Lift 3: only capitals differ`},
		{"RAW-MC2", `no location RAW-MC2 in this site; did you mean RAW-MC1?`},
		{"RAW-M1C", `no location RAW-M1C in this site; did you mean RAW-MC1?`},
		{"sep-mc3", `no location sep-mc3 in this site; did you mean SEP-MC2?`},
		{"PNL-1", `no location PNL-1 in this site; spell ids as in locations.csv, with the same capitals`}, // four differ by one
		{"RAW", `no location RAW in this site; spell ids as in locations.csv, with the same capitals`},
	} {
		if got := (&UnknownID{IDs: []string{c.id}, Known: ids}).Error(); got != c.want {
			t.Errorf("%s:\n%s, want\n%s", c.id, got, c.want)
		}
	}
	e := &UnknownID{Flag: "at", IDs: []string{"raw-mc1", "RAW-MC2", "X"}, Known: ids}
	if got, want := e.Error(), "--at: no location raw-mc1, RAW-MC2, X in this site; the id is RAW-MC1: only capitals differ; "+
		"did you mean RAW-MC1 for RAW-MC2?"; got != want {
		t.Errorf("got %s, want %s", got, want)
	}
	// two ids that differ in nothing but capitals are both named
	if got, want := (&UnknownID{IDs: []string{"mcc-1"}, Known: []string{"MCC-1", "Mcc-1"}}).Error(),
		"no location mcc-1 in this site; did you mean MCC-1 or Mcc-1?"; got != want {
		t.Errorf("got %s, want %s", got, want)
	}
}

// What is named is always known, and never farther than the rule says.
func TestNamesOnlyTheKnown(t *testing.T) {
	var known []string
	for i := range 200 {
		known = append(known, fmt.Sprintf("P-%d", i*i))
	}
	for i := range 400 {
		word := fmt.Sprintf("p-%d", i)
		for _, k := range append(Words(word, known), IDs(word, known)...) {
			if !slices.Contains(known, k) {
				t.Errorf("%s: %s is not known", word, k)
			}
		}
		if n := len(IDs(word, known)); n > mostIDs {
			t.Errorf("%s: %d ids", word, n)
		}
	}
}
