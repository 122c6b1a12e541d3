package page

import (
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"
)

var (
	cssRule    = regexp.MustCompile(`(?m)^\s*([^{}@/]+?) \{ ([^{}]*) \}`)
	cssInk     = regexp.MustCompile(`(?:^|\s)color: (#[0-9a-f]{3,6})`)
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

// Every rule that sets a color can be read on its ground (WCAG 2.2, 1.4.3), and
// the two signal colors belong to the signal words alone.
func TestColors(t *testing.T) {
	if c := contrast("#fff", "#767676"); math.Abs(c-4.54) > 0.01 { // the usual example of the limit
		t.Fatal(c)
	}
	data, err := files.ReadFile("files/vouchmark.css")
	if err != nil {
		t.Fatal(err)
	}
	css := cssComment.ReplaceAllString(string(data), "")
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
		for _, rule := range cssRule.FindAllStringSubmatch(css, -1) {
			text := resolve.Replace(rule[2])
			if strings.Contains(text, "var(") {
				t.Errorf("%s: %s has a color without a value", rule[1], text)
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
			if i != nil || g != nil {
				pairs++
				if c := contrast(ink, ground); c < 4.5 {
					t.Errorf("%s: %s on %s has a contrast of %.2f", rule[1], ink, ground, c)
				}
			}
			if used := strings.Contains(rule[2], orange) || strings.Contains(rule[2], red); used != strings.HasPrefix(rule[1], ".signal.") {
				t.Errorf("%s: %s", rule[1], rule[2])
			}
			if strings.Contains(rule[2], "var(") {
				ruled++
			}
		}
		if pairs < 25 || ruled < 20 {
			t.Errorf("only %d rules with colors, %d of which change", pairs, ruled)
		}
	}
	// One meaning for one color: a standing looks alike in the band, in the lists
	// and among the counts.
	for _, sign := range []string{"falls-due", "lapsed", "in-question", "cover"} {
		grounds := map[string]bool{}
		for _, rule := range cssRule.FindAllStringSubmatch(css, -1) {
			if g := cssGround.FindStringSubmatch(rule[2]); g != nil && strings.Contains(rule[1], "."+sign) {
				grounds[strings.Replace(g[1], "#000000", "#000", 1)] = true
			}
		}
		if len(grounds) != 1 {
			t.Errorf("%s has the colors %v", sign, grounds)
		}
	}
}
