package site

import (
	"fmt"
	"math"

	"vouchmark/assess"
)

const (
	leastLabel = 40.0   // mm; no label's data are legible on less
	mostSheet  = 1200.0 // mm
)

// stock reads one [[stock]]: a sheet or roll by its plain geometry. Lengths are
// in the table's own unit.
func stock(t *node) assess.Stock {
	per := map[string]float64{"in": assess.MMPerInch, "mm": 1}[t.word("unit", true, "mm", "in", "mm")]
	mm := func(x float64) float64 { return assess.Round9(x * per) }
	length := func(key string, def float64) float64 {
		return mm(t.number(key, false, def/per, 0, mostSheet/per, "a length in the stock's unit"))
	}
	s := assess.Stock{Name: t.text("name", true, ""), Line: t.line("name")}
	label := t.numbers("label", true, 2, leastLabel/per, mostSheet/per, "[width, height] in the stock's unit")
	s.Label = [2]float64{mm(label[0]), mm(label[1])}
	s.Page = s.Label // a roll: each page is one label
	if _, given := t.values["page"]; given {
		page := t.numbers("page", true, 2, leastLabel/per, mostSheet/per, "[width, height] in the stock's unit")
		s.Page = [2]float64{mm(page[0]), mm(page[1])}
	} else {
		t.known = append(t.known, "page")
	}
	s.Columns = t.whole("columns", false, 1, 1, 50, "how many labels stand side by side")
	s.Rows = t.whole("rows", false, 1, 1, 50, "how many labels stand below each other")
	margin := t.numbers("margin", false, 2, 0, mostSheet/per, "[left, top] in the stock's unit")
	gap := t.numbers("gap", false, 2, 0, mostSheet/per, "[across, down] between labels, in the stock's unit")
	s.Left, s.Top, s.GapX, s.GapY = mm(margin[0]), mm(margin[1]), mm(gap[0]), mm(gap[1])
	s.Corner, s.Bleed = length("corner", 0), length("bleed", 0)
	s.Reading = mm(t.number("reading_distance", false, 0, 200/per, 10000/per, "the distance at which the label must be legible, in the stock's unit"))
	s.CropMarks, s.Preprinted = t.yes("crop_marks"), t.yes("preprinted")
	if s.Preprinted {
		s.Panel = mm(t.number("panel", true, 0, 5/per, s.Label[1]/2/per+1, "the height of the preprinted signal panel from the upper edge, in the stock's unit"))
	} else {
		t.known = append(t.known, "panel")
	}
	s.Colour = assess.Colour(t.word("colour", false, string(assess.Spot), string(assess.Spot), string(assess.Process), string(assess.RGB), string(assess.OneColour)))
	s.Languages = t.whole("languages", false, 0, 1, 2, "1 or 2, how many languages it may hold")
	s.Orange, s.HasOrange = ink(t, "orange_cmyk")
	s.Red, s.HasRed = ink(t, "red_cmyk")
	fits(t, &s, per)
	t.done()
	return s
}

// ink is a colour in per cent of cyan, magenta, yellow and black.
func ink(t *node, key string) (c [4]int, given bool) {
	_, given = t.values[key]
	for i, x := range t.numbers(key, false, 4, 0, 100, "[cyan, magenta, yellow, black] in whole per cent, such as [0, 50, 100, 0]") {
		if x != math.Trunc(x) {
			t.fault(key, fmt.Sprint(x), "whole per cent", "")
		}
		c[i] = int(x)
	}
	return c, given
}

// fits reports labels that do not stand on their page.
func fits(t *node, s *assess.Stock, per float64) {
	for i, d := range []struct {
		what, key  string
		first, gap float64
		count      int
	}{{"wide", "columns", s.Left, s.GapX, s.Columns}, {"high", "rows", s.Top, s.GapY, s.Rows}} {
		need := d.first + float64(d.count)*s.Label[i] + float64(d.count-1)*d.gap
		if need > s.Page[i]*(1+1e-9)+1e-6 {
			t.fault(d.key, fmt.Sprintf("%d labels that take %.4g", d.count, need/per), fmt.Sprintf("at most the page, %.4g %s", s.Page[i]/per, d.what), "correct page, label, margin or gap")
		}
	}
	if 2*s.Corner > min(s.Label[0], s.Label[1]) {
		t.fault("corner", fmt.Sprintf("%.4g", s.Corner/per), "at most half of the label's shorter side", "")
	}
}
