package browser

import (
	"fmt"
	"strings"
	"testing"
)

// Before a change is saved, a phone shows which labels it moves, from what to what, without scrolling; the
// passphrase and the buttons do not cover them, and what was entered is folded below.
func TestPreviewOnAPhone(t *testing.T) {
	p := newPlant(t, "mill")
	url := p.serve(t, "--allow-writes")
	w := open(t)
	w.phone()
	w.show(url + "/change/")
	w.fill(map[string]string{"at": "TURB-B1", "kind": "fuse replaced", "by": "A. Planner", "note": strings.Repeat("A long note. ", 20), "fault_ka": "21"})
	w.press("form button")
	var at struct {
		Top, Bar, Rows float64
		Seen           int
		Words          string
	}
	w.eval(`(() => {
		const rows = [...document.querySelectorAll(".moved li")], bar = document.querySelector(".confirm").getBoundingClientRect();
		const seen = rows.filter(r => r.getBoundingClientRect().bottom <= bar.top && r.getBoundingClientRect().top >= 0);
		return {Top: scrollY, Bar: bar.bottom, Rows: rows.length, Seen: seen.length, Words: seen.length > 0 ? seen[0].innerText : ""};
	})()`, &at)
	if at.Seen < 2 || at.Top != 0 || at.Bar > 845 || !strings.Contains(at.Words, "in question") && !strings.Contains(at.Words, "COVER") {
		t.Errorf("%+v", at)
	}
	var entered string
	w.eval(`(d => d.open + " " + d.compareDocumentPosition(document.querySelector(".moved")) + " " + d.textContent)(document.querySelector("details.entered"))`, &entered)
	if !strings.HasPrefix(entered, fmt.Sprint("false ", 2)) || !strings.Contains(entered, "A long note.") {
		t.Errorf("what was entered: %.60q", entered)
	}
	w.look("preview-phone")
	w.clean(url)
}
