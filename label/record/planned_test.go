package record

import (
	"errors"
	"testing"
)

// A job that was planned before a study was taken in prints nothing: its rows are
// the old ones.
func TestCarryAfterStudy(t *testing.T) {
	dir := t.TempDir()
	s := Open(dir)
	planned, err := s.Ledger()
	if err != nil {
		t.Fatal(err)
	}
	j := job(t, Print, example(t, "MCC-4", 6.5))
	j.Planned = planned
	if _, err := s.TakeIn(usual(t, dir)); err != nil {
		t.Fatal(err)
	}
	out, err := Prepare(dir+"/out.pdf", []byte("PDF"), 0o644)
	if err != nil {
		t.Fatal(err)
	}
	if err := s.Carry(j, out); !errors.Is(err, errStudy) {
		t.Errorf("%v", err)
	}
	if now, err := s.Ledger(); err != nil || len(now.Lines) != 1 {
		t.Errorf("%v, %d lines", err, len(now.Lines))
	}
	if j.Planned, err = s.Ledger(); err != nil {
		t.Fatal(err)
	}
	carry(t, dir, j)
}
