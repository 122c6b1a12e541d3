package page

import (
	"math"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"
)

var (
	cssRule    = regexp.MustCompile(`(?m)^\s*([^{}@/]+?) \{ ([^{}]*) \}`)
	cssInk     = regexp.MustCompile(`(?:^|\s)color: (#[0-9a-f]{3,6})`)
	cssColor   = regexp.MustCompile(`#[0-9a-f]{6}\b|#[0-9a-f]{3}\b`)
	cssGround  = regexp.MustCompile(`background: (#[0-9a-f]{3,6})`)
	cssRoot    = regexp.MustCompile(`:root \{([^{}]*)\}`)
	cssNamed   = regexp.MustCompile(`(--\w+): (#[0-9a-f]{3,6});`)
	cssComment = regexp.MustCompile(`(?s)/\*.*?\*/`)
)

// luminance is that of WCAG 2.2.
func luminance(color string) float64 {
	hex := strings.TrimPrefix(color, "#")
	if len(hex) == 3 {
		hex = string([]byte{hex[0], hex[0], hex[1], hex[1], hex[2], hex[2]})
	}
	sum := 0.0
	for i, weight := range []float64{0.2126, 0.7152, 0.0722} {
		n, _ := strconv.ParseUint(hex[2*i:2*i+2], 16, 8)
		c := float64(n) / 255
		if c <= 0.04045 {
			c /= 12.92
		} else {
			c = math.Pow((c+0.055)/1.055, 2.4)
		}
		sum += weight * c
	}
	return sum
}

func contrast(a, b string) float64 {
	x, y := luminance(a), luminance(b)
	return (max(x, y) + 0.05) / (min(x, y) + 0.05)
}

// hue is that of a color in degrees, with its saturation and lightness (CSS Color 4, HSL).
func hue(color string) (h, s, l float64) {
	hex := strings.TrimPrefix(color, "#")
	if len(hex) == 3 {
		hex = string([]byte{hex[0], hex[0], hex[1], hex[1], hex[2], hex[2]})
	}
	var c [3]float64
	for i := range c {
		n, _ := strconv.ParseUint(hex[2*i:2*i+2], 16, 8)
		c[i] = float64(n) / 255
	}
	most, least := max(c[0], c[1], c[2]), min(c[0], c[1], c[2])
	l = (most + least) / 2
	if most == least {
		return 0, 0, l
	}
	d := most - least
	s = d / (1 - math.Abs(2*l-1))
	switch most {
	case c[0]:
		h = math.Mod((c[1]-c[2])/d+6, 6)
	case c[1]:
		h = (c[2]-c[0])/d + 2
	default:
		h = (c[0]-c[1])/d + 4
	}
	return 60 * h, s, l
}

// sheets are all style sheets of the pages, of the server's own and of the view of many plants.
func sheets(t *testing.T) map[string]string {
	t.Helper()
	all := map[string]string{}
	for _, pattern := range []string{"files/*.css", "../serve/*.css", "../serve/*/*.css", "../../overview/files/*.css"} {
		names, err := filepath.Glob(pattern)
		if err != nil {
			t.Fatal(err)
		}
		for _, name := range names {
			data, err := os.ReadFile(name)
			if err != nil {
				t.Fatal(err)
			}
			all[name] = cssComment.ReplaceAllString(string(data), "")
		}
	}
	if len(all) < 7 {
		t.Fatalf("only %d style sheets", len(all))
	}
	return all
}

// Every rule of every style sheet that sets a color can be read on its ground (WCAG 2.2, 1.4.3). The two signal
// colors, and all that look like them, belong to the signal words alone, and amber to what is out of date.
func TestColors(t *testing.T) {
	if c := contrast("#fff", "#767676"); math.Abs(c-4.54) > 0.01 { // the usual example of the limit
		t.Fatal(c)
	}
	if h, s, l := hue("#ff7900"); math.Abs(h-28.5) > 0.1 || s != 1 || l != 0.5 {
		t.Fatal(h, s, l)
	}
	all := sheets(t)
	css := all["files/vouchmark.css"]
	const orange, red = "#ff7900", "#be1224"
	modes := cssRoot.FindAllStringSubmatch(css, -1) // a light page, a dark one
	if len(modes) != 2 || len(cssNamed.FindAllString(modes[0][1], -1)) != len(cssNamed.FindAllString(modes[1][1], -1)) {
		t.Fatalf("%q", modes)
	}
	for _, mode := range modes {
		var named []string
		for _, m := range cssNamed.FindAllStringSubmatch(mode[1], -1) {
			named = append(named, "var("+m[1]+")", m[2])
		}
		resolve := strings.NewReplacer(named...)
		pairs, ruled := 0, 0
		for name, css := range all {
			for _, rule := range cssRule.FindAllStringSubmatch(css, -1) {
				at := name + ": " + rule[1]
				text := resolve.Replace(rule[2])
				if strings.Contains(strings.ReplaceAll(text, "var(--sheet)", ""), "var(") { // a text, not a color
					t.Errorf("%s: %s has a color without a value", at, text)
				}
				ink, ground := resolve.Replace("var(--ink)"), resolve.Replace("var(--paper)") // those of the whole page
				i, g := cssInk.FindStringSubmatch(text), cssGround.FindStringSubmatch(text)
				if i != nil {
					ink = i[1]
				}
				if g != nil {
					ground = g[1]
				}
				if strings.HasPrefix(rule[1], "header a") {
					ground = "#111"
				}
				if (i != nil || g != nil) && !strings.HasPrefix(rule[1], "progress") { // a bar has no text
					pairs++
					if c := contrast(ink, ground); c < 4.5 {
						t.Errorf("%s: %s on %s has a contrast of %.2f", at, ink, ground, c)
					}
				}
				if used := strings.Contains(rule[2], orange) || strings.Contains(rule[2], red); used != strings.HasPrefix(rule[1], ".signal.") {
					t.Errorf("%s: %s", at, rule[2])
				}
				for _, color := range cssColor.FindAllString(rule[2], -1) {
					h, s, l := hue(color)
					if s < 0.4 || l < 0.4 { // gray, and the dark grounds of brown and crimson
						continue
					}
					if signal := h < 34 || h > 345; signal && !strings.HasPrefix(rule[1], ".signal.") {
						t.Errorf("%s: %s looks like a signal color", at, color)
					}
					if amber := h >= 34 && h < 65; amber != (rule[1] == ".stale" || rule[1] == ".late") {
						t.Errorf("%s: %s, and amber is out of date alone", at, color)
					}
				}
				if strings.Contains(rule[2], "var(") {
					ruled++
				}
			}
		}
		if pairs < 35 || ruled < 30 {
			t.Errorf("only %d rules with colors, %d of which change", pairs, ruled)
		}
	}
	// One meaning for one color: a standing looks alike in the band, in the lists, among the counts and in the
	// view of many plants.
	for _, sign := range []string{"falls-due", "lapsed", "in-question", "cover"} {
		grounds := map[string]bool{}
		for _, css := range all {
			for _, rule := range cssRule.FindAllStringSubmatch(css, -1) {
				if g := cssGround.FindStringSubmatch(rule[2]); g != nil && strings.Contains(rule[1], "."+sign) {
					grounds[strings.Replace(g[1], "#000000", "#000", 1)] = true
				}
			}
		}
		if len(grounds) != 1 {
			t.Errorf("%s has the colors %v", sign, grounds)
		}
	}
}
