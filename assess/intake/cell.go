package intake

import (
	"regexp"
	"slices"
	"strconv"
	"strings"

	"vouchmark/assess"
	"vouchmark/assess/intake/sheet"
	"vouchmark/assess/site"
)

var shownNumber = regexp.MustCompile(`[+-]?\d[\d.,'’\s]*\d%?|\d%?`)

// quantityText is a cell as a quantity: what the spreadsheet shows, with the
// number that it stores in place of the shown one. A format may round the number,
// and may add a unit or the mark of a bound: 0.48 kV, > 40. Where the shown number
// is not the stored one rounded, such as a percentage, the shown one is taken:
// that is what whoever made the study saw.
func quantityText(c *sheet.Cell) string {
	shown := clean(c.Shown)
	if c.Kind != sheet.Number || c.Raw == "" || c.Raw == shown {
		return shown
	}
	place := shownNumber.FindStringIndex(shown)
	if place == nil {
		return c.Raw
	}
	part := shown[place[0]:place[1]]
	if !rounds(c.Raw, part) {
		return shown
	}
	before, behind := strings.TrimSpace(shown[:place[0]]), strings.TrimSpace(shown[place[1]:])
	return clean(before + " " + c.Raw + " " + behind)
}

// rounds reports whether a shown number is the stored one, rounded to the digits
// that are shown.
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
		digits := 0
		if i := strings.IndexByte(s, '.'); i >= 0 {
			digits = len(s) - i - 1
		}
		half := 0.5
		for range digits {
			half /= 10
		}
		if d := v - w; d <= half*1.000001 && d >= -half*1.000001 {
			return true
		}
	}
	return false
}

// spellings are the ways to read a shown number, with either sign as the decimal
// one.
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

// choiceWords are how studies say the choices of a column, as [wordsOf] spells
// them; common practice.
var choiceWords = map[string]map[string]string{
	"supply": {"3": "ac3", "3 phase": "ac3", "3ph": "ac3", "three phase": "ac3", "3 ac phase": "ac3", "ac phase three": "ac3",
		"3p": "ac3", "3o": "ac3", "3 ac": "ac3", "1": "ac1", "1 phase": "ac1", "1ph": "ac1", "phase single": "ac1", "1p": "ac1",
		"1 ac phase": "ac1", "ac phase single": "ac1", "1 ac": "ac1", "dc": "dc", "current direct": "dc"},
	"class": {"panel": "panelboard", "panelboards": "panelboard", "board panel": "panelboard", "center control motor": "mcc",
		"centre control motor": "mcc", "gear switch": "switchgear", "swgr": "switchgear", "lv switchgear": "switchgear",
		"mv switchgear": "switchgear", "low switchgear voltage": "switchgear", "medium switchgear voltage": "switchgear",
		"board switch": "switchboard", "swbd": "switchboard", "disconnect switch": "disconnect", "safety switch": "disconnect",
		"switch": "disconnect", "dry transformer type": "transformer", "bank battery": "battery", "bank": "battery"},
	"electrodes": {"open vertical": "VOA", "horizontal open": "HOA"},
	"mode":       {"maintenance mode": "maintenance", "mode normal": "normal"},
	"conductor":  {"conductor fixed": "fixed", "circuit part fixed": "fixed", "conductor movable": "movable", "moveable": "movable"},
	"label":      {"y": "yes", "n": "no", "true": "yes", "false": "no"},
}

var (
	// feetInchesBare matches 3-4 and 3' 4 below a heading of feet and inches.
	feetInchesBare = regexp.MustCompile(`^(\d{1,3}) ?(?:'|′|’|ft\.?)? ?[- ] ?(\d{1,2}(?:[.,]\d+)?) ?(?:"|″|”|in\.?)?$`)
	feetAlone      = regexp.MustCompile(`^(\d{1,3}) ?(?:'|′|’|ft\.?)$`)
)

// quantity is a cell as locations.csv spells it: with a decimal point, and with
// its own unit where that of the column is not that of the file. What cannot be
// read comes back so that the reader of locations.csv cannot read it either: it
// stops its location, and no other reading of it is made.
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
	if m.Unit.Own && !carriesUnit(m.Column, number) {
		return unread(text), false
	}
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

// plainNumbers reads numbers as the locations.csv that is written does.
var plainNumbers = site.NumbersOf([]string{"0.5"}, false)

// unread marks a cell that cannot be read for sure.
func unread(text string) string { return "? " + text }

func float(s string) (float64, bool) {
	v, err := strconv.ParseFloat(s, 64)
	return v, err == nil
}
