package record

import (
	"fmt"
	"os"
	"strings"
	"testing"

	"vouchmark/assess"
)

// manyCases is a record with many cases.
func manyCases(t testing.TB, n int, name string) *Record {
	r := example(t, "MCC-4", 6.5)
	c := r.Location.Cases[0]
	r.Location.Cases = nil
	for i := range n {
		c.Name = fmt.Sprintf("%s %06d", name, i)
		r.Location.Cases = append(r.Location.Cases, c)
	}
	return r
}

// A record that no audit would read is not printed from.
func TestRecordTooLarge(t *testing.T) {
	dir := t.TempDir()
	out, err := Prepare(dir+"/out.pdf", []byte("PDF"), 0o644)
	if err != nil {
		t.Fatal(err)
	}
	err = Open(dir).Carry(job(t, Print, manyCases(t, 50_000, "case")), out)
	if err == nil || !strings.Contains(err.Error(), "the record of MCC-4 would have more than 16 MiB") {
		t.Error(err)
	}
	if l, err := Open(dir).Ledger(); err != nil || len(l.Lines) > 0 {
		t.Errorf("%v, %v", l, err)
	}
	if _, err := os.Stat(dir + "/out.pdf"); err == nil {
		t.Error("labels were written")
	}
}

// A case without its like in the other record is compared with the most over its cases,
// and a curve that many cases name is told once.
func TestDriftOfManyCases(t *testing.T) {
	old, now := manyCases(t, 50, "case"), manyCases(t, 50, "CASE")
	old.Location.Cases[30].Fault = 25
	if all := PassedOn(&old.Inputs, &now.Inputs); len(all) != 51 || all[0].Old != "25" || all[50].Field != "fault_ka of case case 000030" {
		t.Errorf("%d: %+v", len(all), all)
	}
	if all := dataDrift(old, now, assess.Stands); len(all) != 100 {
		t.Errorf("%d: %+v", len(all), all)
	}
	now = manyCases(t, 50, "case")
	for i := range now.Location.Cases {
		now.Location.Cases[i].Curve = "a.csv"
	}
	now.Curves = map[string]*assess.Curve{"a.csv": {}}
	if all := curveDrift(old, now); len(all) != 1 || all[0].New != "a.csv" {
		t.Errorf("%+v", all)
	}
}

// Comparing two records of many cases: the time for each case does not grow.
func BenchmarkDriftOfManyCases(b *testing.B) {
	for _, n := range []int{1000, 4000} {
		old, same, renamed := manyCases(b, n, "case"), manyCases(b, n, "case"), manyCases(b, n, "kase")
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			for b.Loop() {
				if Drift(old, same).Data != nil || Drift(old, renamed).Data == nil {
					b.Fatal("a difference where there is none, or none where there is one")
				}
				PassedOn(&old.Inputs, &renamed.Inputs)
			}
			b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/float64(n), "ns/each")
		})
	}
}

// The code on a label and that of its record are the same, or nothing is printed.
func TestOtherCode(t *testing.T) {
	dir := t.TempDir()
	r := example(t, "MCC-4", 6.5)
	_, id, err := r.Encode()
	if err != nil {
		t.Fatal(err)
	}
	again := Job{Kind: Print, Date: r.Prepared, Stock: "4x4", By: "test", Sheet: []Sheet{{Record: r, Code: id.Code()}}}
	if err := Open(dir).Carry(again); err != nil {
		t.Fatal(err)
	}
	again.Sheet[0].Code = "0000-0000-0000-0000"
	if err := Open(dir).Carry(again); err == nil || !strings.Contains(err.Error(), "drawn with the code 0000-0000-0000-0000") {
		t.Error(err)
	}
	if l, err := Open(dir).Ledger(); err != nil || len(l.Lines) != 2 {
		t.Error(l, err)
	}
}

// Looking at the texts of a line copies nothing: a print of ten thousand labels is one line.
func TestUnprintableCopiesNothing(t *testing.T) {
	l := Line{Kind: Print, Labels: make([]Printed, 1000)}
	for i := range l.Labels {
		l.Labels[i] = Printed{ID: "MCC-4", Record: "1b2c", Gist: "1-5d04", Joins: Joins{Up: []string{"SWB-1"}, Ties: []string{"MCC-5"}}}
	}
	if n := testing.AllocsPerRun(3, func() {
		if l.Unprintable() != "" {
			t.Error(l.Unprintable())
		}
	}); n > 10 {
		t.Errorf("%.0f allocations", n)
	}
	l.Labels[999].Ties[0] = "MCC\u200b5"
	if l.Unprintable() != l.Labels[999].Ties[0] {
		t.Errorf("%q", l.Unprintable())
	}
}
