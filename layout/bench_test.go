package layout

import (
	"runtime"
	"testing"
	"time"

	"github.com/boombuler/barcode/qr"

	"vouchmark/testdata/suite"
)

const benchLabels = 1000

// BenchmarkPrint1000 prints 1,000 labels into one document. Compare its
// cpu-ms/label with BenchmarkLibraryQR1000's: testdata/ratios has the goal.
func BenchmarkPrint1000(b *testing.B) {
	job := sampleJob("4x4", manyLabels(benchLabels))
	b.ReportAllocs()
	var before, after runtime.MemStats
	runtime.ReadMemStats(&before)
	start := suite.CPU()
	size := 0
	for b.Loop() {
		pdf, err := jobPDF(job)
		if err != nil {
			b.Fatal(err)
		}
		size = len(pdf)
	}
	report(b, start)
	runtime.ReadMemStats(&after)
	each := func(total uint64) float64 { return float64(total) / float64(b.N) / benchLabels }
	b.ReportMetric(each(after.Mallocs-before.Mallocs), "allocs/label")
	b.ReportMetric(each(after.TotalAlloc-before.TotalAlloc), "allocated-B/label")
	b.ReportMetric(float64(size)/benchLabels, "B/label")
}

// BenchmarkQR1000 only encodes the QR texts of the same labels.
func BenchmarkQR1000(b *testing.B) {
	labels := manyLabels(benchLabels)
	texts := make([]string, len(labels))
	for i, l := range labels {
		texts[i] = l.QR
	}
	b.ReportAllocs()
	start := suite.CPU()
	for b.Loop() {
		if _, err := EncodeQR(texts); err != nil {
			b.Fatal(err)
		}
	}
	report(b, start)
}

// BenchmarkLibraryQR1000 encodes the same texts with the library alone.
func BenchmarkLibraryQR1000(b *testing.B) {
	labels := manyLabels(benchLabels)
	start := suite.CPU()
	for b.Loop() {
		for _, l := range labels {
			if _, err := qr.Encode(l.QR, qr.M, qr.Auto); err != nil {
				b.Fatal(err)
			}
		}
	}
	report(b, start)
}

func report(b *testing.B, start time.Duration) {
	b.ReportMetric(float64(suite.CPU()-start)/1e6/float64(b.N)/benchLabels, "cpu-ms/label")
}
