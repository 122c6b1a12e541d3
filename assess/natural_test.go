package assess

import "testing"

func TestNatural(t *testing.T) {
	sorted := []string{"", "2", "10", "A", "a1", "A1b", "a2", "A02b", "A10", "B"}
	for i := range sorted {
		for j := range sorted {
			got := Natural(sorted[i], sorted[j])
			if (got < 0) != (i < j) || (got == 0) != (i == j) {
				t.Errorf("Natural(%q, %q) = %d", sorted[i], sorted[j], got)
			}
		}
	}
}
