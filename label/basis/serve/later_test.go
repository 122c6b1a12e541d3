package serve

import (
	"strings"
	"testing"
)

// The preview of a change to come shows what it would do if it were made today.
func TestPreviewOfPlannedChange(t *testing.T) {
	p := newPlant(t, true)
	preview := func(date string) string {
		return p.do("POST", "/change/", p.filled(t, "/change/", "at", "REP-TX3", "kind", "fuse replaced", "date", date, "by", "maintenance")).Body.String()
	}
	labels := func(body string) string {
		_, body, _ = strings.Cut(body, `<ul class="moved">`)
		body, _, _ = strings.Cut(body, "</ul>")
		return body
	}
	now, then := preview("2026-05-01"), preview("2026-05-11")
	if strings.Contains(now, "as far as known today") {
		t.Error("a change of today is shown as one to come:", now)
	}
	says(t, then, "From 2026-05-11, as far as known today:", "does not count until then", "No label’s standing changes.")
	if strings.Index(then, "as far as known today") > strings.Index(then, "does not count until then") {
		t.Error("what it will do comes after that it does not count:", then)
	}
	if labels(now) == "" || labels(now) != labels(then) {
		t.Errorf("today it does\n%s\nand then\n%s", labels(now), labels(then))
	}
}
