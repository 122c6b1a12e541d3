package alike

import (
	"strings"
	"testing"
	"unicode"

	"golang.org/x/text/unicode/norm"
)

// Which of two ids counts as the other one, in either order.
func TestAlike(t *testing.T) {
	for _, c := range []struct {
		what, a, b string
		want       bool
	}{
		{"capitals", "A-1", "a-1", true},
		{"Cyrillic A", "A-1", "А-1", true},
		{"a small Cyrillic a", "A-1", "а-1", true},
		{"a capital that looks alike only so", "B-1", "В-1", true},
		{"a small letter that looks alike only so", "h-1", "һ-1", true},
		{"Greek", "MCC-O", "MCC-Ο", true},
		{"Cyrillic and Greek", "А-1", "Α-1", true},
		{"an en dash", "LP-1", "LP–1", true},
		{"a hyphen of its own", "LP-1", "LP\u20101", true},
		{"a hyphen that does not break", "LP-1", "LP\u20111", true},
		{"a minus", "LP-1", "LP−1", true},
		{"two dashes", "LP–1", "LP−1", true},
		{"composed and not", "Süd-1", "Su\u0308d-1", true},
		{"composed and not, in capitals", "SÜD-1", "su\u0308d-1", true},
		{"wide", "A-1", "Ａ-1", true},
		{"a numeral", "MCC-V", "MCC-Ⅴ", true},
		{"an L for a Cyrillic palochka", "LP-l", "LP-Ӏ", true},
		{"a letter and a digit", "LP-1L", "LP-11", false},
		{"a zero", "LP-0", "LP-O", false},
		{"a letter and a digit beside an accent", "É-1L", "É-11", false},
		{"an accent", "ÉL-1", "EL-1", false},
		{"other letters", "Щ-1", "Ш-1", false},
		{"numbers", "A-1", "А-2", false},
	} {
		for _, pair := range [][2]string{{c.a, c.b}, {c.b, c.a}} {
			var s Ids
			if s.Add("Z-9") != "" || s.Add(pair[0]) != "" || s.Add("Ж-9") != "" {
				t.Errorf("%s: alike too soon", c.what)
			}
			got := s.Add(pair[1])
			if (got == pair[0]) != c.want || got != "" && got != pair[0] {
				t.Errorf("%s: %+q looks like %+q", c.what, pair[1], got)
			}
		}
	}
}

// The table is Unicode's: every prototype is a prototype of itself, as UTS #39 says, and its first
// and last line are there.
func TestTable(t *testing.T) {
	to := prototypes()
	if len(to) != 6311 || to[0x05AD] != "\u0596" || to[0x2FD5] != "\u9FA0" || to['m'] != "rn" || to[0x2013] != "-" || to['А'] != "A" {
		t.Errorf("%d characters", len(to))
	}
	for r, p := range to {
		if norm.NFD.String(string(r)) != string(r) || norm.NFD.String(p) != p {
			continue // never looked up, or broken into pieces that have prototypes of their own
		}
		if p == "" || skeleton(p) != skeleton(string(r)) {
			t.Errorf("%U: %+q, whose skeleton is %+q", r, p, skeleton(p))
		}
		if unicode.Is(unicode.Cc, r) {
			t.Errorf("%U", r)
		}
	}
	if !strings.HasPrefix(confusables, "# Date:") || !strings.Contains(confusables, "# Version: 15.0.0\n") {
		t.Error("it does not say what it is")
	}
}

// Ids in ASCII alone are only folded: a plant of them does not need the table.
func TestPlainIds(t *testing.T) {
	var s Ids
	ids := []string{"LP-1L", "LP-11", "LP-1I", "rn", "m"}
	for _, id := range ids {
		if other := s.Add(id); other != "" {
			t.Errorf("%s looks like %s", id, other)
		}
	}
	if len(s.skeletons) != 0 || len(s.plain) != len(ids) {
		t.Errorf("%v", s.skeletons)
	}
	if other := s.Add("LР-11"); other != "LP-1L" && other != "LP-11" && other != "LP-1I" { // a Cyrillic Er
		t.Errorf("it looks like %q", other)
	}
}
