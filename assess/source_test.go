package assess

import "testing"

// What the column source says is read back as it was written; a text of
// somebody's own names no file.
func TestSource(t *testing.T) {
	for _, c := range []struct {
		source      Source
		text, words string
	}{
		{Source{"R-2026.xlsx", "Results", 17}, "R-2026.xlsx Results 17", "R-2026.xlsx, Results, row 17"},
		{Source{"R-2026.csv", "", 3}, "R-2026.csv 3", "R-2026.csv, row 3"},
		{Source{"a.b.xlsx", "Bus 2 of 3", 1048576}, "a.b.xlsx Bus 2 of 3 1048576", "a.b.xlsx, Bus 2 of 3, row 1048576"},
		{Source{"R.xlsx", "2026", 9}, "R.xlsx 2026 9", "R.xlsx, 2026, row 9"},
		{Source{"Étude-2.csv", "Été", 1}, "Étude-2.csv Été 1", "Étude-2.csv, Été, row 1"},
	} {
		back, ok := ParseSource(c.text)
		if c.source.String() != c.text || c.source.Words() != c.words || !ok || back != c.source {
			t.Errorf("%q, %q; read back %+v, %v", c.source, c.source.Words(), back, ok)
		}
	}
	for _, text := range []string{"", "R-2026.xlsx", "R-2026.xlsx Results", "report of 2026, page 3", "Table 3.2 17",
		"E.3 17", "R.xlsx Results 0", "R.xlsx Results 017", "R.xlsx Results 12345678", "R.xlsx  3", ".xlsx 3",
		"a/R.xlsx 3", `a\R.xlsx 3`, "R.xlsx Results 17 ", "R.averylong 3", "R.xlsx Results -3", "R.xlsx Results 3\n"} {
		if s, ok := ParseSource(text); ok {
			t.Errorf("%q names %+v", text, s)
		}
	}
}
