package site

import (
	"fmt"
	"math"
	"regexp"

	"vouchmark/assess"
)

const (
	leastLabel = 40.0   // mm; a label's data would not be legible on less
	mostSheet  = 1200.0 // mm
)

// stock reads one [[stock]]: the geometry of a sheet or roll. Lengths are in the table's own
// unit.
func stock(t *node, p *assess.Policy) {
	per := map[string]float64{"in": assess.MMPerInch, "mm": 1}[t.word("unit", true, "mm", "in", "mm")]
	mm := func(x float64) float64 { return assess.Round9(x * per) }
	most := mostSheet / per
	pair := func(key string, must bool, least float64, what string) (x, y float64) {
		v := t.numbers(key, must, 2, least, most, what+" in the stock's unit")
		return mm(v[0]), mm(v[1])
	}
	s := assess.Stock{Name: t.text("name", true), Line: t.line("name")}
	s.Label[0], s.Label[1] = pair("label", true, leastLabel/per, "[width, height]")
	s.Page = s.Label // a roll: each page is one label
	if t.given("page") {
		s.Page[0], s.Page[1] = pair("page", true, leastLabel/per, "[width, height]")
	}
	s.Columns = t.whole("columns", false, 1, 1, 50, "the number of labels side by side")
	s.Rows = t.whole("rows", false, 1, 1, 50, "the number of labels below each other")
	s.Left, s.Top = pair("margin", false, 0, "[left, top]")
	s.GapX, s.GapY = pair("gap", false, 0, "[across, down] between labels,")
	s.Corner = mm(t.number("corner", false, 0, 0, most, "a length in the stock's unit"))
	s.Bleed = mm(t.number("bleed", false, 0, 0, most, "a length in the stock's unit"))
	s.Reading = mm(t.number("reading_distance", false, 0, 200/per, 10000/per,
		"the distance from which the label must be legible, in the stock's unit"))
	s.CropMarks, s.Preprinted = t.yes("crop_marks"), t.yes("preprinted")
	t.known = append(t.known, "panel")
	if s.Preprinted {
		s.Panel = mm(t.number("panel", true, 0, 5/per, s.Label[1]/2/per+1,
			"the height of the preprinted signal panel from the upper edge, in the stock's unit"))
	}
	s.Color = color(t)
	s.Languages = t.whole("languages", false, 0, 1, 2, "1 or 2, the number of languages that fit on it")
	s.Orange, s.HasOrange = ink(t, "orange_cmyk")
	s.Red, s.HasRed = ink(t, "red_cmyk")
	s.OutputCondition = condition(t, s.Color)
	fits(t, &s, per)
	t.done()
	for _, other := range p.Stocks {
		t.faultIf(other.Name == s.Name, "name", quote(s.Name), "a name of its own", "another [[stock]] has the same name")
	}
	p.Stocks = append(p.Stocks, s)
}

// color reads how colors are printed. Key and value are read in both spellings.
func color(t *node) assess.Color {
	key := "color"
	if _, there := t.values["colour"]; there {
		t.faultIf(t.given(key), "colour", "color as well", "one of them", "delete the other one")
		key = "colour"
	}
	if t.values[key] == "one-colour" {
		t.values[key] = string(assess.OneColor)
	}
	return choice(t, key, false, assess.Spot, []assess.Color{assess.Spot, assess.Process, assess.RGB, assess.OneColor})
}

// ink is a color in percent of cyan, magenta, yellow and black.
func ink(t *node, key string) (c [4]int, given bool) {
	const expected = "[cyan, magenta, yellow, black] in whole percent, such as [0, 50, 100, 0]"
	for i, x := range t.numbers(key, false, 4, 0, 100, expected) {
		t.faultIf(x != math.Trunc(x), key, fmt.Sprint(x), "whole percent", "")
		c[i] = int(x)
	}
	return c, t.given(key)
}

// registered is the form of a printing condition's name in a public registry. Names are added
// there over the years, so only the form is checked.
var registered = regexp.MustCompile(`^[A-Za-z0-9]+([ ._-][A-Za-z0-9]+)*$`)

// condition reads the printing condition for which the colors of a stock are mixed.
func condition(t *node, c assess.Color) string {
	const key = "output_condition"
	name := t.text(key, false)
	if !t.given(key) {
		return ""
	}
	t.faultIf(len(name) > 60 || !registered.MatchString(name), key, quote(name),
		"the registered name of a printing condition, such as \"CGATS TR 001\"", "copy the name that your print shop gives")
	t.faultIf(c != assess.Spot && c != assess.Process, key, "it with color = "+quote(string(c)),
		"it only where color is spot or process", "PDF/X-1a has no rgb, and black alone needs no printing condition")
	return name
}

// fits reports labels that do not fit on their page.
func fits(t *node, s *assess.Stock, per float64) {
	for i, d := range []struct {
		what, key  string
		first, gap float64
		count      int
	}{{"wide", "columns", s.Left, s.GapX, s.Columns}, {"high", "rows", s.Top, s.GapY, s.Rows}} {
		need := d.first + float64(d.count)*s.Label[i] + float64(d.count-1)*d.gap
		t.faultIf(need > s.Page[i]*(1+1e-9)+1e-6, d.key, fmt.Sprintf("%d labels that need %.4g", d.count, need/per),
			fmt.Sprintf("at most the page, %.4g %s", s.Page[i]/per, d.what), "correct page, label, margin or gap")
	}
	t.faultIf(2*s.Corner > min(s.Label[0], s.Label[1]), "corner", fmt.Sprintf("%.4g", s.Corner/per),
		"at most half of the label's shorter side", "")
}
