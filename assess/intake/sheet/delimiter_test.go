package sheet

import (
	"encoding/csv"
	"fmt"
	"math/rand/v2"
	"reflect"
	"strings"
	"testing"
)

// TestRandomTables writes tables with each delimiter by encoding/csv, with titles
// and notes around them and with the other delimiters in their cells: they are read
// as they were, or the delimiter is asked for, but a wrong one is never taken.
func TestRandomTables(t *testing.T) {
	const tables = 2000
	asked := 0
	for seed := range uint64(tables) {
		text, comma, cells := randomTable(rand.New(rand.NewPCG(seed, 1)))
		b, err := Read("study", []byte(text), Options{})
		switch {
		case err != nil && strings.Contains(err.Error(), "name the delimiter"):
			asked++
			continue
		case err != nil:
			t.Errorf("table %d: %v in\n%s", seed, err, text)
			continue
		case b.Delimiter != comma:
			t.Errorf("table %d: delimiter %q taken for %q:\n%s", seed, b.Delimiter, comma, text)
			continue
		}
		var got [][]string
		for _, row := range b.Sheets[0].Rows {
			var texts []string
			for _, c := range row.Cells {
				texts = append(texts, c.Shown)
			}
			got = append(got, texts)
		}
		if !reflect.DeepEqual(got, cells) {
			t.Errorf("table %d: read %q of\n%s", seed, got, text)
		}
	}
	if asked > tables/100 {
		t.Errorf("asked for the delimiter of %d tables", asked)
	}
	t.Logf("asked for the delimiter of %d tables of %d", asked, tables)
}

// randomTable is a table as text, its delimiter, and the cells of the rows that
// are not empty, up to the last that is filled.
func randomTable(r *rand.Rand) (text string, comma rune, rows [][]string) {
	comma = []rune(delimiters)[r.IntN(4)]
	decimalComma := comma != ',' && r.IntN(2) == 0
	quantity := func(decimals int) string {
		s := fmt.Sprintf("%.*f", decimals, r.Float64()*100)
		if decimalComma {
			return strings.Replace(s, ".", ",", 1)
		}
		return s
	}
	columns := []func(int) string{func(i int) string { return fmt.Sprintf("PNL-%d", i) }}
	for range 2 + r.IntN(10) {
		columns = append(columns, []func(int) string{
			func(int) string { return quantity(1 + r.IntN(3)) },
			func(int) string { return quantity(0) },
			func(int) string {
				return []string{"Panel, north wall", "Switchboard 1", "Disconnect, pump 3; spare", "MCC"}[r.IntN(4)]
			},
			func(i int) string { return []string{"", "SWB-1", "SWB-1; SWB-2", "A; B; C"}[r.IntN(4)] },
			func(int) string { return fmt.Sprintf("%d/%d/2026", 1+r.IntN(12), 1+r.IntN(28)) },
			func(int) string { return fmt.Sprintf("%d'-%d\"", r.IntN(20), r.IntN(12)) },
			func(int) string { return []string{"", "", "see note 2", "a | b"}[r.IntN(4)] },
			func(int) string { return "480" },
		}[r.IntN(8)])
	}
	var b strings.Builder
	w := csv.NewWriter(&b)
	w.Comma = comma
	pad := r.IntN(2) == 0
	line := func(cells ...string) {
		for pad && len(cells) < len(columns) {
			cells = append(cells, "")
		}
		w.Write(cells)
		n := len(cells)
		for n > 0 && cells[n-1] == "" {
			n--
		}
		if n > 0 {
			rows = append(rows, cells[:n])
		}
	}
	for range r.IntN(5) {
		line([]string{"Arc flash study, plant North, revision 2", "Prepared by E. Sample, PE; for review", "", "Values at 60 Hz"}[r.IntN(4)])
	}
	head := make([]string, len(columns))
	for i := range head {
		head[i] = []string{"Voltage, V", "Fault current (kA)", "Energy", "Device; place"}[r.IntN(4)]
	}
	line(head...)
	for i := range 3 + r.IntN(30) {
		cells := make([]string, len(columns))
		for c := range cells {
			cells[c] = columns[c](i)
		}
		line(cells...)
	}
	for range r.IntN(3) {
		line([]string{"Total", "Notes: see report, part 3; not to scale"}[r.IntN(2)])
	}
	w.Flush()
	return b.String(), comma, rows
}
