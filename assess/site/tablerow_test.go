package site

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"io"
	"math/rand/v2"
	"reflect"
	"slices"
	"strings"
	"testing"
	"testing/fstest"
)

// rowsOf is a file as the CSV reader alone cuts it, and the text of its problem.
func rowsOf(text []byte) (rows []string, problem string) {
	in, comma := newTableText(bytes.NewReader(text))
	before := 0
	for _, line := range bytes.SplitAfter(bytes.TrimPrefix(text, byteOrderMark), []byte("\n")) {
		if len(bytes.TrimRight(line, "\r\n")) > 0 {
			break
		}
		before++
	}
	r := csv.NewReader(in)
	r.Comma, r.FieldsPerRecord = comma, -1
	for {
		cells, err := r.Read()
		if e, ok := err.(*csv.ParseError); ok {
			return rows, fmt.Sprintf("line %d", e.StartLine+before)
		}
		if err != nil {
			if err != io.EOF {
				problem = err.Error()
			}
			return rows, problem
		}
		line, _ := r.FieldPos(0)
		for i := range cells {
			cells[i] = showMarks(cells[i])
		}
		if strings.TrimSpace(strings.Join(cells, "")) != "" {
			rows = append(rows, fmt.Sprintf("%d %q", line+before, cells))
		}
	}
}

// Cut at the delimiters or read by the CSV reader, a file has the same rows on the same lines, and its
// first wrong quotation mark in the same row.
func TestPlainRows(t *testing.T) {
	r := rand.New(rand.NewPCG(18, 3))
	n := map[string]int{}
	for i := range 60000 {
		var b bytes.Buffer
		if i%7 == 0 {
			b.Write(byteOrderMark)
		}
		pieces := []string{"a", "b", ",", ",", ",", ";", "\t", "\n", "\n", "\r\n", "\r", " ", "1\" ", "\"", "\"x\"", "\"\"", "\"p,q\"", "\"u\nv\"", "é"}
		for range r.IntN(14) {
			b.WriteString(pieces[r.IntN(len(pieces))])
		}
		want, problem := rowsOf(b.Bytes())
		reader := newReader(fstest.MapFS{"t.csv": {Data: b.Bytes()}}, Options{})
		table := reader.readTable("t.csv", nil)
		var got []string
		if table != nil {
			for _, row := range append([]row{table.heading}, table.rows...) {
				got = append(got, fmt.Sprintf("%d %q", row.line, row.all()))
			}
		}
		if !reflect.DeepEqual(got, want) {
			t.Fatalf("%q: %q, want %q", b.String(), got, want)
		}
		if line, ok := strings.CutPrefix(problem, "line "); ok {
			n["wrong"]++
			ps := reader.problems.All()
			if !slices.ContainsFunc(ps, func(p Problem) bool {
				return fmt.Sprint(p.Line) == line && strings.Contains(p.Found, "quotation mark")
			}) {
				t.Fatalf("%q: %v, want line %s", b.String(), ps, line)
			}
		}
		if len(got) > 1 {
			n["rows"]++
		}
	}
	if n["wrong"] < 1000 || n["rows"] < 1000 {
		t.Error(n)
	}
}
