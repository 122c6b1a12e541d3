package page

import (
	"testing"

	"vouchmark/assess"
	"vouchmark/assess/standing"
)

// What differs has the trade's name, a unit, and as many digits as show the difference.
func TestDiffering(t *testing.T) {
	for _, c := range []struct {
		field, old, now string
		want            differing
	}{
		{"gap_mm", "25", "32", differing{"Gap between conductors", "column gap", "25 mm", "32 mm"}},
		{"governing recomputed energy_cal_cm2", "7.98012345", "8.2", differing{"Incident energy, recomputed", "", "33.39 J/cm² (7.98 cal/cm²)", "34.31 J/cm² (8.2 cal/cm²)"}},
		{"clear_ms of case tie closed", "100.00012", "100", differing{"Arc duration at the arcing current, case tie closed", "column clear", "100.0001 ms", "100 ms"}},
		{"wear_es", "a", "b", differing{"What to wear, es", "", "a", "b"}},
		{"restricted", "distance 304.8", "avoid contact 0", differing{"Restricted approach boundary", "", "304.8 mm", "avoid contact"}},
		{"electrodes", "VCB", "", differing{"Electrode configuration", "column electrodes", "VCB", ""}},
		{"review_by", "2029-01-01", "2030-01-01", differing{"Review by", "", "2029-01-01", "2030-01-01"}},
	} {
		if got := wordsOf(standing.Difference{Field: c.field, Old: c.old, New: c.now}, assess.SI); got != c.want {
			t.Errorf("%s: %+v", c.field, got)
		}
	}
	for i := range assess.Columns { // none shows a name of the file's
		c := &assess.Columns[i]
		if got := wordsOf(standing.Difference{Field: c.Key(), Old: "1", New: "2"}, assess.US); got.Name == c.Key() || got.Why == "" {
			t.Errorf("%s: %+v", c.Key(), got)
		}
	}
	b := mill(t, "2026-05-01", nil)
	said := map[string]int{}
	for _, id := range b.Shelf.Printed() {
		before, ok := b.Shelf.Before(id)
		r, err := b.Shelf.Load(id)
		if !ok || err != nil {
			continue
		}
		old, err := b.Shelf.Load(before)
		if err != nil {
			t.Fatal(err)
		}
		said[alike(old, r)]++
		if alike(r, r) != "Both labels print the same values." {
			t.Errorf("%s differs from itself", id.Code())
		}
	}
	if said["Both labels print the same values."] != 1 { // a gap that changes no printed digit
		t.Error(said)
	}
}
