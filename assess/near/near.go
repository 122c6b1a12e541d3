// Package near finds what a mistyped word may have meant.
package near

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"github.com/agnivade/levenshtein"
)

// longest is how much of a word is compared: the time depends on it.
const longest = 100

// Words are the known words that a person may have meant, in the order of known: those that
// differ only in capitals, else those that begin with the word, else those that differ least,
// by at most two letters. Equally good ones are all there; nil if nothing is near.
func Words(word string, known []string) []string {
	low := lower(word)
	if low == "" {
		return nil
	}
	return best(known, func(k string) (int, bool) {
		k = lower(k)
		switch {
		case k == low:
			return -2, true
		case strings.HasPrefix(k, low):
			return -1, true
		}
		d := distance(low, k)
		return d, d <= 2 && d < len([]rune(low)) // of a short word nothing would be left
	})
}

// mostIDs is how many ids are named: many differ in one digit.
const mostIDs = 3

// IDs are the ids that a person may have meant: those that differ only in capitals, else those
// that differ in one character or in two that changed places; nil if more than three do.
func IDs(id string, known []string) []string {
	low := lower(id)
	ids := best(known, func(k string) (int, bool) {
		k = lower(k)
		if k == low {
			return 0, true
		}
		d := distance(low, k)
		return d, d <= 1
	})
	if len(ids) > mostIDs {
		return nil
	}
	return ids
}

// best are the words with the lowest rank, each once.
func best(known []string, rank func(string) (int, bool)) []string {
	var found []string
	least := 0
	for _, k := range known {
		r, ok := rank(k)
		if !ok || found != nil && r > least {
			continue
		}
		if found == nil || r < least {
			found, least = nil, r
		}
		if !slices.Contains(found, k) {
			found = append(found, k)
		}
	}
	return found
}

func lower(s string) string {
	r := []rune(strings.ToLower(strings.TrimSpace(s)))
	return string(r[:min(len(r), longest)])
}

// distance is how many letters differ; two neighbors that changed places count as one.
func distance(a, b string) int {
	d := levenshtein.ComputeDistance(a, b)
	if x, y := []rune(a), []rune(b); d == 2 && len(x) == len(y) {
		for i := 0; i < len(x)-1; i++ {
			if x[i] != y[i] {
				x[i], x[i+1] = x[i+1], x[i]
				break
			}
		}
		if slices.Equal(x, y) {
			return 1
		}
	}
	return d
}

// Quoted names the words: `"a", "b" or "c"`.
func Quoted(words []string) string {
	quoted := make([]string, len(words))
	for i, w := range words {
		quoted[i] = fmt.Sprintf("%q", w)
	}
	return Either(quoted)
}

// Either lists words: "a, b or c".
func Either(words []string) string {
	if len(words) < 2 {
		return strings.Join(words, "")
	}
	last := len(words) - 1
	return strings.Join(words[:last], ", ") + " or " + words[last]
}

// Hint is the end of an error message about an unknown word: which words may have been meant;
// "" if none is near.
func Hint(word string, known []string) string {
	found := Words(word, known)
	if found == nil {
		return ""
	}
	return "; did you mean " + Quoted(found) + "?"
}

// UnknownID is an error about ids that a site does not have.
type UnknownID struct {
	Flag  string   // the flag that names them, "" for an operand
	What  string   // what has no such id: "location" if ""
	IDs   []string // one or more
	Known []string // all ids that could have been named
	Else  string   // that it is nothing else either; "" where it could be nothing else
	Cause error    // what it is for a program; may be nil
}

func (e *UnknownID) Error() string {
	var b strings.Builder
	if e.Flag != "" {
		b.WriteString("--" + e.Flag + ": ")
	}
	if len(e.IDs) == 1 && strings.TrimSpace(e.IDs[0]) == "" {
		return b.String() + "name a location"
	}
	fmt.Fprintf(&b, "no %s %s in this site%s", cmp.Or(e.What, "location"), strings.Join(e.IDs, ", "), e.Else)
	hints := 0
	for _, id := range e.IDs {
		found := IDs(id, e.Known)
		if found == nil {
			continue
		}
		hints++
		if same := e.Capitals(id); same != "" {
			fmt.Fprintf(&b, "; the id is %s: only capitals differ", same)
			continue
		}
		of := ""
		if len(e.IDs) > 1 {
			of = " for " + id
		}
		fmt.Fprintf(&b, "; did you mean %s%s?", Either(found), of)
	}
	if hints == 0 {
		b.WriteString("; spell ids as in locations.csv, with the same capitals")
	}
	return b.String()
}

func (e *UnknownID) Unwrap() error { return e.Cause }

// Capitals is the only known id that differs from id in nothing but capitals; "" if there is none,
// or more than one.
func (e *UnknownID) Capitals(id string) string {
	if found := IDs(id, e.Known); len(found) == 1 && lower(found[0]) == lower(id) {
		return found[0]
	}
	return ""
}
