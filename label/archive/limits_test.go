package archive

import (
	"archive/zip"
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"
	"testing/fstest"

	"vouchmark/assess/infile"
	"vouchmark/label/record"
)

// allocated is how many bytes a function asks for.
func allocated(f func()) uint64 {
	var before, after runtime.MemStats
	runtime.ReadMemStats(&before)
	f()
	runtime.ReadMemStats(&after)
	return after.TotalAlloc - before.TotalAlloc
}

// limited lowers the limits for a test.
func limited(t *testing.T, lower func(*limits)) {
	t.Helper()
	was := most
	t.Cleanup(func() { most = was })
	lower(&most)
}

// archiveOf has a ledger and n records that no line names.
func archiveOf(t testing.TB, n int) string {
	t.Helper()
	var b bytes.Buffer
	z := zip.NewWriter(&b)
	for i := range n {
		name := fmt.Sprintf("records/00/%064d.json", i)
		if i == 0 {
			name = record.LedgerFile
		}
		if _, err := z.CreateRaw(&zip.FileHeader{Name: name}); err != nil {
			t.Fatal(err)
		}
	}
	if err := z.Close(); err != nil {
		t.Fatal(err)
	}
	file := filepath.Join(t.TempDir(), "n.zip")
	if err := os.WriteFile(file, b.Bytes(), 0o644); err != nil {
		t.Fatal(err)
	}
	return file
}

// refuses checks that an archive is refused for a limit, and is not unpacked before.
func refuses(t *testing.T, file, want string) {
	t.Helper()
	took := allocated(func() {
		if _, err := Open(file); err == nil || !strings.Contains(err.Error(), want) || !strings.Contains(err.Error(), "nothing of it was read") {
			t.Errorf("%v, want %s", err, want)
		}
	})
	if info, err := os.Stat(file); err != nil || took > 16*uint64(info.Size())+infile.MiB {
		t.Errorf("%d bytes for an archive of %d, %v", took, info.Size(), err)
	}
}

// As many files as the limit are read, one more are not.
func TestMostFiles(t *testing.T) {
	limited(t, func(l *limits) { l.files = 1000 })
	open(t, archiveOf(t, 1000))
	refuses(t, archiveOf(t, 1001), "it lists 1001 files, and an archive of records has at most 1000")
}

// The list of files is read up to its limit, whatever it claims.
func TestLongDirectory(t *testing.T) {
	file := archiveOf(t, 1000)
	info, err := os.Stat(file)
	if err != nil {
		t.Fatal(err)
	}
	limited(t, func(l *limits) { l.directory = info.Size() + 1<<16 }) // its end is looked for first
	open(t, file)
	limited(t, func(l *limits) { l.directory = 64 * infile.KiB })
	refuses(t, file, "the list of its files has more than 64 KiB")
}

// The limits hold at their edges: as much as the limit is read, one byte more is not.
func TestRatio(t *testing.T) {
	const size = 200_000
	m := fstest.MapFS{record.LedgerFile: {}, "site.toml": {Data: bytes.Repeat([]byte("\n"), size)}}
	file := pack(t, m)
	info, err := os.Stat(file)
	if err != nil {
		t.Fatal(err)
	}
	limited(t, func(l *limits) { l.free = size })
	open(t, file)
	limited(t, func(l *limits) { l.free, l.ratio = size-1, size/info.Size()+1 })
	open(t, file)
	limited(t, func(l *limits) { l.free, l.ratio = size-1, size/info.Size() })
	refuses(t, file, fmt.Sprintf("its files have %d times its own size", size/info.Size()))
	limited(t, func(l *limits) { l.packed = info.Size() })
	open(t, archiveOf(t, 1))
	limited(t, func(l *limits) { l.packed = info.Size() - 1 })
	refuses(t, file, fmt.Sprintf("it has %d bytes", info.Size()))
}

// What unpacks to more than the ratio is written without compression, and read again.
func TestExportWithinRatio(t *testing.T) {
	dir := t.TempDir()
	_, err := record.Open(dir).TakeIn(record.Taken{Date: day(t), Study: record.Kept{Name: "R.csv", Data: bytes.Repeat([]byte(",\n"), infile.MiB)},
		Files: []record.Replaced{{Name: "locations.csv", New: []byte(rows)}}})
	if err != nil {
		t.Fatal(err)
	}
	for _, free := range []int64{most.free, infile.MiB} {
		limited(t, func(l *limits) { l.free = free })
		file := filepath.Join(dir, fmt.Sprint(free, ".zip"))
		if files, err := WriteFile(file, os.DirFS(dir)); err != nil || files != 2 {
			t.Error(files, err)
		}
		if p := problems(t, open(t, file)); len(p) > 0 {
			t.Error(p)
		}
	}
	if left, _ := filepath.Glob(filepath.Join(dir, ".*.tmp")); left != nil {
		t.Errorf("%q are left", left)
	}
}
