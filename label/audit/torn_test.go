package audit

import (
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"vouchmark/label/record"
	"vouchmark/label/seal"
)

// cutEnd is the invented site with the last bytes of its ledger taken off.
func cutEnd(t *testing.T, off int) (dir string, keys *seal.Keyring) {
	t.Helper()
	m, keys := invented(t)
	dir = t.TempDir()
	if err := os.CopyFS(dir, m); err != nil {
		t.Fatal(err)
	}
	file := filepath.Join(dir, record.LedgerFile)
	good := m[record.LedgerFile].Data
	os.Chmod(file, 0o644)
	if err := os.WriteFile(file, good[:len(good)-off], 0o644); err != nil {
		t.Fatal(err)
	}
	return dir, keys
}

// Half a line at the end is a problem until a writer moves it into a file; from then on
// the report says so, and the file must be there.
func TestHalfLine(t *testing.T) {
	dir, keys := cutEnd(t, 20)
	r := run(t, os.DirFS(dir), keys, "")
	if r.Sound() || r.Lines != 12 || !strings.Contains(r.Problems[0].Do, "the next command that writes moves it into ledger.torn-13-") {
		t.Errorf("%d lines, %v", r.Lines, r.Problems)
	}
	if _, err := record.Open(dir).Mount([]string{"A"}, day(t, "2026-05-02"), day(t, "2026-05-02"), "x", "v1"); err != nil {
		t.Fatal(err)
	}
	m := load(t, dir)
	torn, err := fs.Glob(m, "ledger.torn-13-*")
	if err != nil || len(torn) != 1 {
		t.Fatal(torn, err)
	}
	says := "the ledger once ended in half a line, before ledger.jsonl:13: a command was stopped while it wrote, or somebody cut off the end. It is in " + torn[0]
	if r := run(t, m, keys, ""); !r.Sound() || r.Lines != 14 || !strings.Contains(fmt.Sprint(r.Notes), says) {
		t.Errorf("%d lines, %v, %q", r.Lines, r.Problems, r.Notes)
	}
	half := m[torn[0]].Data
	for name, bad := range map[string]fs.FS{
		"taken out": with(m, torn[0], nil), "altered": with(m, torn[0], append([]byte("x"), half[1:]...)),
		"longer": with(m, torn[0], append(slices.Clone(half), 'x')), "shorter": with(m, torn[0], half[1:]),
	} {
		if r := run(t, bad, keys, ""); r.Sound() {
			t.Errorf("%s: not found", name)
		}
	}
	if r := run(t, with(m, "ledger.torn-5-0123456789ab", []byte("x")), keys, ""); !strings.Contains(fmt.Sprint(r.Notes), "ledger.torn-5-0123456789ab is not named by any line") {
		t.Errorf("%q", r.Notes)
	}
}

// The end of the last line taken off, as an editor does: the line counts, and
// the next writer puts the end back.
func TestUnended(t *testing.T) {
	for off := range len("\"}\n") {
		unended(t, off+1)
	}
}

func unended(t *testing.T, off int) {
	t.Helper()
	dir, keys := cutEnd(t, off)
	if r := run(t, os.DirFS(dir), keys, ""); r.Sound() || r.Lines != 13 || !strings.Contains(r.Problems[0].What, "the end of the last line is missing") {
		t.Errorf("%d lines, %v", r.Lines, r.Problems)
	}
	if _, err := record.Open(dir).Mount([]string{"A"}, day(t, "2026-05-02"), day(t, "2026-05-02"), "x", "v1"); err != nil {
		t.Fatal(err)
	}
	if r := run(t, os.DirFS(dir), keys, ""); !r.Sound() || r.Lines != 14 {
		t.Errorf("%d lines, %v", r.Lines, r.Problems)
	}
}
