package audit

import (
	"slices"
	"strings"
	"testing"
	"testing/fstest"

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
