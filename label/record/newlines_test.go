package record

import (
	"bytes"
	"errors"
	"runtime"
	"strings"
	"testing"
)

// A ledger that is not one, a few bytes in a ZIP, asks for little more memory than it has.
func TestHostileLedger(t *testing.T) {
	const size = 4 << 20
	list := func(item string) []byte {
		return []byte(`{"schema":1,"kind":"print","labels":[` + strings.Repeat(item+",", size/len(item)) + item + "]}\n")
	}
	up := list(`"A"`)
	for what, data := range map[string][]byte{
		"newlines":   bytes.Repeat([]byte("\n"), size),
		"no labels":  list("{}"),
		"numbers":    list("1"),
		"nulls":      list("null"),
		"texts":      list(`""`),
		"other keys": list(`{"":1}`),
		"lists":      list("[]"),
		"nested":     bytes.Repeat([]byte(`{"labels":[`), size/11),
		"feeds":      bytes.Replace(up, []byte(`[`), []byte(`[{"id":"A","record":"B","up":[`), 1),
		"blanks":     bytes.Repeat([]byte(" "), size),
		"digits":     append([]byte(`{"schema":`), bytes.Repeat([]byte("1"), size)...),
	} {
		var before, after runtime.MemStats
		runtime.ReadMemStats(&before)
		l, err := ParseLedger(data)
		runtime.ReadMemStats(&after)
		if len(l.Lines) > 0 || err == nil && l.Torn == nil {
			t.Errorf("%s: %d lines were read, %v", what, len(l.Lines), err)
		}
		if got := after.TotalAlloc - before.TotalAlloc; got > 24*size {
			t.Errorf("%s: %d MB for %d MB", what, got>>20, len(data)>>20)
		}
	}
}

// A line has at most so many bytes, and one more is not read.
func TestLongestLine(t *testing.T) {
	l := Line{Kind: Withdrawn}
	b, err := l.seal(firstPrev)
	if err != nil {
		t.Fatal(err)
	}
	l.Reason = strings.Repeat("x", MostLine-len(b)-len(`"reason":"",`))
	if b, err = l.seal(firstPrev); err != nil || len(b) != MostLine {
		t.Fatal(len(b), err)
	}
	if read, err := ParseLedger(b); err != nil || len(read.Lines) != 1 {
		t.Error(err)
	}
	if read, err := ParseLedger(b[:len(b)-1]); err != nil || string(read.Lacks) != "\n" {
		t.Error(err)
	}
	l.Reason += "x"
	if b, err = l.seal(firstPrev); err != nil {
		t.Fatal(err)
	}
	if _, err := ParseLedger(b); !errors.Is(err, ErrDamaged) || !strings.Contains(err.Error(), "a line of more than 64 MiB") {
		t.Errorf("%.200v", err)
	}
	s := Open(t.TempDir())
	if err := s.Note(func(*Ledger) (Line, error) { return l, nil }); err == nil || !strings.Contains(err.Error(), "do it for fewer labels at once") {
		t.Errorf("%.200v", err)
	}
	if after, err := s.Ledger(); err != nil || len(after.Lines) != 0 {
		t.Error(err)
	}
}
