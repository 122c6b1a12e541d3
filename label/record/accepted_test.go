package record

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"vouchmark/assess"
)

func anAcceptance(t *testing.T) *assess.Acceptance {
	return &assess.Acceptance{At: []string{"A"}, Finding: "over-rating", By: "E. Sample, PE", Date: job(t, Print).Date, Reason: "series rated"}
}

// A line about an acceptance, or with a role, that no command writes is found.
func TestForgedAcceptance(t *testing.T) {
	sum := strings.Repeat("ab", 32)
	for name, change := range map[string]func(l *Line){
		"":                    func(*Line) {},
		"no acceptance":       func(l *Line) { l.Accept = nil },
		"nowhere":             func(l *Line) { l.Accept.At = "" },
		"an unknown finding":  func(l *Line) { l.Accept.Finding = "over" },
		"no reason":           func(l *Line) { l.Accept.Reason = "" },
		"no day":              func(l *Line) { l.Accept.Date = assess.Date{} },
		"nobody":              func(l *Line) { l.By, l.Role = "", "" },
		"half a hash":         func(l *Line) { l.Accept.Is = sum[:12] },
		"labels":              func(l *Line) { l.Labels = []Printed{{ID: "A", Record: sum}} },
		"of another kind":     func(l *Line) { l.Kind = Torn },
		"an unknown role":     func(l *Line) { l.Role = "boss" },
		"a role of nobody":    func(l *Line) { l.By = "" },
		"a role in capitals":  func(l *Line) { l.Role = "Engineer" },
		"an entry of the log": func(l *Line) { l.Log = &Logged{} },
	} {
		l := NewAcceptance(anAcceptance(t))
		l.Date, l.Tool, l.Role = job(t, Print).Date, "test", RoleEngineer
		l.Accept.Was, l.Accept.Is = sum, sum
		change(&l)
		if r := (&Ledger{Lines: []Line{l}}).Replay(l.Date, func(ID) bool { return false }, nil); (len(r.Wrong) == 0) != (name == "") {
			t.Errorf("%q: %v", name, r.Wrong)
		}
	}
	l := NewAcceptance(anAcceptance(t))
	if l.Accept.Reason = "a\x1b[31m"; l.Unprintable() != l.Accept.Reason {
		t.Error("a control character in a reason is not found")
	}
}

// An acceptance is announced, and then site.toml has it. What a crash left between the two is ended by what is
// in the file.
func TestAccept(t *testing.T) {
	const old, with = "# old\n", "# old\n# and accepted\n"
	policy := func(dir string) string { return filepath.Join(dir, assess.PolicyFile) }
	announce := func(t *testing.T, dir string) Line {
		l := NewAcceptance(anAcceptance(t))
		l.Date, l.Tool = job(t, Print).Date, "test"
		l.Accept.Was, l.Accept.Is = SHA256([]byte(old)), SHA256([]byte(with))
		w, err := Open(dir).lockLedger()
		if err != nil {
			t.Fatal(err)
		}
		defer w.close()
		if _, err := w.append(l); err != nil {
			t.Fatal(err)
		}
		return l
	}
	for text, want := range map[string]End{old: {Failed: true}, with: {Done: true}, "# edited\n": {Unfinished: true}} {
		dir := t.TempDir()
		announce(t, dir)
		if err := os.WriteFile(policy(dir), []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
		if err := Open(dir).NoteAll(func(*Ledger) ([]Line, error) { return nil, nil }); err != nil { // the next writer
			t.Fatal(err)
		}
		l, err := Open(dir).Ledger()
		if err != nil {
			t.Fatal(err)
		}
		if all := l.Accepted(); len(all) != 1 || all[0].Ended != want || all[0].Number != 1 {
			t.Errorf("%q: %+v, want %+v", text, all, want)
		}
	}
	dir := t.TempDir()
	if err := os.WriteFile(policy(dir), []byte(old), 0o644); err != nil {
		t.Fatal(err)
	}
	s := Open(dir)
	s.Role = RoleOwner
	err := s.Accept(func(was []byte, _ *Ledger) ([]byte, Line, error) {
		l := NewAcceptance(anAcceptance(t))
		l.Date = job(t, Print).Date
		return append(was, "# and accepted\n"...), l, nil
	})
	l, e := s.Ledger()
	if err != nil || e != nil {
		t.Fatal(err, e)
	}
	r := s.Replay(l, job(t, Print).Date, nil)
	if data, _ := os.ReadFile(policy(dir)); string(data) != with || len(l.Lines) != 2 || len(r.Wrong) > 0 || len(r.Open) > 0 {
		t.Errorf("%q, %+v, %v", data, l.Lines, r.Wrong)
	}
	if all := l.Accepted(); len(all) != 1 || !all[0].Ended.Done || all[0].Role != RoleOwner || !all[0].Is(anAcceptance(t), "A") || l.Lines[1].Role != "" {
		t.Errorf("%+v", all)
	}
}
