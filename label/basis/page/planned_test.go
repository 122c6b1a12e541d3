package page

import (
	"strings"
	"testing"
)

// A change dated after today is on the pages that it reaches, and on no other.
func TestPlannedChange(t *testing.T) {
	b := mill(t, "2026-05-01", nil)
	const says = "Planned for 2026-12-24: equipment replaced or moved at GATE-L4"
	n := 0
	for name, data := range all(t, b) {
		reached := strings.HasPrefix(name, "V/") && strings.Contains(data, `<h2 class="place">GATE-L4</h2>`)
		if strings.Contains(data, says) {
			n++
		} else if reached {
			t.Errorf("%s does not say %q", name, says)
		}
		if strings.Contains(data, "Planned for") && strings.Contains(data, "No change logged.") {
			t.Errorf("%s says that no change is logged", name)
		}
		line := strings.Contains(data, "Planned: <a href=") && strings.Contains(data, `>equipment replaced or moved at GATE-L4</a> on <time datetime="2026-12-24">`)
		if want := name == "index.html" || name == "due/index.html"; line != want {
			t.Errorf("%s has the line of the planned change: %v, want %v", name, line, want)
		}
	}
	if n == 0 || n > 10 {
		t.Errorf("%d pages name the planned change", n)
	}
}
