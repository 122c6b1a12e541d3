package site

import (
	"strings"
	"testing"

	"vouchmark/assess"
)

// The way to print color is read in American and in British spelling.
func TestColorInBothSpellings(t *testing.T) {
	const stock = "[[stock]]\nname = \"x\"\nunit = \"mm\"\nlabel = [100, 100]\n"
	for line, want := range map[string]assess.Color{
		"":                         assess.Spot,
		"color = \"rgb\"":          assess.RGB,
		"color = \"one-color\"":    assess.OneColor,
		"color = \"one-colour\"":   assess.OneColor,
		"colour = \"one-color\"":   assess.OneColor,
		"colour = \"one-colour\"":  assess.OneColor,
		"colour = \"process\"":     assess.Process,
		"color = \"spot\" # plain": assess.Spot,
	} {
		s, ps := read(goodPolicy+stock+line+"\n", goodRows)
		if ps != nil {
			t.Errorf("%q: %v", line, ps)
		} else if got := s.Policy.Stocks[0].Color; got != want {
			t.Errorf("%q: %s, want %s", line, got, want)
		}
	}
	for line, want := range map[string]string{
		"color = \"pink\"":                      "color: found \"pink\"",
		"color = \"rgb\"\ncolour = \"process\"": "colour: found color as well",
	} {
		if _, ps := read(goodPolicy+stock+line+"\n", goodRows); len(ps) != 1 || !strings.Contains(ps[0].String(), want) {
			t.Errorf("%q: %v, want %s", line, ps, want)
		}
	}
}
