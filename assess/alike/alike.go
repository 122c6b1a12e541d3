// Package alike finds ids that people cannot tell apart: those that differ only in capitals, in how
// Unicode composes their letters, or in letters that look like others (A as in Latin and as in
// Cyrillic, a hyphen and a dash). The last follows the skeletons of Unicode Technical Standard #39,
// section 4, with the standard's own data.
package alike

import (
	_ "embed"
	"strconv"
	"strings"
	"sync"
	"unicode/utf8"

	"golang.org/x/text/unicode/norm"
)

// Ids are ids of which no two should look alike. The zero value has none.
type Ids struct {
	many      int               // how many there may be
	folded    map[string]string // of each id, as lower case in composed form, the first id
	plain     []string          // ids in ASCII alone, while there are no others
	strange   bool              // there are others
	skeletons map[string][]look
}

// Sized has room for so many ids, and none of them yet.
func Sized(many int) *Ids { return &Ids{many: many} }

// look is an id with a skeleton.
type look struct{ id, strange string }

// Add adds an id. It gives an earlier one that looks like it; "" for none.
//
// Ids that differ in ASCII alone, such as LP-1L and LP-11, do not count as alike, although their
// skeletons are equal: they are typed on any keyboard, and plants have them.
func (s *Ids) Add(id string) (other string) {
	if s.folded == nil {
		s.folded, s.skeletons = make(map[string]string, s.many), map[string][]look{}
	}
	folded := id
	ascii := isASCII(id)
	if !ascii {
		folded = norm.NFC.String(id)
	}
	folded = strings.ToLower(folded)
	if first, known := s.folded[folded]; known {
		return first
	}
	s.folded[folded] = id
	if ascii && !s.strange {
		s.plain = append(s.plain, id)
		return ""
	}
	if !s.strange {
		s.strange = true
		for _, p := range s.plain {
			s.compare(p)
		}
		s.plain = nil
	}
	return s.compare(id)
}

// compare finds an id with the same skeleton, and adds this one. Letters are compared as they are
// written and as small ones: some look alike only in one of the two.
func (s *Ids) compare(id string) (other string) {
	composed := norm.NFC.String(id)
	is := look{id, Strange(strings.ToLower(composed))}
	small := skeleton(strings.ToLower(composed))
	keys := []string{small}
	if written := strings.ToLower(skeleton(composed)); written != small {
		keys = append(keys, written)
	}
	for _, key := range keys {
		differs := true
		for _, l := range s.skeletons[key] {
			if l.strange != is.strange && other == "" {
				other = l.id
			}
			differs = differs && l.strange != is.strange
		}
		if differs { // of those that differ in ASCII alone, the first is enough
			s.skeletons[key] = append(s.skeletons[key], is)
		}
	}
	return other
}

// Strange are the characters of a text that are not ASCII.
func Strange(text string) string {
	return strings.Map(func(r rune) rune {
		if r < utf8.RuneSelf {
			return -1
		}
		return r
	}, text)
}

func isASCII(s string) bool {
	for i := range len(s) {
		if s[i] >= utf8.RuneSelf {
			return false
		}
	}
	return true
}

// skeleton is a text with a prototype for each character that looks like another (UTS #39, section
// 4: NFD, prototypes, NFD). Characters that are not shown do not come here.
func skeleton(s string) string {
	to := prototypes()
	var b strings.Builder
	for _, r := range norm.NFD.String(s) {
		if p, ok := to[r]; ok {
			b.WriteString(p)
		} else {
			b.WriteRune(r)
		}
	}
	return norm.NFD.String(b.String())
}

//go:generate go run reduce.go

// confusables is Unicode's table, reduced by reduce.go to what it maps.
//
//go:embed confusables.txt
var confusables string

var prototypes = sync.OnceValue(func() map[rune]string {
	to := make(map[rune]string, 1<<13)
	for line := range strings.Lines(confusables) {
		from, more, ok := strings.Cut(strings.TrimSpace(line), " ")
		if !ok || from == "#" {
			continue
		}
		var b strings.Builder
		for code := range strings.FieldsSeq(more) {
			b.WriteRune(hex(code))
		}
		to[hex(from)] = b.String()
	}
	return to
})

func hex(code string) rune {
	n, err := strconv.ParseUint(code, 16, 32)
	if err != nil {
		panic(err) // a test reads the whole table
	}
	return rune(n)
}
