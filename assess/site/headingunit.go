package site

import (
	"fmt"
	"regexp"
	"slices"
	"strings"

	"vouchmark/assess"
)

// An owner's heading under [columns] is in the unit of the canonical name that it stands for. A
// heading that names another unit is reported: only one of the two can be right, and the unit of
// a number is never guessed.

var (
	inBrackets = regexp.MustCompile(`\(([^()]*)\)|\[([^\[\]]*)\]|\{([^{}]*)\}`)
	perArea    = regexp.MustCompile(`(?i)\b(cal|j)\s*(?:/|_|per\b)?\s*cm\s*\^?[²2]`)
	unitWord   = regexp.MustCompile(`\pL+`)
)

// headingUnits are spellings of units that occur only in headings, such as the first word of an
// energy.
var headingUnits = map[string]string{"cal": "cal_cm2", "cals": "cal_cm2", "calories": "cal_cm2",
	"j": "j_cm2", "joules": "j_cm2"}

// otherUnit reports an owner's heading that names another unit than [columns] gives the column.
func (t *table) otherUnit(c column, heading string) bool {
	if c.Kind != assess.Quantity || c.unit.Suffix == "" {
		return false
	}
	named := c.unitsNamed(heading)
	i := slices.IndexFunc(named, func(u namedUnit) bool {
		return !u.is(c.unit.Suffix) &&
			// A single letter may be a phase or a bus if the unit itself is also named.
			!(len(u.word) == 1 && slices.ContainsFunc(named, func(o namedUnit) bool { return o.is(c.unit.Suffix) }))
	})
	if i < 0 {
		return false
	}
	other := named[i]
	do := "put the unit of the cells in the heading"
	if u := c.unitOf(other.suffix); u != nil && other.of == 1 {
		spelled := c.Spellings()[slices.IndexFunc(c.Units, func(x assess.Unit) bool { return x.Suffix == other.suffix })]
		do = fmt.Sprintf("if its cells are in %s, write %s = %s under [columns] in site.toml",
			symbol(other.suffix), spelled, quote(heading))
	}
	own := c.Spellings()[slices.Index(c.Units, c.unit)]
	t.headingFault(heading, "a heading that names "+other.word,
		fmt.Sprintf("%s, the unit of %s, as [columns] says", symbol(c.unit.Suffix), own), do)
	return true
}

// namedUnit is a unit that a heading names: a multiple of the unit of a suffix.
type namedUnit struct {
	word, suffix string
	of           float64
}

func (u namedUnit) is(suffix string) bool { return u.suffix == suffix && u.of == 1 }

// unitsNamed returns the units of the column that a heading names: those in brackets if there
// are any, else those among its words.
func (c *column) unitsNamed(heading string) []namedUnit {
	var within []namedUnit
	for _, m := range inBrackets.FindAllStringSubmatch(heading, -1) {
		text := m[1] + m[2] + m[3]
		within = append(within, c.unitsAmong(text)...)
		if u, ok := c.named(strings.TrimSpace(straight.Replace(text))); ok && !unitWord.MatchString(text) {
			within = append(within, u) // the marks of feet and inches
		}
	}
	if within != nil {
		return within
	}
	return c.unitsAmong(inBrackets.ReplaceAllString(heading, " "))
}

// unitsAmong returns the units of the column among the words of a text.
func (c *column) unitsAmong(text string) []namedUnit {
	var all []namedUnit
	text = perArea.ReplaceAllString(text, " $1 ")
	words := unitWord.FindAllString(text, -1)
	for i, word := range words {
		if strings.EqualFold(word, "in") && i < len(words)-1 {
			continue // time in ms
		}
		if u, ok := c.named(word); ok {
			all = append(all, u)
		}
	}
	return all
}

// named is the unit of the column that a word names.
func (c *column) named(word string) (namedUnit, bool) {
	u := namedUnit{word, headingUnits[strings.ToLower(word)], 1}
	if u.suffix == "" {
		known := cellUnits[foldUnit(word)]
		u.suffix, u.of = known.suffix, known.of
	}
	return u, c.unitOf(u.suffix) != nil
}
