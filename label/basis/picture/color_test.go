package picture

import (
	"os"
	"regexp"
	"strings"
	"testing"
)

var variable = regexp.MustCompile(`(--\w+): (#\w+);`)

// The drawings and the pages have the same colors for the same things, and the
// signal colors are those of no standing and of no curve.
func TestColorsAreThoseOfThePages(t *testing.T) {
	data, err := os.ReadFile("../page/files/vouchmark.css")
	if err != nil {
		t.Fatal(err)
	}
	css := string(data)
	rule := func(selector string) string {
		_, after, _ := strings.Cut(css, "\n"+selector+" {")
		line, _, _ := strings.Cut(after, "\n")
		for _, v := range variable.FindAllStringSubmatch(css, -1) { // the first is that of a light page
			line = strings.ReplaceAll(line, "var("+v[1]+")", v[2])
		}
		return strings.ReplaceAll(line, "#000;", "#000000;")
	}
	for selector, color := range map[string]string{
		".signal.WARNING": orange, ".signal.DANGER": red, ".state.holds": colors["holds"],
		".state.lapsed": colors["lapsed"], ".state.in-question": colors["in question"], ".state.cover": colors[Cover],
	} {
		if !strings.Contains(rule(selector), color) {
			t.Errorf("%s is %q, the drawing has %s", selector, rule(selector), color)
		}
	}
	for what, color := range colors {
		if color == orange || color == red {
			t.Errorf("%s has a signal color", what)
		}
	}
	for _, color := range []string{inkCurve, inkOther, inkRung, inkText} {
		if color == orange || color == red {
			t.Errorf("%s is a signal color", color)
		}
	}
}
