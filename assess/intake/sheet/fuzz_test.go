package sheet

import (
	"os"
	"path/filepath"
	"runtime"
	"testing"
	"unicode/utf8"

	"golang.org/x/text/encoding/charmap"
)

// FuzzRead: no file makes Read panic or take memory out of proportion, and what
// is read keeps what Sheet promises.
func FuzzRead(f *testing.F) {
	files, err := filepath.Glob("testdata/*")
	if err != nil {
		f.Fatal(err)
	}
	for _, name := range files {
		if data, err := os.ReadFile(name); err == nil {
			f.Add(data)
		}
	}
	f.Add([]byte(samples))
	f.Add([]byte(markLE + "i\x00d\x00,\x00v\x00\n\x00"))
	f.Add([]byte("id;v\r\"a\"\"b\";\"1\n2\"\r"))
	if b, err := charmap.Windows1252.NewEncoder().Bytes([]byte(samples)); err == nil {
		f.Add(b)
	}
	f.Add(bare(f, row1, `<cols/><mergeCells><mergeCell ref="A1:B2"/></mergeCells>`))
	small := limits{file: 1 << 20, unzipped: 1 << 20, markup: 1 << 14, rows: 1000, columns: 100, chars: 1000, cells: 10000,
		strings: 1000, styles: 100, merges: 50, problems: 5}
	f.Fuzz(func(t *testing.T, data []byte) {
		var before, after runtime.MemStats
		runtime.ReadMemStats(&before)
		b, err := read("study", data, Options{}, small)
		runtime.ReadMemStats(&after)
		if took := after.TotalAlloc - before.TotalAlloc; took > 256<<20 {
			t.Errorf("%d bytes of memory for a file of %d bytes", took, len(data))
		}
		if (err == nil) != (b != nil) {
			t.Fatalf("book %v with error %v", b, err)
		}
		if err != nil {
			if ps, ok := err.(Error); !ok || len(ps) == 0 || len(ps) > small.problems+1 {
				t.Errorf("error %#v", err)
			}
			return
		}
		cells := 0
		for _, s := range b.Sheets {
			last := 0
			for _, row := range s.Rows {
				cells += len(row.Cells)
				if row.Number <= last || len(row.Cells) == 0 || row.Cells[len(row.Cells)-1].Kind == Empty {
					t.Errorf("row %d behind row %d: %v", row.Number, last, row.Cells)
				}
				last = row.Number
				for _, c := range row.Cells {
					keepsPromise(t, c)
				}
			}
		}
		if cells > small.cells {
			t.Errorf("%d cells", cells)
		}
	})
}

// keepsPromise checks a cell against the document of Cell.
func keepsPromise(t *testing.T, c Cell) {
	t.Helper()
	hasRaw := c.Kind == Number || c.Kind == Day
	noText := c.Kind == Empty || c.Kind == Unsaved
	switch {
	case (c.Raw != "") != hasRaw,
		noText && c.Shown != "",
		c.Kind == Text && c.Shown == "",
		blanks(c.Shown) != c.Shown,
		!utf8.ValidString(c.Shown),
		c.Kind == Number && !isNumber.MatchString(c.Raw),
		c.Kind == Day && !isoDay.MatchString(c.Raw):
		t.Errorf("cell %q", c)
	}
}
