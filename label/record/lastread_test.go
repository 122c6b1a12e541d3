package record

import (
	"bytes"
	"os"
	"path/filepath"
	"reflect"
	"runtime"
	"testing"
)

// Whatever happens to the file between two readings, a store that remembers the ledger reads what one
// that remembers nothing reads.
func TestLastRead(t *testing.T) {
	dir := t.TempDir()
	carry(t, dir, job(t, Print, example(t, "A", 6.5), example(t, "B", 7.5)))
	file := filepath.Join(dir, LedgerFile)
	first, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	carry(t, dir, job(t, Reprint, example(t, "A", 6.5)))
	longer, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	remembers := Open(dir)
	remembers.Last = &LastRead{}
	for i, text := range [][]byte{nil, first, first, longer, longer, longer[:len(longer)-2], longer[:len(longer)-9], longer,
		bytes.Replace(longer, []byte("tester"), []byte("taster"), 1), longer, first, append(bytes.Clone(first), "{"...), first} {
		if err := os.WriteFile(file, text, 0o644); err != nil {
			t.Fatal(err)
		}
		want, wrong := Open(dir).Ledger()
		got, err := remembers.Ledger()
		if (err == nil) != (wrong == nil) || err != nil && err.Error() != wrong.Error() {
			t.Errorf("%d: %v, want %v", i, err, wrong)
		} else if err == nil && (got.size != want.size || got.Head() != want.Head() || !reflect.DeepEqual(got.Lines, want.Lines) ||
			!bytes.Equal(got.Torn, want.Torn) || !bytes.Equal(got.Lacks, want.Lacks)) {
			t.Errorf("%d: %+v, want %+v", i, got, want)
		}
	}
}

// A ledger that did not change is read again without memory for its text.
func TestLastReadTakesNoMemory(t *testing.T) {
	dir := t.TempDir()
	sheet := job(t, Print)
	one := Sheet{Record: example(t, "A", 6.5)}
	for range 1500 {
		sheet.Sheet = append(sheet.Sheet, one)
	}
	carry(t, dir, sheet)
	info, err := os.Stat(filepath.Join(dir, LedgerFile))
	if err != nil {
		t.Fatal(err)
	}
	s := Open(dir)
	s.Last = &LastRead{}
	if _, err := s.Ledger(); err != nil {
		t.Fatal(err)
	}
	var before, after runtime.MemStats
	runtime.ReadMemStats(&before)
	if _, err := s.Ledger(); err != nil {
		t.Fatal(err)
	}
	runtime.ReadMemStats(&after)
	if took := after.TotalAlloc - before.TotalAlloc; took > uint64(info.Size()) || info.Size() < 200<<10 {
		t.Errorf("%d bytes for a ledger of %d", took, info.Size())
	}
}
