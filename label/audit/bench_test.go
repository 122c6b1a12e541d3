package audit

import (
	"crypto/sha256"
	"fmt"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"testing"

	"vouchmark/assess"
	"vouchmark/label/record"
)

// many is a folder with the records of n labels, each printed once, a hundred
// at a time.
func many(b *testing.B, n int) string {
	b.Helper()
	dir := b.TempDir()
	for from := 0; from < n; from += 100 {
		j := record.Job{Kind: record.Print, Date: day(b, "2026-05-01"), Stock: "4x4", By: "x", Tool: "v1"}
		for i := from; i < min(n, from+100); i++ {
			j.Sheet = append(j.Sheet, record.Sheet{Record: example(b, fmt.Sprintf("L-%d", i), assess.CalCM2(2+float64(i%300)/10))})
		}
		out, err := record.Prepare(filepath.Join(dir, "out.pdf"), []byte("PDF"), 0o644)
		if err != nil {
			b.Fatal(err)
		}
		if err := record.Open(dir).Carry(j, out); err != nil {
			b.Fatal(err)
		}
	}
	return dir
}

// The names and links of 10,000 records; reading and hashing the same files alone,
// here and by another program; and reading each record and judging it again.
func BenchmarkAudit(b *testing.B) {
	const n = 10_000
	dir := many(b, n)
	folder := os.DirFS(dir)
	fresh := func() *audit {
		a := &audit{Report: &Report{Today: day(b, "2026-05-02")}, folder: folder}
		if err := a.links(); err != nil {
			b.Fatal(err)
		}
		return a
	}
	b.Run("names", func(b *testing.B) {
		for b.Loop() {
			a := fresh()
			a.read(func(*file, []byte) {})
			if err := a.files(); err != nil || len(a.Problems) > 0 {
				b.Fatal(err, a.Problems)
			}
		}
	})
	b.Run("hashes", func(b *testing.B) {
		for b.Loop() {
			err := fs.WalkDir(folder, ".", func(name string, d fs.DirEntry, err error) error {
				if err != nil || d.IsDir() {
					return err
				}
				data, err := fs.ReadFile(folder, name)
				sum := sha256.Sum256(data)
				_ = sum
				return err
			})
			if err != nil {
				b.Fatal(err)
			}
		}
	})
	b.Run("sha256sum", func(b *testing.B) {
		if _, err := exec.LookPath("sha256sum"); err != nil {
			b.Skip(err)
		}
		for b.Loop() {
			c := exec.Command("sh", "-c", "find records -name '*.json' | xargs sha256sum >/dev/null")
			c.Dir = dir
			if err := c.Run(); err != nil {
				b.Fatal(err)
			}
		}
	})
	b.Run("follow", func(b *testing.B) {
		for b.Loop() {
			a := fresh()
			a.read(a.judge())
			if a.follow(); len(a.Problems) > 0 {
				b.Fatal(a.Problems)
			}
		}
		b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/n, "ns/record")
	})
}
