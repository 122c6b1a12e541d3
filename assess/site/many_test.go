package site

import (
	"fmt"
	"strings"
	"testing"
	"testing/fstest"
	"unicode"

	"vouchmark/assess"
)

// Texts fold to the same one exactly where the standard library takes them for equal.
func TestFoldCase(t *testing.T) {
	for r := rune(0); r <= unicode.MaxRune; r++ {
		s := string(r)
		for next := unicode.SimpleFold(r); next != r; next = unicode.SimpleFold(next) {
			if foldCase(s) != foldCase(string(next)) {
				t.Errorf("%q and %q", s, next)
			}
		}
		if !strings.EqualFold(s, foldCase(s)) {
			t.Errorf("%q folds to %q", s, foldCase(s))
		}
	}
	if foldCase("Straße \xff") != foldCase("STRAßE \xfe") || foldCase("Straße") == foldCase("STRASSE") {
		t.Error("another letter case, or another text")
	}
}

// A case that is there in other letters is found among many, with the line of the first.
func TestSameCaseAmongMany(t *testing.T) {
	rows := manyCases(300) + "P-1,CASE 17 K,Panel,ac3,480,2.5,30,18,2026-03-14\n"
	_, ps := read(goodPolicy, rows)
	if len(ps) != 1 || ps[0].Line != 302 || ps[0].Found != `"P-1", which is already on line 19` {
		t.Errorf("%v", ps)
	}
}

// manyCases are rows of one location. The sign for kelvin folds to a k.
func manyCases(n int) string {
	var b strings.Builder
	b.WriteString("id,case,equipment,supply,voltage_v,energy_cal_cm2,boundary_in,distance_in,prepared\n")
	for i := range n {
		fmt.Fprintf(&b, "P-1,case %d \u212a,Panel,ac3,480,2.5,30,18,2026-03-14\n", i)
	}
	return b.String()
}

// manyChanges are changes of one day at one place, each of them settled.
func manyChanges(n int) string {
	var b strings.Builder
	for range n {
		b.WriteString("[[change]]\ndate = 2026-08-11\nat = \"P-1\"\nkind = \"fuse replaced\"\nby = \"x\"\n\n")
	}
	for i := range n {
		number := fmt.Sprintf("/%d", i+1)
		if i == 0 {
			number = ""
		}
		fmt.Fprintf(&b, "[[settlement]]\nchange = \"2026-08-11/P-1%s\"\ndate = 2026-08-12\nby = \"x\"\nreason = \"put back\"\nscope = \"all\"\n\n", number)
	}
	return b.String()
}

// Reading and judging many cases of a location: the time for each does not grow.
func BenchmarkManyCases(b *testing.B) {
	for _, n := range []int{4000, 16000} {
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			benchmark(b, n, fstest.MapFS{"site.toml": {Data: []byte(goodPolicy)}, "locations.csv": {Data: []byte(manyCases(n))}})
		})
	}
}

// Reading many changes of one day and place, and their settlements.
func BenchmarkManyChanges(b *testing.B) {
	for _, n := range []int{4000, 16000} {
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			benchmark(b, n, fstest.MapFS{"site.toml": {Data: []byte(goodPolicy)}, "locations.csv": {Data: []byte(goodRows)},
				assess.ChangesFile: {Data: []byte(manyChanges(n))}})
		})
	}
}

func benchmark(b *testing.B, n int, folder fstest.MapFS) {
	today, err := assess.ParseDate("2026-09-01")
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		s, err := Read(folder, Options{Languages: []string{"en", "es"}})
		if err != nil {
			b.Fatal(err)
		}
		s.Assess(today)
	}
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/float64(n), "ns/each")
}
