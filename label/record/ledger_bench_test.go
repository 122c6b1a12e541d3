package record

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"testing"
)

// bench is the text of a ledger of n lines: prints of two labels, each done.
func bench(b *testing.B, n int) []byte {
	b.Helper()
	var text bytes.Buffer
	day, record := job(b, Print).Date, firstPrev
	prev := firstPrev
	for i := range n {
		l := Line{Kind: Done, Date: day, Of: prev}
		if i%2 == 0 {
			l = Line{Kind: Print, Date: day, Stock: "letter-4x4", Count: 2, By: "tester", Tool: "test",
				Labels: []Printed{{ID: "MCC-4", Record: record, Copy: i/2 + 1}, {ID: "MCC-5", Record: record, Copy: i/2 + 1}}}
		}
		data, err := l.seal(prev)
		if err != nil {
			b.Fatal(err)
		}
		text.Write(data)
		prev = l.Hash
	}
	return text.Bytes()
}

// Opening a ledger for writing and appending a line takes linear time, since the
// whole chain is checked before a line is added to its end.
func BenchmarkAppend(b *testing.B) {
	for _, n := range []int{1_000, 100_000, 1_000_000} {
		b.Run(fmt.Sprint(n, " lines"), func(b *testing.B) {
			dir := b.TempDir()
			text := bench(b, n)
			if err := os.WriteFile(filepath.Join(dir, LedgerFile), text, 0o644); err != nil {
				b.Fatal(err)
			}
			b.SetBytes(int64(len(text)))
			for b.Loop() {
				if err := Open(dir).Note(func(*Ledger) (Line, error) { return Line{Kind: Mounted, Date: job(b, Print).Date}, nil }); err != nil {
					b.Fatal(err)
				}
			}
			b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/float64(n), "ns/line")
		})
	}
}
