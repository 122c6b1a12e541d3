package intake

import (
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"vouchmark/assess"
	"vouchmark/assess/intake/sheet"
	"vouchmark/assess/site"
)

var (
	shownNumber   = regexp.MustCompile(`[+-]?\d[\d.,'’\s]*\d(?:[eE][+-]?\d+)?%?|\d(?:[eE][+-]?\d+)?%?`)
	shownFraction = regexp.MustCompile(`^(?:(\d+) )?(\d+) ?/ ?(\d+)$`)
	threeDecimals = regexp.MustCompile(`^[1-9]\d{0,2}\.\d{3}$`)
)

// quantityText is a cell as a quantity: what the spreadsheet shows, with the stored number instead
// of the shown one. A format may round the number, and may add a unit or the mark of a bound: 0.48
// kV, > 40. If the shown number is not the rounded stored one, such as a percentage, the shown one
// is used: that is what the author of the study saw.
func quantityText(c *sheet.Cell) string {
	shown := clean(c.Shown)
	if c.Kind != sheet.Number || c.Raw == "" || c.Raw == shown && !threeDecimals.MatchString(shown) {
		return shown
	}
	raw := c.Raw
	if threeDecimals.MatchString(raw) {
		raw += "0" // it is not a text in which a point may separate thousands
	}
	place := shownNumber.FindStringIndex(shown)
	if place == nil || isFraction(c.Raw, shown) {
		return raw
	}
	part := shown[place[0]:place[1]]
	if !rounds(c.Raw, part) {
		return shown
	}
	before, behind := strings.TrimSpace(shown[:place[0]]), strings.TrimSpace(shown[place[1]:])
	return clean(before + " " + raw + " " + behind)
}

// isFraction reports whether a number is shown as a common fraction, closely enough.
func isFraction(raw, shown string) bool {
	m := shownFraction.FindStringSubmatch(shown)
	if m == nil {
		return false
	}
	v, ok := float(raw)
	whole, _ := float(orSelf(m[1], "0"))
	above, _ := float(m[2])
	below, _ := float(m[3])
	d := v - whole - above/below
	return ok && below > 1 && d < 0.5/below && d > -0.5/below
}

// rounds reports whether a shown number is the stored one, rounded to the shown digits.
func rounds(raw, shown string) bool {
	v, ok := float(raw)
	if !ok {
		return false
	}
	for _, s := range spellings(shown) {
		w, ok := float(s)
		if !ok {
			continue
		}
		mantissa, exponent, _ := strings.Cut(strings.ToLower(s), "e")
		ten, _ := strconv.Atoi(exponent)
		if i := strings.IndexByte(mantissa, '.'); i >= 0 {
			ten -= len(mantissa) - i - 1
		}
		half := 0.5 * math.Pow(10, float64(ten))
		if d := v - w; d <= half*1.000001 && d >= -half*1.000001 {
			return true
		}
	}
	return false
}

// spellings returns the ways to read a shown number, with either sign as the decimal sign.
func spellings(shown string) []string {
	bare := withoutBlanks.Replace(shown)
	return []string{
		strings.ReplaceAll(bare, ",", ""),
		strings.Replace(strings.ReplaceAll(bare, ".", ""), ",", ".", 1),
	}
}

var withoutBlanks = strings.NewReplacer(" ", "", "'", "", "’", "", "\u00a0", "", "\u202f", "")

// choice is the word of a choice that a cell means.
func choice(col *assess.Column, cell string) (string, bool) {
	i := slices.IndexFunc(col.Choices, func(c string) bool { return fold(c) == fold(cell) })
	if i >= 0 {
		return col.Choices[i], true
	}
	word, ok := choiceWords[col.Name][strings.Join(wordsOf(cell), " ")]
	return word, ok
}

// choiceWords holds how studies word the choices of a column, as spelled by [wordsOf].
var choiceWords = func() map[string]map[string]string {
	all := map[string]map[string]string{}
	for name, words := range choicePhrases {
		all[name] = map[string]string{}
		for phrase, choice := range words {
			all[name][strings.Join(wordsOf(phrase), " ")] = choice
		}
	}
	return all
}()

