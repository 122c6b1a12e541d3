package audit

import (
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"vouchmark/assess/standing"
	"vouchmark/label/record"
)

// Without judging, whatever was altered or lost is found too, and the report says
// what was not checked.
func TestNames(t *testing.T) {
	m, keys := invented(t)
	names := func(m fstest.MapFS) *Report {
		t.Helper()
		r, err := Run(m, day(t, "2026-05-02"), Options{Keys: keys, Names: true})
		if err != nil {
			t.Fatal(err)
		}
		return r
	}
	if r := names(m); !r.Sound() || !strings.Contains(r.Outcome(), "as far as this folder shows") ||
		!strings.Contains(strings.Join(r.Checked(), "\n"), "Not checked: whether each label follows") {
		t.Error(r.Problems, r.Outcome(), r.Checked())
	}
	if r := run(t, m, keys, ""); strings.Contains(strings.Join(r.Checked(), "\n"), "Not checked") {
		t.Error(r.Checked())
	}
	for name, file := range m {
		if name == "keys.txt" || strings.HasSuffix(name, ".csv") && !strings.HasPrefix(name, record.StudiesFolder) {
			continue
		}
		altered := fstest.MapFS{}
		for other, f := range m {
			altered[other] = f
		}
		data := slices.Clone(file.Data)
		data[len(data)/2] ^= 1
		altered[name] = &fstest.MapFile{Data: data, Mode: file.Mode}
		if r := names(altered); r.Sound() {
			t.Errorf("%s was altered: %s", name, r.Outcome())
		}
		delete(altered, name)
		if name != record.LedgerFile {
			if r := names(altered); r.Sound() {
				t.Errorf("%s is gone: %s", name, r.Outcome())
			}
		}
	}
}

// A label that is printed too low is counted and marked as one to cover, not only as one in
// question; and a list names who printed and who noted the mounting.
func TestCoverIsCounted(t *testing.T) {
	r := &Report{Standing: map[standing.Status]int{standing.InQuestion: 8, standing.Lapsed: 1}, TooLow: 1}
	if got := r.Outcome(); got != "Records intact: nothing altered or lost. This does not say that every label is valid: "+
		"8 in question (1 to cover: printed too low), 1 lapsed." {
		t.Error(got)
	}
	if l := (&Label{Standing: standing.InQuestion, TooLow: true}); l.Says() != "COVER: printed too low, in question" {
		t.Error(l.Says())
	}
	m, keys := invented(t)
	for _, l := range run(t, m, keys, "").Labels {
		if l.PrintedBy == "" || (l.MountedBy == "") != l.Mounted.IsZero() {
			t.Errorf("%+v", l)
		}
	}
}
