package record

import (
	"os"
	"path/filepath"
	"testing"
)

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
