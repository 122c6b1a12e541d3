package record

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"vouchmark/assess"
)

// anyEntry is a change by the number of its day.
func anyEntry(n int) *assess.Entry {
	date := fmt.Sprintf("2026-05-%02d", n)
	e := assess.NewEntry(assess.ChangeEntry, date+"/A", map[string]any{"date": date, "at": "A", "kind": "fuse replaced", "by": "x", "new_clear_ms": map[string]any{"A": 60.0}}, 0)
	return &e
}

// A line about an entry that no command writes is found, and notes nothing.
func TestForgedEntry(t *testing.T) {
	sum := strings.Repeat("ab", 32)
	right := func(kind Kind) Line {
		l := NewLogged(kind, anyEntry(1))
		l.Date, l.By, l.Tool = job(t, Print).Date, "x", "test"
		if kind == Entered {
			l.Log.Was, l.Log.Is = sum, sum
		}
		return l
	}
	for name, change := range map[string]func(l *Line){
		"":                     func(*Line) {},
		"no entry":             func(l *Line) { l.Log = nil },
		"another name":         func(l *Line) { l.Log.Name += "/2" },
		"another value":        func(l *Line) { l.Log.Values["by"] = "y" },
		"no values":            func(l *Line) { l.Log.Values = nil },
		"another sum":          func(l *Line) { l.Text = sum },
		"another table":        func(l *Line) { l.Log.Table = "accept" },
		"settles something":    func(l *Line) { l.Log.Settles = sum },
		"half a hash":          func(l *Line) { l.Log.Earlier = []string{sum[:12]} },
		"labels":               func(l *Line) { l.Labels = []Printed{{ID: "A", Record: sum}} },
		"a reason":             func(l *Line) { l.Reason = "x" },
		"as if it was settled": func(l *Line) { l.Change = "2026-05-01/A" },
	} {
		for _, kind := range []Kind{Entered, Noted} {
			l := right(kind)
			change(&l)
			ledger := &Ledger{Lines: []Line{l}}
			if r := ledger.Replay(l.Date, func(ID) bool { return false }, nil); (len(r.Wrong) == 0) != (name == "") {
				t.Errorf("%s, %q: %v", kind, name, r.Wrong)
			}
			if n := ledger.Notes(); (n.Of(anyEntry(1).Sum) != nil) != (name == "") {
				t.Errorf("%s, %q: it is noted: %v", kind, name, n.All)
			}
		}
	}
	for kind, change := range map[Kind]func(l *Line){
		Entered: func(l *Line) { l.Log.Is = "" },
		Noted:   func(l *Line) { l.Log.Was, l.Log.Is = sum, sum },
		Mounted: func(l *Line) { l.Log.Was, l.Log.Is = "", "" },
	} {
		l := right(kind)
		if change(&l); len((&Ledger{Lines: []Line{l}}).Replay(l.Date, nil, nil).Wrong) == 0 {
			t.Errorf("%s: a wrong line is not found", kind)
		}
	}
	bad := right(Noted)
	for _, text := range []string{"a\x1b[31m", "\u202e"} {
		bad.Log.Values["note"] = []any{map[string]any{"x": text}}
		if bad.Unprintable() != text {
			t.Errorf("%q is not found", text)
		}
		bad.Log.Values["note"] = map[string]any{text: 1.0}
		if bad.Unprintable() != text {
			t.Errorf("%q is not found in a key", text)
		}
	}
}

// What lines say about an entry: whether it was added, whether the file must have it, what
// came before.
func TestNotes(t *testing.T) {
	line := func(kind Kind, n int, of *Line) Line {
		l := Line{Kind: kind, Date: job(t, Print).Date}
		if kind == Entered || kind == Noted {
			l = NewLogged(kind, anyEntry(n))
			if kind == Entered {
				l.Log.Was, l.Log.Is = firstPrev, firstPrev
			}
		}
		if l.Hash = fmt.Sprint(kind, n); of != nil {
			l.Of = of.Hash
		}
		return l
	}
	var lines []Line
	for n, end := range []Kind{Done, Failed, Unfinished, ""} {
		e := line(Entered, n, nil)
		if n == 0 {
			e.Log.Earlier = []string{anyEntry(9).Sum}
		}
		if lines = append(lines, e); end != "" {
			lines = append(lines, line(end, n, &e))
		}
	}
	lines = append(lines, line(Noted, 4, nil), line(Noted, 1, nil)) // the second one after a command failed
	n := (&Ledger{Lines: lines}).Notes()
	if n.Begun != 1 || n.None() || len(n.All) != 6 {
		t.Fatalf("%+v", n)
	}
	var known, lost []int
	for k := range 10 {
		e := anyEntry(k)
		if n.Knows(e) {
			known = append(known, k)
		}
		if n.Before(e) != (k == 9) {
			t.Errorf("entry %d is from before, or is not", k)
		}
	}
	for _, l := range n.Lost(func(sum string) bool { return sum == anyEntry(4).Sum }) {
		for k := range 10 {
			if l.Sum == anyEntry(k).Sum {
				lost = append(lost, k)
			}
		}
	}
	if !slices.Equal(known, []int{0, 1, 2, 3, 4}) || !slices.Equal(lost, []int{0, 1}) {
		t.Errorf("known: %v, lost: %v", known, lost)
	}
	failed := (&Ledger{Lines: lines[:4]}).Notes()
	if failed.Knows(anyEntry(1)) || len(failed.Lost(func(string) bool { return false })) != 1 {
		t.Error("an entry that could not be added is known")
	}
	var none *Notes
	if !none.None() || none.Knows(anyEntry(1)) || !none.Before(anyEntry(1)) || none.Lost(nil) != nil || none.Earlier() != nil {
		t.Error("nil is not a ledger that says nothing")
	}
	more := none.With(lines[0])
	if more.None() || !more.Knows(anyEntry(0)) || !more.Before(anyEntry(9)) || more.Before(anyEntry(8)) {
		t.Errorf("%+v", more)
	}
	if again := n.With(line(Noted, 8, nil)); !again.Knows(anyEntry(8)) || n.Knows(anyEntry(8)) || again.Begun != 1 {
		t.Errorf("%+v", again)
	}
}

// A history is continued by lines about entries alone.
func TestContinued(t *testing.T) {
	dir := t.TempDir()
	carry(t, dir, job(t, Print, example(t, "A", 6.5)))
	s := Open(dir)
	h, err := s.History(job(t, Print).Date)
	if err != nil {
		t.Fatal(err)
	}
	continued := func() *History {
		l, err := s.Ledger()
		if err != nil {
			t.Fatal(err)
		}
		return h.Continued(l)
	}
	if now := continued(); now == nil || len(now.Ledger.Lines) != 2 {
		t.Error("not by nothing")
	}
	if err := works["enter"](t, dir); err != nil {
		t.Fatal(err)
	}
	if now := continued(); now == nil || len(now.Ledger.Lines) != 4 || !now.Notes.Knows(&anEntry) || h.Notes.Knows(&anEntry) {
		t.Errorf("%+v", now)
	}
	carry(t, dir, job(t, Reprint, example(t, "A", 6.5)))
	if continued() != nil {
		t.Error("by a print")
	}
	if other := h.Continued(&Ledger{}); other != nil {
		t.Error("by a shorter one")
	}
}
