package main

import (
	"bytes"
	"compress/zlib"
	"crypto/sha256"
	"io"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"testing"
	"time"

	"vouchmark/assess"
	"vouchmark/assess/arc"
	"vouchmark/layout/commands"
	"vouchmark/layout/press"
	"vouchmark/layout/qr"
	"vouchmark/testdata/suite"
)

const labels = 1000

var sample = filepath.Join("..", "..", "samples", "creamery")

// perLabel reports the processor time of a label.
func perLabel(b *testing.B, used time.Duration) {
	b.ReportMetric(float64(used)/1e6/float64(b.N)/labels, "cpu-ms/label")
}

// whole runs f once in each iteration.
func whole(b *testing.B, f func()) {
	b.ReportAllocs()
	start := suite.CPU()
	for b.Loop() {
		f()
	}
	perLabel(b, suite.CPU()-start)
}

func newSite(b *testing.B) string {
	b.Helper()
	dir := b.TempDir()
	if err := writeSite(sample, labels, dir); err != nil {
		b.Fatal(err)
	}
	return dir
}

// printed prints all labels of a site into the file labels.pdf in its folder, as the program does.
func printed(b *testing.B, dir string) {
	b.Helper()
	var said bytes.Buffer
	e := &commands.Env{Stdout: &said, Stderr: &said, Now: time.Now, Width: 80}
	table := []commands.Command{{Name: "print", Setup: commands.Print}}
	args := []string{"print", "--site", dir, "--today", today, "--by", "R. Example", "--out", filepath.Join(dir, "labels.pdf")}
	if code := commands.Run(e, table, args); code != 0 {
		b.Fatalf("exit code %d: %s", code, said.String())
	}
}

func items(b *testing.B) []press.Item {
	b.Helper()
	_, all, err := drawings(newSite(b))
	if err != nil {
		b.Fatal(err)
	}
	if len(all) != labels {
		b.Fatalf("%d labels", len(all))
	}
	return all
}

// BenchmarkPrint1000 is a whole print of 1,000 labels: the folder is read and checked, the
// labels are drawn, the records and the ledger's line are stored, the PDF is written.
func BenchmarkPrint1000(b *testing.B) {
	b.ReportAllocs()
	var used time.Duration
	for b.Loop() {
		b.StopTimer()
		dir := newSite(b)
		b.StartTimer()
		start := suite.CPU()
		printed(b, dir)
		used += suite.CPU() - start
	}
	perLabel(b, used)
}

// streams are the compressed streams of a PDF, unpacked.
func streams(b *testing.B, pdf []byte) (all [][]byte) {
	b.Helper()
	for _, part := range bytes.Split(pdf, []byte("\nstream\n"))[1:] {
		r, err := zlib.NewReader(bytes.NewReader(part))
		if err != nil {
			continue // not packed
		}
		content, err := io.ReadAll(r)
		if err != nil {
			b.Fatal(err)
		}
		all = append(all, content)
	}
	if len(all) < labels {
		b.Fatalf("%d streams", len(all))
	}
	return all
}

// BenchmarkDeflate1000 only compresses the streams of the PDF, at the fastest level, which the
// program uses for pages, and at the usual one.
func BenchmarkDeflate1000(b *testing.B) {
	dir := newSite(b)
	printed(b, dir)
	pdf, err := os.ReadFile(filepath.Join(dir, "labels.pdf"))
	if err != nil {
		b.Fatal(err)
	}
	all := streams(b, pdf)
	for _, level := range []struct {
		name string
		zlib int
	}{{"fastest", zlib.BestSpeed}, {"usual", zlib.DefaultCompression}} {
		b.Run(level.name, func(b *testing.B) {
			w, _ := zlib.NewWriterLevel(nil, level.zlib) // a level that exists
			whole(b, func() {
				for _, content := range all {
					w.Reset(io.Discard)
					w.Write(content)
					w.Close()
				}
			})
		})
	}
}

// records are the records of the labels, as they are stored.
func records(b *testing.B) (all [][]byte) {
	b.Helper()
	for _, i := range items(b) {
		data, _, err := i.Record.Encode()
		if err != nil {
			b.Fatal(err)
		}
		all = append(all, data)
	}
	return all
}

// BenchmarkHash1000 only hashes the records once.
func BenchmarkHash1000(b *testing.B) {
	all := records(b)
	var sum [sha256.Size]byte
	whole(b, func() {
		for _, data := range all {
			sum = sha256.Sum256(data)
		}
	})
	if sum == [sha256.Size]byte{} {
		b.Fatal("nothing hashed")
	}
}

// BenchmarkFiles1000 only writes the records into new files, without waiting for the disk.
func BenchmarkFiles1000(b *testing.B) {
	all := records(b)
	parent := b.TempDir()
	n := 0
	whole(b, func() {
		dir := filepath.Join(parent, strconv.Itoa(n))
		n++
		if err := os.Mkdir(dir, 0o755); err != nil {
			b.Fatal(err)
		}
		for i, data := range all {
			if err := os.WriteFile(filepath.Join(dir, strconv.Itoa(i)), data, 0o644); err != nil {
				b.Fatal(err)
			}
		}
	})
}

// BenchmarkQR1000 only encodes the QR codes.
func BenchmarkQR1000(b *testing.B) {
	var texts []string
	for _, i := range items(b) {
		texts = append(texts, i.Label().QR)
	}
	whole(b, func() {
		for _, text := range texts {
			if _, err := qr.Encode(text); err != nil {
				b.Fatal(err)
			}
		}
	})
}

// arcs is a case that the equations of IEEE 1584 evaluate.
type arcs struct {
	in            arc.Input
	full, reduced float64 // durations in ms
}

func evaluations(b *testing.B) (all []arcs) {
	b.Helper()
	for _, i := range items(b) {
		r := i.Record
		for n, c := range r.Computed {
			if c == nil || c.Method != assess.IEEE1584 {
				continue
			}
			in, err := assess.ArcInput(r.Location, &r.Location.Cases[n])
			if err != nil {
				b.Fatal(err)
			}
			all = append(all, arcs{in, float64(c.Clear), float64(c.ClearReduced)})
		}
	}
	if len(all) < labels/2 {
		b.Fatalf("%d cases", len(all))
	}
	return all
}

var sink float64

// BenchmarkEquations1000 only evaluates the equations of IEEE 1584 once for each case of the
// labels that has them, without their steps.
func BenchmarkEquations1000(b *testing.B) {
	all := evaluations(b)
	whole(b, func() {
		for i := range all {
			r, err := arc.Evaluate(&all[i].in, all[i].full, all[i].reduced, nil)
			if err != nil {
				b.Fatal(err)
			}
			sink += r.Energy
		}
	})
	b.ReportMetric(float64(len(all)), "cases")
}

// BenchmarkLogs1000 only makes the logarithms and exponentials of these evaluations, as
// counted in assess/arc.
func BenchmarkLogs1000(b *testing.B) {
	all := evaluations(b)
	whole(b, func() {
		for i := range all {
			logs, exps := 8, 5
			if all[i].in.VoltageV > 600 {
				logs, exps = 10, 15
			}
			for k := range logs {
				sink += math.Log(1.7 + float64(k))
			}
			for k := range exps {
				sink += math.Exp(1.7 + 0.3*float64(k))
			}
		}
	})
}
