package page

import (
	"strings"
	"testing"
)

// What is printed too low is covered before all else; a server that writes leads to the form that
// carries each task on, and files name none.
func TestWalkPage(t *testing.T) {
	for _, live := range []*Live{nil, {Writes: true}} {
		b := mill(t, "2026-05-01", live)
		rows, counts := walkOf(b.Shelf.Site, b.Shelf.Tasks())
		n := 0
		for _, c := range counts {
			n += c.Count
		}
		if len(rows) < 5 || n != len(rows) || !rows[0].TooLow || rows[0].Do != "cover" || rows[0].Next.Text != "Print its overlay" {
			t.Fatalf("%d rows, %v, %+v", len(rows), counts, rows[0])
		}
		for i := 1; i < len(rows); i++ {
			if rows[i].TooLow && !rows[i-1].TooLow || rows[i].Urgent && !rows[i-1].Urgent {
				t.Errorf("%+v comes after %+v", rows[i], rows[i-1])
			}
		}
		page := all(t, b)["walk/index.html"]
		for _, r := range rows {
			if !strings.Contains(page, ">"+r.ID+"<") {
				t.Errorf("%s is not on the page", r.ID)
			}
		}
		if forms := strings.Count(page, "/?at=") + strings.Count(page, "print/?only="); live == nil && forms > 0 || live != nil && forms < len(rows)-1 {
			t.Errorf("%d forms for %d rows", forms, len(rows))
		}
	}
}

// A page offers only what would be carried out: no interim label of one that is printed too low, no
// second copy of one that does not hold.
func TestActions(t *testing.T) {
	n := 0
	for name, page := range all(t, mill(t, "2026-05-01", &Live{Writes: true})) {
		if !strings.HasPrefix(name, "V/") || strings.Count(name, "/") != 3 || !strings.Contains(page, "overlay/?at=/V/") {
			continue
		}
		n++
		if low := strings.Contains(page, "COVER"); strings.Contains(page, "interim/?at=") == low {
			t.Errorf("%s: printed too low: %v, and an interim label is offered", name, low)
		}
		if strings.Contains(page, "reprint/?code=") {
			t.Errorf("%s offers to print it again", name)
		}
		if strings.Contains(page, "vouchmark change") {
			t.Errorf("%s names a command", name)
		}
	}
	if n < 5 {
		t.Errorf("only %d labels that do not hold", n)
	}
}
