package site

import (
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"testing/fstest"

	"vouchmark/assess/infile"
)

// tableOf reads a CSV file with what is in front of a reader of rows.
func tableOf(folder fs.FS) (*table, Problems) {
	r := newReader(folder, Options{})
	t := r.readTable("locations.csv", nil)
	return t, r.problems.All()
}

// A table is read up to its limits, and one cell, column or byte more is one clear problem.
func TestTableLimits(t *testing.T) {
	many := strings.Repeat
	long := many("x", longestCell)
	for what, c := range map[string]struct {
		text string
		want string // "" for none
	}{
		"columns":                    {many("x,", mostColumns-1) + "x\n1\n", ""},
		"a column more":              {many("x,", mostColumns) + "x\n1\n", "locations.csv:1: found 1001 columns, expected at most 1000; correct this line"},
		"columns of a row":           {"a\n" + many(",", mostColumns-1) + "1\n", ""},
		"a column of a row more":     {"a\n1\n" + many(",", mostColumns) + "1\n", "locations.csv:3: found 1001 columns"},
		"quoted columns of a row":    {"a\n1\n" + many(`"",`, mostColumns) + "1\n", "locations.csv:3: found 1001 columns"},
		"columns on several lines":   {"a\n" + many("\"\n\",", mostColumns) + "1\n", "locations.csv:1002: found 1001 columns"},
		"a cell":                     {"a,b\n" + long + ",1\n", ""},
		"a longer one":               {"a,b\n1," + long + "x\n", "locations.csv:2: found a cell of more than 64 KiB, expected at most that; correct this line"},
		"the first of a row":         {"a,b\n" + long + "x,1\n", "locations.csv:2: found a cell of more than 64 KiB"},
		"long cells":                 {"a,b\n" + many(long+",", 10) + "\n", ""},
		"one with a mark":            {"a,b\n1," + long[2:] + "1\"\n", ""},
		"a longer one with a mark":   {"a,b\n1," + long + "1\"\n", "locations.csv:2: found a cell of more than 64 KiB"},
		"a quoted one":               {"a,b\n\"" + long + "\",1\n", ""},
		"a longer quoted one":        {"a,b\n\"" + long + "xx\",1\n", "locations.csv:2: found a cell of more than 64 KiB"},
		"a quoted one of many lines": {"a,b\n\"" + many("x\n", longestCell/2-1) + "\",1\n", ""},
		"one that is not closed": {"a,b\n1,\"" + many("x\n", longestCell), "locations.csv:32770: found a cell of more than 64 KiB: " +
			"a quotation mark that opens above and is not closed up to here"},
		"a text without an end": {"a,b\n" + many(long+",", 1200), "found a line of more than 64 KiB for each of the columns"},
		"rows":                  {"a\n" + many("1\n", mostRows), ""},
		"a row more":            {"a\n" + many("1\n", mostRows+1), "locations.csv:1048578: found more than 1048576 rows, expected at most 1048576; nothing from"},
		"blank lines":           {many("\n", 3*mostRows) + "a\n" + many(",,\n\n", mostRows) + "1\n", ""},
	} {
		read, ps := tableOf(fstest.MapFS{"locations.csv": {Data: []byte(c.text)}})
		if c.want == "" && (ps != nil || read == nil) || c.want != "" && (len(ps) != 1 || !strings.Contains(ps[0].String(), c.want)) {
			t.Errorf("%s: %.300v", what, ps)
		}
	}
	was := mostCells
	defer func() { mostCells = was }()
	mostCells = 7
	if _, ps := tableOf(fstest.MapFS{"locations.csv": {Data: []byte("a,b,c\n1,2\n1,2\n")}}); ps != nil {
		t.Error(ps)
	}
	if _, ps := tableOf(fstest.MapFS{"locations.csv": {Data: []byte("a,b,c\n1,2\n1,2,3\n")}}); len(ps) != 1 || !strings.Contains(ps.Error(), "locations.csv:3: found more than 7 cells") {
		t.Error(ps)
	}
}

