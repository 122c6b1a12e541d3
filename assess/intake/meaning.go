package intake

import (
	"slices"
	"strings"

	"vouchmark/assess"
	"vouchmark/assess/site"
)

// What a study states and locations.csv has no column for: it is compared with what the program
// derives, see stated.go.
const (
	limited    = "limited_approach"
	restricted = "restricted_approach"
	glove      = "glove_class"
	ppe        = "ppe"
	signal     = "signal_word"
)

// statedColumns are those as columns.
var statedColumns = []assess.Column{
	{Name: limited, Kind: assess.Quantity, Units: assess.Lengths, Meaning: "limited approach boundary, only compared"},
	{Name: restricted, Kind: assess.Quantity, Units: assess.Lengths, Meaning: "restricted approach boundary, only compared"},
	{Name: glove, Kind: assess.Text, Meaning: "class of insulating gloves, only compared"},
	{Name: ppe, Kind: assess.Text, Meaning: "level of PPE, only compared"},
	{Name: signal, Kind: assess.Text, Meaning: "signal word, only compared"},
}

// columnNamed is a column of locations.csv, or one that is only compared; nil for names of the
// vocabulary that are neither.
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
	name       string         // in the vocabulary
	col        *assess.Column // nil if it is not one of ours
	weak       bool
	units      []site.NamedUnit // that the heading names
	feetInches bool             // it names both together
}

// lexicon remembers what texts may mean as headings while a file is read.
type lexicon map[string][]reading

// readings returns what a heading may mean, with the cell below it in a row of units, "" for none.
func (x lexicon) readings(heading, below string) []reading {
	if below = strings.Trim(below, "()[]{} "); below != "" {
		heading += " (" + below + ")"
	}
	all, ok := x[heading]
	if !ok {
		all = readings(heading)
		x[heading] = all
	}
	return slices.Clone(all)
}

func readings(heading string) []reading {
	if c, u, ok := canonical(heading); ok {
		r := reading{name: c.Name, col: c}
		if c.Kind == assess.Quantity && u.Suffix != "" {
			r.units = []site.NamedUnit{u}
		}
		return []reading{r}
	}
	byUnits, tokens := map[string]spoken{}, tokensOf(heading)
	var all []reading
	for _, name := range order {
		r := reading{name: name, col: columnNamed(name)}
		key := unitKey(r.col)
		s, ok := byUnits[key]
		if !ok {
			s = apartTokens(r.col, tokens)
			byUnits[key] = s
		}
		r.units, r.feetInches = s.units, s.feetInches
		found, weak := false, true
		for i := range vocabulary[name] {
			p := &vocabulary[name][i]
			if p.means(s.words) && p.unitAgrees(&s) {
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

// canonical is the column whose name in locations.csv, with its unit, equals a heading except for
// capitals: distance_in, not "Distance in". A name that is also a usual word is left to the
// vocabulary.
func canonical(heading string) (*assess.Column, site.NamedUnit, bool) {
	c, u, ok := site.Canonical(heading)
	if !ok || c.Name == "source" || strings.ContainsAny(heading, " -") {
		return nil, u, false
	}
	if !strings.Contains(heading, "_") && slices.Contains(usualWords, c.Name) {
		return nil, u, false
	}
	return c, u, true
}

// usualWords are names of columns that mean something else in many studies.
var usualWords = []string{"curve", "multiplier"}