// choicePhrases are how studies word the choices of a column; common practice.
var choicePhrases = map[string]map[string]string{
	"supply": {"3": "ac3", "3 phase": "ac3", "3ph": "ac3", "three phase": "ac3", "3 phase ac": "ac3", "three phase ac": "ac3", "ac 3ph": "ac3",
		"3p": "ac3", "3ø": "ac3", "3φ": "ac3", "3 ø": "ac3", "3 φ": "ac3", "3 ac": "ac3", "3 ph ac": "ac3",
		"1": "ac1", "1 phase": "ac1", "1ph": "ac1", "single phase": "ac1", "1p": "ac1", "1 phase ac": "ac1", "single phase ac": "ac1",
		"1ø": "ac1", "1φ": "ac1", "1 ø": "ac1", "1 φ": "ac1", "1 ac": "ac1", "ac 1ph": "ac1", "dc": "dc", "direct current": "dc"},
	"class": {"panel": "panelboard", "panelboards": "panelboard", "panel board": "panelboard", "distribution panel": "panelboard",
		"lighting panel": "panelboard", "motor control center": "mcc", "motor control centre": "mcc", "switch gear": "switchgear",
		"swgr": "switchgear", "lv switchgear": "switchgear", "mv switchgear": "switchgear", "low voltage switchgear": "switchgear",
		"medium voltage switchgear": "switchgear", "switch board": "switchboard", "swbd": "switchboard", "disconnect switch": "disconnect",
		"safety switch": "disconnect", "switch": "disconnect", "dry type transformer": "transformer", "battery bank": "battery"},
	"electrodes": {"vertical open": "VOA", "open vertical": "VOA", "horizontal open": "HOA", "open horizontal": "HOA"},
	"mode":       {"maintenance mode": "maintenance", "normal mode": "normal"},
	"conductor":  {"fixed conductor": "fixed", "fixed circuit part": "fixed", "movable conductor": "movable", "moveable": "movable"},
	"label":      {"y": "yes", "n": "no", "true": "yes", "false": "no"},
}

var (
	// feetInchesBare matches 3-4 and 3' 4 below a heading of feet and inches.
	feetInchesBare = regexp.MustCompile(`^(\d{1,3}) ?(?:'|′|’|ft\.?)? ?[- ] ?(\d{1,2}(?:[.,]\d+)?) ?(?:"|″|”|in\.?)?$`)
	feetAlone      = regexp.MustCompile(`^(\d{1,3}) ?(?:'|′|’|ft\.?)$`)
)

// quantity is a cell as locations.csv writes it: with a decimal point, and with its own unit if the
// column's unit is not that of the file. What cannot be read is returned in such a form that the
// reader of locations.csv cannot read it either: it stops its location and is never reinterpreted.
func (f *file) quantity(m *Meaning, text string) (cell string, ok bool) {
	mark, number := "", text
	if m.Name == "energy" {
		mark, number = site.SplitBound(text)
	}
	if m.Unit.FeetInches && !site.FeetAndInches(number) {
		switch {
		case feetInchesBare.MatchString(number):
			p := feetInchesBare.FindStringSubmatch(number)
			number = p[1] + "'-" + strings.Replace(p[2], ",", ".", 1) + `"`
		case feetAlone.MatchString(number):
		case !carriesUnit(m.Column, number):
			return unread(text), false // 3.4: feet, or 3 ft 4 in?
		}
	}
	unit := m.Unit.NamedUnit
	if m.Name == "voltage" && strings.Contains(number, "/") && !f.oneSystem(m.Column, unit, number) {
		return unread(text), false
	}
	if m.Unit.Own && !carriesUnit(m.Column, number) {
		return unread(text), false
	}
	number = f.ungroup(m.Column, unit, number)
	want, readable := f.numbers.Value(m.Column, unit, number, f.hertz)
	if !readable {
		return unread(text), false
	}
	number = strings.Replace(number, ",", ".", 1)
	if strings.Contains(number, "/") {
		number = strings.ReplaceAll(number, ",", ".")
	}
	if unit.Of != 1 && !carriesUnit(m.Column, number) {
		number += " " + unit.Symbol()
	}
	base := unit
	base.Of = 1
	if got, same := plainNumbers.Value(m.Column, base, number, f.hertz); !same || !assess.Same(got, want) {
		return unread(text), false
	}
	return clean(mark + number), true
}

// oneSystem reports whether two voltages are of one system, such as 480Y/277 and 120/240: a factor
// √3 or 2 apart, within rounding. 13800/480 are the two sides of a transformer, which cannot be on
// one label.
func (f *file) oneSystem(c *assess.Column, unit site.NamedUnit, text string) bool {
	one, other, _ := strings.Cut(text, "/")
	one = strings.TrimRight(one, "YyΔ ")
	_, first := site.SplitUnit(one)
	_, last := site.SplitUnit(other)
	if first == "" && last != "" {
		one += " " + last
	}
	if last == "" && first != "" {
		other += " " + first
	}
	a, ok := f.value(c, unit, strings.TrimSpace(one))
	b, also := f.value(c, unit, strings.TrimSpace(other))
	if !ok || !also {
		return false
	}
	ratio := max(a, b) / min(a, b)
	return ratio > 1.68 && ratio < 1.79 || ratio > 1.95 && ratio < 2.05
}

// plainNumbers reads numbers like the locations.csv that is written.
var plainNumbers = site.NumbersOf([]string{"0.5"}, false)

// unread marks a cell that cannot be read reliably.
func unread(text string) string { return "? " + text }

func float(s string) (float64, bool) {
	v, err := strconv.ParseFloat(s, 64)
	return v, err == nil
}
