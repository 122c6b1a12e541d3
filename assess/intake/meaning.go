package intake

import (
	"regexp"
	"slices"
	"strings"

	"vouchmark/assess"
	"vouchmark/assess/site"
)

// What a study states and no column of locations.csv holds: it is compared with
// what the program derives, see stated.go.
const (
	limited    = "limited_approach"
	restricted = "restricted_approach"
	glove      = "glove_class"
	ppe        = "ppe"
	signal     = "signal_word"
)

// statedColumns are those as columns.
var statedColumns = []assess.Column{
	{Name: limited, Kind: assess.Quantity, Units: assess.Lengths, Meaning: "limited approach boundary, compared alone"},
	{Name: restricted, Kind: assess.Quantity, Units: assess.Lengths, Meaning: "restricted approach boundary, compared alone"},
	{Name: glove, Kind: assess.Text, Meaning: "class of insulating gloves, compared alone"},
	{Name: ppe, Kind: assess.Text, Meaning: "level of PPE, compared alone"},
	{Name: signal, Kind: assess.Text, Meaning: "signal word, compared alone"},
}

// columnNamed is a column of locations.csv, or one that is only compared; nil
// for the names of the vocabulary that are neither.
func columnNamed(name string) *assess.Column {
	if c := assess.ColumnNamed(name); c != nil && !c.Noted {
		return c
	}
	for i := range statedColumns {
		if statedColumns[i].Name == name {
			return &statedColumns[i]
		}
	}
	return nil
}

// reading is one thing that a heading may mean.
type reading struct {
	name  string         // in the vocabulary
	col   *assess.Column // nil where it is none of ours
	weak  bool
	units []site.NamedUnit // that the heading names
}

var brackets = regexp.MustCompile(`\(([^()]*)\)|\[([^\[\]]*)\]|\{([^{}]*)\}`)

// readings are the things that a heading may mean. below is its cell in a row of
// units, "" for none.
func readings(heading, below string) []reading {
	if c, u, ok := site.Canonical(heading); ok && c.Name != "source" {
		r := reading{name: c.Name, col: c}
		if c.Kind == assess.Quantity && u.Suffix != "" {
			r.units = []site.NamedUnit{u}
		}
		r.units = append(r.units, unitsBelow(c, below)...)
		return []reading{r}
	}
	var all []reading
	for _, name := range order {
		r := reading{name: name, col: columnNamed(name)}
		words := wordsOf(heading)
		if r.col != nil && r.col.Kind == assess.Quantity {
			r.units = unique(site.UnitsNamed(r.col, heading))
			words = wordsOf(withoutUnits(r.col, heading))
			r.units = unique(append(r.units, unitsBelow(r.col, below)...))
		}
		found, weak := false, true
		for i := range vocabulary[name] {
			p := &vocabulary[name][i]
			if p.means(words) && (!p.unit || len(r.units) > 0) {
				found, weak = true, weak && p.weak
			}
		}
		if found {
			r.weak = weak
			all = append(all, r)
		}
	}
	return all
}

func unitsBelow(c *assess.Column, below string) []site.NamedUnit {
	if below == "" || c.Kind != assess.Quantity {
		return nil
	}
	return site.UnitsNamed(c, below)
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

var energyPerArea = regexp.MustCompile(`(?i)\b(cal|cals|calories|j|joules)\s*(?:/|_|per\b)?\s*cm\s*\^?\s*[²2]`)

// withoutUnits takes the units of a column out of a heading: those in brackets,
// where there are any, else those among its words. What else is in brackets
// remains.
func withoutUnits(c *assess.Column, heading string) string {
	strip := func(text string) string {
		text = energyPerArea.ReplaceAllStringFunc(text, func(s string) string {
			if _, ok := site.UnitIn(c, "cal/cm2"); ok {
				return " "
			}
			return s
		})
		words := strings.FieldsFunc(text, func(r rune) bool { return strings.ContainsRune(" \t\n,;:/-–_.", r) })
		var kept []string
		for i, w := range words {
			_, ok := site.UnitIn(c, w)
			// "in" is a unit behind everything else alone: time in ms.
			if ok && (i == len(words)-1 || !strings.EqualFold(w, "in")) || !ok && strings.EqualFold(w, "in") {
				continue
			}
			kept = append(kept, w)
		}
		return strings.Join(kept, " ")
	}
	within := false
	out := brackets.ReplaceAllStringFunc(heading, func(s string) string {
		inside := s[1 : len(s)-1]
		if len(site.UnitsNamed(c, s)) > 0 {
			within = true
			return " " + strip(inside) + " "
		}
		return " " + inside + " "
	})
	if within {
		return out
	}
	return strip(out)
}
