package sheet

import (
	"encoding/csv"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// TestStudies reads the files in testdata/studies: each value that
// expected.csv has must be in a cell of the row that it names.
func TestStudies(t *testing.T) {
	for _, c := range []struct {
		file, sheet, encoding string
		delimiter             rune
		rows                  int // of all kinds
	}{
		{"granary/granary.xlsx", "Results", "", 0, 32},
		{"foundry/foundry.xlsx", "Results", "", 0, 21},
		{"cannery/cannery.csv", "", UTF8, ';', 19},
		{"ferry/ferry.txt", "", UTF16, '\t', 22},
		{"brewery/brewery.csv", "", Windows1252, ',', 23},
	} {
		path := filepath.Join("../../../testdata/studies", c.file)
		data, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		b, err := Read(c.file, data, Options{})
		if err != nil {
			t.Errorf("%s: %v", c.file, err)
			continue
		}
		s := b.Sheets[slices.IndexFunc(b.Sheets, func(s Sheet) bool { return s.Name == c.sheet })]
		if b.Encoding != c.encoding || b.Delimiter != c.delimiter || len(s.Rows) != c.rows {
			t.Errorf("%s: encoding %q, delimiter %q, %d rows", c.file, b.Encoding, b.Delimiter, len(s.Rows))
		}
		compared := compare(t, s, filepath.Join(filepath.Dir(path), "expected.csv"))
		if compared < 180 {
			t.Errorf("%s: %d values compared", c.file, compared)
		}
	}
}

// compare looks for the values of expected.csv in a sheet, and is how many it found.
func compare(t *testing.T, s Sheet, path string) int {
	t.Helper()
	f, err := os.Open(path)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	expected, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	// What is merged, or is in another form: 13.8 kV, 1'-5", SWB-1 breaker 1, 3-phase AC.
	other := []string{"area", "supply", "voltage_v", "boundary_in", "device_at", "source"}
	found := 0
	for _, row := range expected[1:] {
		source := row[len(row)-1]
		number, err := strconv.Atoi(source[strings.LastIndexByte(source, ' ')+1:])
		at := slices.IndexFunc(s.Rows, func(r Row) bool { return r.Number == number })
		if err != nil || at < 0 {
			t.Errorf("%s: no such row: %s", path, source)
			continue
		}
		for i, want := range row {
			if want == "" || slices.Contains(other, expected[0][i]) {
				continue
			}
			if !slices.ContainsFunc(s.Rows[at].Cells, func(c Cell) bool { return says(c, want) }) {
				t.Errorf("%s: %s %s is in no cell of %v", source, expected[0][i], want, s.Rows[at].Cells)
			}
			found++
		}
	}
	return found
}

// says reports whether a cell has a value of expected.csv.
func says(c Cell, want string) bool {
	if c.Shown == want || c.Raw == want || strings.EqualFold(c.Shown, want) {
		return true
	}
	w, err := strconv.ParseFloat(want, 64)
	for _, s := range []string{c.Raw, c.Shown, strings.Replace(c.Shown, ",", ".", 1)} {
		if got, bad := strconv.ParseFloat(s, 64); bad == nil && err == nil && got == w {
			return true
		}
	}
	y, md, _ := strings.Cut(want, "-")
	m, d, _ := strings.Cut(md, "-")
	m1, d1 := strings.TrimPrefix(m, "0"), strings.TrimPrefix(d, "0")
	return c.Shown == m1+"/"+d1+"/"+y || c.Shown == d+"/"+m+"/"+y
}
