package commands

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"vouchmark/assess"
	"vouchmark/label/record"
)

// Work is counted, never timed: a thing that grows with the plant must not grow with its
// square, and one label must not cost the plant.

// many is a printed site of copies of the invented creamery, beside each other.
func many(t testing.TB, copies int) *Env {
	t.Helper()
	e := &Env{Stdout: io.Discard, Stderr: io.Discard, Now: time.Now, site: t.TempDir()}
	var err error
	if e.today, err = assess.ParseDate("2026-05-01"); err != nil {
		t.Fatal(err)
	}
	read := func(name string) []byte {
		data, err := os.ReadFile(filepath.Join("../../samples/creamery", name))
		if err != nil {
			t.Fatal(err)
		}
		return data
	}
	rows, err := csv.NewReader(bytes.NewReader(read("locations.csv"))).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	column := map[string]int{}
	for i, name := range rows[0] {
		column[name] = i
	}
	var table bytes.Buffer
	w := csv.NewWriter(&table)
	w.Write(rows[0])
	general, plates, _ := strings.Cut(string(read("site.toml")), "[[transformer]]")
	sources, site := "", general
	for n := range copies {
		tail := fmt.Sprintf("-%d", n)
		for _, row := range rows[1:] {
			row = append([]string(nil), row...)
			for _, name := range []string{"id", "fed_from", "device_at"} {
				if cell := &row[column[name]]; *cell != "" {
					*cell = strings.ReplaceAll(*cell, ";", tail+";") + tail
				}
			}
			w.Write(row)
		}
		sources += fmt.Sprintf("%q, %q, ", "TNK-US1"+tail, "GAL-BY1"+tail)
		site += regexp.MustCompile(`at = "([^"]*)"`).ReplaceAllString("\n[[transformer]]"+plates, `at = "${1}`+tail+`"`)
	}
	w.Flush()
	site = regexp.MustCompile(`sources = .*`).ReplaceAllString(site, "sources = ["+sources+"]")
	for name, data := range map[string][]byte{"locations.csv": table.Bytes(), "site.toml": []byte(site)} {
		if err := os.WriteFile(filepath.Join(e.site, name), data, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	v, _, err := e.view()
	if err != nil {
		t.Fatal(err)
	}
	job := record.Job{Kind: record.Print, Date: e.today, Stock: "4x4", By: "N. Example"}
	for i := range v.Places {
		if r := v.Places[i].Record; r != nil {
			job.Sheet = append(job.Sheet, record.Sheet{Record: r})
		}
	}
	if err := e.store().Carry(job); err != nil {
		t.Fatal(err)
	}
	return e
}

// spoil makes every record unreadable that keep does not name: whoever reads one fails.
func spoil(t *testing.T, e *Env, keep func(name string) bool) {
	t.Helper()
	files, err := filepath.Glob(filepath.Join(e.site, "records/*/*"))
	if err != nil || len(files) == 0 {
		t.Fatal(files, err)
	}
	for _, file := range files {
		if keep == nil || !keep(filepath.Base(file)) {
			os.Chmod(file, 0o644)
			if err := os.WriteFile(file, []byte("not read"), 0o644); err != nil {
				t.Fatal(err)
			}
		}
	}
}

// With nothing changed no record is read; after an edit, only that of the edited row.
func TestOnlyChangedRecordsAreRead(t *testing.T) {
	e := many(t, 3)
	table := filepath.Join(e.site, "locations.csv")
	before, err := os.ReadFile(table)
	if err != nil {
		t.Fatal(err)
	}
	v, _, err := e.view()
	if err != nil {
		t.Fatal(err)
	}
	place, _ := v.Place("BTL-MC2-1")
	if place == nil {
		place = &v.Places[len(v.Places)-1]
	}
	id, edited := place.ID(), place.Printed.ID.String()+".json"
	spoil(t, e, func(name string) bool { return name == edited })
	counts := func() (whole, lost int, drift string) {
		v, _, err := e.view()
		if err != nil {
			t.Fatal(err)
		}
		for i := range v.Places {
			if l := v.Places[i].Printed; l.Err != nil {
				lost++
			} else if whole++; l.Standing.Status != "holds" {
				drift += v.Places[i].ID() + " " + string(l.Standing.Status) + ";"
			}
		}
		return whole, lost, drift
	}
	whole, lost, drift := counts()
	if lost > 0 || drift != "" || whole != len(v.Places) {
		t.Fatalf("with nothing changed %d records were read, %s", lost, drift)
	}
	row := regexp.MustCompile(`(?m)^` + id + `,.*$`)
	line := row.Find(before)
	moved := bytes.Replace(line, []byte("2026-03-14"), []byte("2026-03-15"), 1)
	if err := os.WriteFile(table, bytes.Replace(before, line, moved, 1), 0o644); err != nil || bytes.Equal(line, moved) {
		t.Fatal(err, string(line))
	}
	if whole, lost, drift := counts(); lost > 0 || drift == "" || whole != len(v.Places) {
		t.Errorf("after an edit of %s %d records of others were read, %q", id, lost, drift)
	}
}

// One label costs its region, whatever the size of the plant.
func TestOneLabelCostsOneLabel(t *testing.T) {
	judged := map[int]int{}
	for _, copies := range []int{2, 12} {
		e := many(t, copies)
		v, _, err := e.viewOf("TNK-SG1-1")
		if err != nil {
			t.Fatal(err)
		}
		judged[copies] = len(v.Site.Locations)
		if n := len(v.History.Labels); n > judged[copies] {
			t.Errorf("%d labels of %d locations", n, judged[copies])
		}
	}
	if judged[2] == 0 || judged[2] != judged[12] || judged[2] > 32 {
		t.Errorf("locations judged, by copies: %v", judged)
	}
}

// Reading and judging four times the plant allocates about four times as much.
func TestWorkIsLinear(t *testing.T) {
	work := func(copies int) (view, one float64) {
		e := many(t, copies)
		view = testing.AllocsPerRun(2, func() {
			if _, _, err := e.view(); err != nil {
				t.Fatal(err)
			}
		})
		one = testing.AllocsPerRun(2, func() {
			if _, _, err := e.viewOf("TNK-SG1-1"); err != nil {
				t.Fatal(err)
			}
		})
		return view, one
	}
	view, one := work(5)
	more, oneOfMore := work(20)
	if more > 4.4*view {
		t.Errorf("%.0f allocations for the plant, %.0f for four times as many labels", view, more)
	}
	// Of the others only rows are split, and what joins them is read.
	if rest := (oneOfMore - one) / (15 * 31); rest > 26 {
		t.Errorf("each other location costs %.1f allocations to judge one label", rest)
	}
	if perLabel := more / (20 * 31); perLabel > 190 {
		t.Errorf("%.0f allocations for each label", perLabel)
	}
}

func BenchmarkCheck1000(b *testing.B) {
	e := many(b, 33)
	b.ReportAllocs()
	for b.Loop() {
		if _, _, err := e.view(); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkOneOf1000(b *testing.B) {
	e := many(b, 33)
	b.ReportAllocs()
	for b.Loop() {
		if _, _, err := e.viewOf("TNK-SG1-3"); err != nil {
			b.Fatal(err)
		}
	}
}
