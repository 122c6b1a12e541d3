package intake

import (
	"maps"
	"regexp"
	"slices"
	"strings"
	"unicode"

	"vouchmark/assess"
	"vouchmark/assess/site"
)

// spoken is a heading split for the units of one column: its words, and the units that it names.
type spoken struct {
	words      []string // as wordsOf spells them
	units      []site.NamedUnit
	feetInches bool // its cells are such as 3-4: feet and inches together
}

var (
	// energyPerArea matches an energy per area as headings write it.
	energyPerArea = regexp.MustCompile(`(?i)\b(cal|cals|calories|j|joules)\s*(?:/|_|per\b)?\s*(?:cm\s*\^?\s*[²2]|(?:sq|square)\.?\s*cm\b\.?)`)
	// feetAndInches matches ft-in and similar; what comes before distinguishes it from 3 ft 4 in.
	feetAndInches = regexp.MustCompile(`(?i)(?:\b(?:ft|feet|foot)\b\.?\s*'?\s*(?:[-–/,&]|\band\b)?\s*\b(?:in|inch|inches)\b\.?\s*"?|'\s*[-–/&]?\s*")`)
	interrupting  = regexp.MustCompile(`(?i)\b(ka)ic\b`) // kA of interrupting capacity
	possessive    = regexp.MustCompile(`(?i)(\pL)['’]s\b`)
	tokens        = regexp.MustCompile(`\pL[\pL\pM]*|\d+(?:[.,]\d+)?|\S`)
	straightMarks = strings.NewReplacer("’", "'", "′", "'", "‘", "'", "”", `"`, "“", `"`, "″", `"`, "''", `"`)
)

// Words that replace units in a heading while it is split.
const (
	calPerArea = "calpersqcm"
	jPerArea   = "jpersqcm"
	feetInches = "feetwithinches"
)

// longUnits are units in words that only headings use, and their short forms.
var longUnits = map[string]string{
	"ampere": "a", "amperes": "a", "kiloamp": "ka", "kiloamps": "ka", "kiloampere": "ka", "kiloamperes": "ka",
	"kilovolt": "kv", "kilovolts": "kv", "millimeter": "mm", "millimeters": "mm", "millimetres": "mm", "centimeters": "cm",
	"centimetres": "cm", "meters": "m", "metres": "m", "millisecond": "ms", "milliseconds": "ms", "msecs": "ms", "secs": "s",
}

// enumerated are words after which a single letter counts things: bus A, phase S.
var enumerated = []string{"bus", "panel", "phase", "side", "section", "line", "case", "unit", "train", "feeder", "source", "main",
	"scenario", "area", "tie", "generator"}

// unitKey is the same for columns that have the same units.
func unitKey(c *assess.Column) string {
	if c == nil {
		return "any"
	}
	if c.Kind != assess.Quantity {
		return "none"
	}
	words := make([]string, len(c.Units))
	for i, u := range c.Units {
		words[i] = u.Suffix
	}
	slices.Sort(words)
	return strings.Join(words, " ")
}

// apart splits a heading for a column's units; for those of any column if it is nil.
func apart(c *assess.Column, heading string) spoken { return apartTokens(c, tokensOf(heading)) }

func isKnown(known map[string]site.NamedUnit, token string) bool {
	_, ok := known[strings.ToLower(token)]
	return ok
}

// tokensOf are the words and signs of a heading.
func tokensOf(heading string) []string { return tokens.FindAllString(spell(heading), -1) }

func apartTokens(c *assess.Column, all []string) spoken {
	known := unitWords[unitKey(c)]
	unit := func(token string) (site.NamedUnit, bool) {
		u, ok := known[strings.ToLower(token)]
		return u, ok
	}
	within := 0
	inside := false // a unit is in brackets
	for i, t := range all {
		within += depth(t)
		if _, ok := unit(t); within > 0 && ok && !behindNumber(all, i) && (!strings.EqualFold(t, "in") || endsThere(all, i)) {
			inside = true
		}
	}
	var s spoken
	var kept []string
	within = 0
	for i, t := range all {
		within += depth(t)
		u, ok := unit(t)
		switch {
		case t == feetInches && ok:
			s.feetInches = true
		case ok && behindNumber(all, i):
			kept = append(kept, t) // 18 in is a value
		case strings.EqualFold(t, "in") && !endsThere(all, i):
			// time in ms
		case ok && len(t) == 1 && within == 0 && (inside || i > 0 && slices.Contains(enumerated, strings.ToLower(all[i-1])) && !strings.EqualFold(t, "v")):
			kept = append(kept, t)
		case ok:
			s.units = append(s.units, u)
		case strings.EqualFold(t, "or") && i+1 < len(all) && isKnown(known, all[i+1]):
			// in or mm
		default:
			kept = append(kept, t)
		}
	}
	s.units = unique(s.units)
	s.words = wordsOf(strings.Join(kept, " "))
	return s
}

