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
	f.Fuzz(func(t *testing.T, data []byte) { readSmall(t, data) })
}

// FuzzCells is FuzzRead for what is within a workbook: a change of a byte of a ZIP
// archive is found by its checksum at once.
func FuzzCells(f *testing.F) {
	f.Add(row1+`<row r="2" ht="0"><c r="B2" s="1"><v>46095</v></c></row>`, `<mergeCells><mergeCell ref="A1:B2"/></mergeCells>`, "0.00\" kV\";[Red]-0")
	f.Add(`<row><c t="b"><f/><v>1</v></c><c s="1"><v>-3.5</v></c></row>`, "", "[<1000]General\" V\";_(* #,##0.0,,?/?")
	f.Add(`<row hidden="1"><c t="str"><v>_x000D_</v></c><c s="1"><v>1e9</v></c></row>`, "", "[$-409]d-mmm-yy\\ [h]:mm AM/PM;@")
	f.Fuzz(func(t *testing.T, rows, rest, code string) {
		readSmall(t, bare(t, rows, rest, "xl/styles.xml",
			`<styleSheet><numFmts><numFmt numFmtId="200" formatCode="`+xmlText(code)+`"/></numFmts><cellXfs><xf/><xf numFmtId="200"/></cellXfs></styleSheet>`,
			"xl/_rels/workbook.xml.rels", `<Relationships><Relationship Id="b" Type="t/worksheet" Target="worksheets/s.xml"/>`+
				`<Relationship Id="c" Type="t/styles" Target="styles.xml"/></Relationships>`))
	})
}

// smallLimits make a file that takes too much show in a short time.
var smallLimits = limits{file: 1 << 20, unzipped: 1 << 20, markup: 1 << 14, rows: 1000, columns: 100, chars: 1000, cells: 10000,
	strings: 1000, styles: 100, merges: 50, problems: 5}

func readSmall(t *testing.T, data []byte) {
	t.Helper()
	var before, after runtime.MemStats
	runtime.ReadMemStats(&before)
	b, err := read("study", data, Options{}, smallLimits)
	runtime.ReadMemStats(&after)
	if took := after.TotalAlloc - before.TotalAlloc; took > 256<<20 {
		t.Errorf("%d bytes of memory for a file of %d bytes", took, len(data))
	}
	if (err == nil) != (b != nil) {
		t.Fatalf("book %v with error %v", b, err)
	}
	if err != nil {
		if ps, ok := err.(Error); !ok || len(ps) == 0 || len(ps) > smallLimits.problems+1 {
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
	if cells > smallLimits.cells {
		t.Errorf("%d cells", cells)
	}
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
