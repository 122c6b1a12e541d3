package record

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// cut is a folder whose ledger ends in a withdrawal, of which the last bytes are cut off:
// the ledger as it was, and what is left of the withdrawal.
func cut(t *testing.T, off int) (dir string, whole, half []byte) {
	t.Helper()
	dir = t.TempDir()
	carry(t, dir, job(t, Print, example(t, "A", 6.5), example(t, "B", 9.5)))
	if _, err := Open(dir).Withdraw("A", job(t, Print).Date, "burnt", "me", "test"); err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(dir, LedgerFile)
	whole, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(path, whole[:len(whole)-off], 0o644); err != nil {
		t.Fatal(err)
	}
	last := bytes.LastIndexByte(whole[:len(whole)-1], '\n') + 1
	return dir, whole, whole[last : len(whole)-off]
}

// write is the next writer, and what it says.
func write(t *testing.T, dir string) (said []string) {
	t.Helper()
	s := Open(dir)
	s.Say = func(text string) { said = append(said, text) }
	if _, err := s.Mount([]string{"B"}, job(t, Print).Date, job(t, Print).Date, "me", "test"); err != nil {
		t.Fatal(err)
	}
	return said
}

// aside checks that half a line is kept, noted once, and said once.
func aside(t *testing.T, dir string, half []byte, said []string) {
	t.Helper()
	name := TornName(3, half)
	l, err := Open(dir).Ledger()
	if err != nil {
		t.Fatal(err)
	}
	all := l.Asides()
	if len(all) != 1 || all[0].Line != 3 || all[0].Stored != (Stored{name, SHA256(half), int64(len(half))}) || l.Lines[2].Kind != Torn {
		t.Errorf("%d bytes: the ledger notes %+v", len(half), all)
	}
	if got := read(t, dir, name); got != string(half) {
		t.Errorf("%s holds %q, want %q", name, got, half)
	}
	if len(said) != 1 || !strings.Contains(said[0], name) || !strings.Contains(said[0], fmt.Sprintf("%q", half[:min(len(half), mostExcerpt)])) {
		t.Errorf("%d bytes: it says %q", len(half), said)
	}
}

// Whatever is cut off the last line, nothing is lost without a word: a line with its hash
// is completed, and anything else is kept in a file, noted and said.
func TestCutEnd(t *testing.T) {
	_, whole, half := cut(t, 1)
	for off := 1; off <= len(half); off++ {
		if off > 8 && off < len(half)-3 && off%61 > 0 {
			continue
		}
		dir, _, half := cut(t, off)
		before, err := Open(dir).Ledger()
		if err != nil {
			t.Fatalf("%d bytes off: %v", off, err)
		}
		proven := off <= len("\"}\n")
		if got := len(before.Lines) == 3 && before.Torn == nil; got != proven {
			t.Errorf("%d bytes off: a reader has %d lines, %q", off, len(before.Lines), before.Torn)
		}
		said := write(t, dir)
		switch now := []byte(read(t, dir, LedgerFile)); {
		case proven && (!bytes.HasPrefix(now, whole) || said != nil):
			t.Errorf("%d bytes off: the line is not completed: %q", off, said)
		case !proven:
			aside(t, dir, half, said)
		}
		if again := write(t, dir); again != nil {
			t.Errorf("%d bytes off: said again: %q", off, again)
		}
	}
}

// A writer that is stopped between its steps leaves the work to the next one.
func TestCutEndInterrupted(t *testing.T) {
	for name, after := range map[string]func(dir string, whole, half []byte) error{
		"the file is there": func(dir string, _, half []byte) error {
			return os.WriteFile(filepath.Join(dir, TornName(3, half)), half, 0o444)
		},
		"the end is cut off": func(dir string, whole, half []byte) error {
			err := os.WriteFile(filepath.Join(dir, TornName(3, half)), half, 0o444)
			if err == nil {
				err = os.WriteFile(filepath.Join(dir, LedgerFile), whole[:bytes.LastIndexByte(whole[:len(whole)-1], '\n')+1], 0o644)
			}
			return err
		},
	} {
		dir, whole, half := cut(t, 20)
		if err := after(dir, whole, half); err != nil {
			t.Fatal(err)
		}
		said := write(t, dir)
		t.Log(name)
		aside(t, dir, half, said)
	}
}

// A file with such a name that is not what its name says is not noted; half a line that is
// not text is kept like any other; a ledger that is only half a line too.
func TestCutEndOdd(t *testing.T) {
	dir, _, half := cut(t, 20)
	other := TornName(3, []byte("another"))
	if err := os.WriteFile(filepath.Join(dir, other), []byte("forged"), 0o644); err != nil {
		t.Fatal(err)
	}
	aside(t, dir, half, write(t, dir))
	dir = t.TempDir()
	odd := []byte("\x00\x00{\xff")
	if err := os.WriteFile(filepath.Join(dir, LedgerFile), odd, 0o644); err != nil {
		t.Fatal(err)
	}
	carry(t, dir, job(t, Print, example(t, "A", 6.5)))
	l, err := Open(dir).Ledger()
	if err != nil || len(l.Lines) != 3 || l.Lines[0].Kind != Torn || read(t, dir, TornName(1, odd)) != string(odd) {
		t.Errorf("%+v, %v", l, err)
	}
}

// A line about half a line that no writer writes is found.
func TestForgedTorn(t *testing.T) {
	right := func() *Stored { return &Stored{TornName(3, []byte("half")), SHA256([]byte("half")), 4} }
	for name, change := range map[string]func(l *Line){
		"":                func(*Line) {},
		"no file":         func(l *Line) { l.Torn = nil },
		"another name":    func(l *Line) { l.Torn.File = TornName(3, []byte("other")) },
		"a path":          func(l *Line) { l.Torn.File = "../" + l.Torn.File },
		"no bytes":        func(l *Line) { l.Torn.Bytes = 0 },
		"another kind":    func(l *Line) { l.Kind = Mounted },
		"more than that":  func(l *Line) { l.By = "me" },
		"half of a hash":  func(l *Line) { l.Torn.SHA256 = l.Torn.SHA256[:12] },
		"a line of study": func(l *Line) { l.Study = &Stored{"R.csv", SHA256(nil), 1} },
	} {
		l := Line{Kind: Torn, Date: job(t, Print).Date, Torn: right()}
		change(&l)
		r := (&Ledger{Lines: []Line{l}}).Replay(l.Date, nil, nil)
		if (len(r.Wrong) == 0) != (name == "") {
			t.Errorf("%q: %v", name, r.Wrong)
		}
	}
}
