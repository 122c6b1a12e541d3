package page

import (
	"strings"
	"testing"
)

// Every label that replaced another one is shown next to it, the old one overprinted, with
// what differs; both pages lead there, and no other.
func TestCompare(t *testing.T) {
	b := mill(t, "2026-05-01", nil)
	files := all(t, b)
	pairs := 0
	for _, id := range b.Shelf.Printed() {
		before, ok := b.Shelf.Before(id)
		name := underCompare(id.Code())
		data, there := files[name]
		if ok != there {
			t.Errorf("%s replaced another label: %v; it has a page: %v", id.Code(), ok, there)
		}
		if !ok {
			continue
		}
		pairs++
		if strings.Count(data, "<svg xmlns") != 2 || !strings.Contains(data, `class="state replaced"`) ||
			!strings.Contains(data, string(before.Code())) || !strings.Contains(data, string(id.Code())) ||
			strings.Contains(data, "Nothing that decides") || !strings.Contains(data, "DO NOT RELY") {
			t.Errorf("%s:\n%s", name, data)
		}
		led := 0
		for other, text := range files {
			if strings.HasPrefix(other, "V/") && strings.Contains(text, name) {
				led++
			}
		}
		if led != 2 {
			t.Errorf("%d pages lead to %s", led, name)
		}
	}
	if pairs == 0 {
		t.Error("no label replaced another one")
	}
}
