package record

import (
	"os"
	"path/filepath"
	"testing"
	"time"
)

// The next writer removes what another one left under temporary names when it was killed.
func TestTemporaryFilesAreSwept(t *testing.T) {
	for name, writer := range map[string]func(t *testing.T, s *Store) error{
		"a line": func(t *testing.T, s *Store) error {
			_, err := s.Mount([]string{"A"}, job(t, Print).Date, job(t, Print).Date, "tester", "test")
			return err
		},
		"an import": func(t *testing.T, s *Store) error {
			other := t.TempDir()
			carry(t, other, job(t, Print, example(t, "A", 6.5)))
			carry(t, other, job(t, Print, example(t, "B", 6.5)))
			longer, err := os.ReadFile(filepath.Join(other, LedgerFile))
			if err != nil {
				return err
			}
			return s.Extend(longer, func() error { return nil })
		},
	} {
		dir := t.TempDir()
		carry(t, dir, job(t, Print, example(t, "A", 6.5)))
		folders, _ := filepath.Glob(filepath.Join(dir, "records", "*"))
		left := []string{filepath.Join(folders[0], ".left.json.1.tmp"), filepath.Join(dir, "."+KeysFile+".1.tmp"), filepath.Join(dir, ".site.toml.1.tmp")}
		for _, file := range left {
			if err := os.WriteFile(file, []byte("{"), 0o644); err != nil {
				t.Fatal(err)
			}
		}
		if err := writer(t, Open(dir)); err != nil {
			t.Fatal(name, err)
		}
		for _, file := range left {
			if _, err := os.Stat(file); err == nil {
				t.Errorf("%s leaves %s", name, filepath.Base(file))
			}
		}
	}
}

// The next writer removes folders of records in which a print that failed or was killed left nothing.
func TestEmptyFoldersAreSwept(t *testing.T) {
	dir := t.TempDir()
	carry(t, dir, job(t, Print, example(t, "A", 6.5)))
	used, _ := filepath.Glob(filepath.Join(dir, "records", "*"))
	for _, name := range []string{"00", "ff", "notes", "0g"} {
		if err := os.MkdirAll(filepath.Join(dir, "records", name), 0o755); err != nil {
			t.Fatal(err)
		}
	}
	if _, err := Open(dir).Withdraw("A", job(t, Print).Date, "torn", "tester", "test"); err != nil {
		t.Fatal(err)
	}
	left, _ := filepath.Glob(filepath.Join(dir, "records", "*"))
	if len(left) != len(used)+2 { // those that the program does not make are for audit
		t.Errorf("%v is left", left)
	}
}

// A folder of records that was not changed after the ledger is not listed, unless a writer before did not end
// in order: with many records, that takes longer than everything else that a line needs.
func TestOnlyChangedFoldersAreSwept(t *testing.T) {
	dir := t.TempDir()
	carry(t, dir, job(t, Print, example(t, "A", 6.5)))
	folders, _ := filepath.Glob(filepath.Join(dir, "records", "*"))
	left := filepath.Join(folders[0], ".left.json.1.tmp")
	mount := func() bool {
		t.Helper()
		if err := os.WriteFile(left, []byte("{"), 0o644); err != nil {
			t.Fatal(err)
		}
		info, err := os.Stat(filepath.Join(dir, LedgerFile))
		if err != nil {
			t.Fatal(err)
		}
		before := info.ModTime().Add(-time.Second)
		if err := os.Chtimes(folders[0], before, before); err != nil {
			t.Fatal(err)
		}
		if _, err := Open(dir).Mount([]string{"A"}, job(t, Print).Date, job(t, Print).Date, "tester", "test"); err != nil {
			t.Fatal(err)
		}
		_, err = os.Stat(left)
		return err == nil
	}
	if !mount() {
		t.Error("the folder was listed")
	}
	if j := job(t, Print, example(t, "B", 6.5)); Open(dir).Carry(j, &Pending{path: filepath.Join(dir, "none", "out.pdf")}) == nil {
		t.Fatal("it was printed")
	}
	if mount() {
		t.Error("after a print that failed the folder was not listed")
	}
}