// A file may have so many bytes; what it has is known before it is opened.
func TestLargestTable(t *testing.T) {
	dir := t.TempDir()
	for size, want := range map[int64]string{
		infile.GiB:     "locations.csv:1: character 1: found a file with zero bytes",
		infile.GiB + 1: "locations.csv: found a file of more than 1 GiB, expected at most 1 GiB; split it",
	} {
		file := filepath.Join(dir, "locations.csv")
		if err := os.WriteFile(file, nil, 0o644); err != nil {
			t.Fatal(err)
		}
		if err := os.Truncate(file, size); err != nil { // no block of the disk is used
			t.Fatal(err)
		}
		var ps Problems
		took := allocated(func() { _, ps = tableOf(os.DirFS(dir)) })
		if len(ps) != 1 || !strings.HasPrefix(ps[0].String(), want) || took > 256*infile.MiB {
			t.Errorf("%d bytes: %v, %d MB", size, ps, took>>20)
		}
	}
}

// Reading takes memory for the cells, once as the CSV reader has them and once as they are kept.
func TestMemoryOfTable(t *testing.T) {
	for what, c := range map[string]struct {
		line string
		most int // times the size
	}{
		"blank lines": {"\n", 1},
		"empty cells": {",,,,,,,\n", 16},
		"cells":       {"a,b,c,d,e,f,g,h\n", 16},
		"long cells":  {strings.Repeat("x", 1000) + ",1\n", 3},
		"blanks":      {strings.Repeat(" ", 1000) + "\n", 2},
	} {
		const size = 8 * infile.MiB
		folder := fstest.MapFS{"locations.csv": {Data: []byte("h\n" + strings.Repeat(c.line, size/len(c.line)))}}
		if took := allocated(func() { tableOf(folder) }); took > uint64(c.most*size+infile.MiB) {
			t.Errorf("%s: %d MB for %d MB", what, took>>20, size>>20)
		}
	}
}

// A report stays short, whatever the files have: the first problems of a kind, and how many more.
func TestReportsStayShort(t *testing.T) {
	const n = 50_000
	lines := func(format string) string {
		var b strings.Builder
		for i := range n {
			fmt.Fprintf(&b, format, i)
		}
		return b.String()
	}
	cells := make([]string, 900)
	for i := range cells {
		cells[i] = fmt.Sprintf("stranger %d", i)
	}
	good := map[string]string{"site.toml": goodPolicy, "locations.csv": goodRows, "changes.toml": ""}
	for what, c := range map[string]struct{ file, text string }{
		"changes":             {"changes.toml", strings.Repeat("[[change]]\n", n)},
		"unknown keys":        {"changes.toml", lines("a%d = 1\n")},
		"keys of two letters": {"site.toml", goodPolicy + "[columns]\n" + strings.ReplaceAll(lines("k%d=1\n"), "0", "o") + "\n"},
		"unknown places":      {"changes.toml", "[[review]]\nscope=[" + lines("\"X%d\",") + "]\n"},
		"duplicates":          {"locations.csv", goodRows + strings.Repeat("P-1\n", n)},
		"headings":            {"locations.csv", strings.Join(cells, ",") + "\n1\n"},
		"long rows":           {"locations.csv", goodRows + strings.Repeat("P-1,,,,,,,,,,,,,,,,,\n", n)},
		"transformers":        {"site.toml", goodPolicy + strings.Repeat("[[transformer]]\n", 50_000)},
	} {
		folder := fstest.MapFS{}
		for file, text := range good {
			if file == c.file {
				text = c.text
			}
			folder[file] = &fstest.MapFile{Data: []byte(text)}
		}
		var err error
		took := allocated(func() { _, err = Read(folder, Options{Languages: []string{"en", "es"}}) })
		ps, _ := err.(Problems)
		text := fmt.Sprint(err)
		if len(ps) == 0 || len(ps) > 2*mostProblems+2 || len(text) > 500_000 || ps.Count() < 800 {
			t.Errorf("%s: %d problems of %d, %d bytes: %.500s", what, len(ps), ps.Count(), len(text), text)
		}
		if most := uint64(400*len(c.text) + 4096*strings.Count(c.text, "\n") + infile.MiB); took > most {
			t.Errorf("%s: %d MB for %d KB", what, took>>20, len(c.text)>>10)
		}
	}
}