// dotted matches letters with points between them: W.D.
var dotted = regexp.MustCompile(`\b(\pL)\.(\pL)\.`)

// spell writes a heading so that each unit is one word.
func spell(heading string) string {
	heading = dotted.ReplaceAllString(heading, "$1$2 ")
	heading = straightMarks.Replace(possessive.ReplaceAllString(heading, "$1"))
	heading = energyPerArea.ReplaceAllStringFunc(heading, func(m string) string {
		if strings.HasPrefix(strings.ToLower(m), "j") {
			return " " + jPerArea + " "
		}
		return " " + calPerArea + " "
	})
	out, from := "", 0
	for _, at := range feetAndInches.FindAllStringIndex(heading, -1) {
		if before := strings.TrimRight(heading[:at[0]], " -"); before != "" && strings.ContainsRune("0123456789", rune(before[len(before)-1])) {
			continue
		}
		out += heading[from:at[0]] + " " + feetInches + " "
		from = at[1]
	}
	return interrupting.ReplaceAllString(out+heading[from:], "$1 aic")
}

// unitWords holds the units that a word of a heading may be, in lower case, by the units of a column
// (see unitKey).
var unitWords = func() map[string]map[string]site.NamedUnit {
	all := map[string]map[string]site.NamedUnit{"any": {}}
	add := func(c *assess.Column) {
		key := unitKey(c)
		if all[key] != nil || c.Kind != assess.Quantity || c.Units[0].Suffix == "" {
			return
		}
		words := map[string]site.NamedUnit{}
		for _, w := range site.UnitWords() {
			if u, ok := site.UnitIn(c, w); ok && !strings.HasSuffix(w, "aic") { // AIC is also used for a rating in kA
				words[w] = u
			}
		}
		for long, short := range longUnits {
			if u, ok := words[short]; ok {
				words[long] = u
			}
		}
		if u, ok := words["cal"]; ok {
			words[calPerArea], words[jPerArea] = u, words["j"]
		}
		if _, ok := words["ft"]; ok {
			words[feetInches] = site.NamedUnit{}
		}
		all[key] = words
		maps.Copy(all["any"], words)
	}
	for i := range assess.Columns {
		add(&assess.Columns[i])
	}
	return all
}()

// depth is by how much a token changes how many brackets are open.
func depth(token string) int {
	switch token {
	case "(", "[", "{":
		return 1
	case ")", "]", "}":
		return -1
	}
	return 0
}

// behindNumber reports whether a number comes before a token: 18 in, 18-in.
func behindNumber(all []string, i int) bool {
	if i > 1 && all[i-1] == "-" {
		i--
	}
	return i > 0 && all[i-1][0] >= '0' && all[i-1][0] <= '9'
}

// endsThere reports whether no word follows "in", so that it is the unit: boundary in, in/mm, in or mm;
// not time in ms.
func endsThere(all []string, i int) bool {
	if i+1 == len(all) {
		return true
	}
	next := []rune(all[i+1])[0]
	return !unicode.IsLetter(next) && !unicode.IsDigit(next) || strings.EqualFold(all[i+1], "or") || strings.EqualFold(all[i+1], "and")
}

func unique(units []site.NamedUnit) []site.NamedUnit {
	var all []site.NamedUnit
	for _, u := range units {
		if !slices.ContainsFunc(all, func(o site.NamedUnit) bool { return o.Suffix == u.Suffix && o.Of == u.Of }) {
			all = append(all, u)
		}
	}
	return all
}
