package intake

import (
	"fmt"
	"slices"
	"strings"

	"vouchmark/assess"
	"vouchmark/assess/site"
)

// Answers is what a person says about a file, with flags or in intake.toml.
type Answers struct {
	Sheet      string
	HeadingRow int      // 0: find it
	Columns    []Answer // the meaning of headings
	Leave      []string // headings to ignore
	Skip       []int    // rows to ignore
	Give       []Given  // values for all rows that do not state their own
	Modes      []Given  // whether the maintenance switch is on in a case: its name, and the mode
	DateForm   string   // of dates such as 3/14/2026: m/d/y or d/m/y; "" if the file shows it

	used map[string]bool
}

// Answer is the meaning of a heading: a column as [Meaning.Spelling] writes it.
type Answer struct {
	Heading, Column string
	before          bool // it is from intake.toml
}

// Given is a value for all rows.
type Given struct{ Column, Value string }

// said is the reason for the meaning of a heading that a person gave.
const said = "as you told"

// ParseAnswer reads HEADING=COLUMN. A heading may hold equal signs.
func ParseAnswer(text string) (Answer, error) {
	i := strings.LastIndex(text, "=")
	if i <= 0 {
		return Answer{}, fmt.Errorf("%q is not HEADING=COLUMN, such as \"Trip Time=clear_s\"", text)
	}
	a := Answer{Heading: clean(text[:i]), Column: strings.TrimSpace(text[i+1:])}
	if _, _, err := parseSpelling(a.Column); err != nil {
		return Answer{}, err
	}
	return a, nil
}

// ParseGiven reads COLUMN=VALUE.
func ParseGiven(text string) (Given, error) {
	name, value, ok := strings.Cut(text, "=")
	name, value = strings.TrimSpace(name), clean(value)
	if !ok || value == "" {
		return Given{}, fmt.Errorf("%q is not COLUMN=VALUE, such as supply=ac3", text)
	}
	c, unit, err := parseSpelling(name)
	if err != nil {
		return Given{}, err
	}
	if !slices.Contains(givable, c.Name) {
		return Given{}, fmt.Errorf("%s cannot be given for all rows, only these can: %s", c.Name, strings.Join(givable, ", "))
	}
	if c.Kind == assess.Quantity { // kept with its unit
		if !unit.Own && !carriesUnit(c, value) {
			value += " " + unit.Symbol()
		}
		if _, ok := plainNumbers.Value(c, unit.NamedUnit, value, 60); !ok || !carriesUnit(c, value) {
			return Given{}, fmt.Errorf("%s: %q is not a number with a unit, such as %s=18", c.Name, value, c.Spellings()[0])
		}
	}
	if c.Kind == assess.Choice {
		if _, ok := choice(c, value); !ok {
			return Given{}, fmt.Errorf("%s is one of %s, not %q", c.Name, strings.Join(c.Choices, ", "), value)
		}
	}
	if c.Kind == assess.Day {
		if _, err := assess.ParseDate(value); err != nil {
			return Given{}, fmt.Errorf("%s: %w", c.Name, err)
		}
	}
	return Given{c.Name, value}, nil
}

// givable lists the columns that may be the same in every row, like those of [defaults] in
// site.toml, and the working distance if a study has one for all.
var givable = []string{"area", "supply", "conductor", "distance", "study", "revision", "edition", "surveyed", "prepared",
	"engineer", "note"}

// parseSpelling reads a column with its unit: energy_cal_cm2, distance_cm, boundary_ft_in, or
// only a quantity if each cell has its own unit.
func parseSpelling(text string) (*assess.Column, Unit, error) {
	text = strings.ToLower(text)
	if c, u, ok := site.Canonical(text); ok && c.Name != "source" {
		return c, Unit{NamedUnit: u}, nil
	}
	for _, name := range append(names(assess.Columns), names(statedColumns)...) {
		c := columnNamed(name)
		if c == nil || c.Name == "source" {
			continue
		}
		if text == name {
			u := Unit{}
			if c.Kind == assess.Quantity {
				u.Own = true
				u.NamedUnit, _ = site.UnitIn(c, c.Units[0].Suffix)
			}
			return c, u, nil
		}
		word, ok := strings.CutPrefix(text, name+"_")
		if !ok || c.Kind != assess.Quantity {
			continue
		}
		if word == "ft_in" {
			in, ok := site.UnitIn(c, "in")
			if ok {
				return c, Unit{NamedUnit: in, FeetInches: true}, nil
			}
		}
		if u, ok := site.UnitIn(c, word); ok {
			return c, Unit{NamedUnit: u}, nil
		}
	}
	return nil, Unit{}, unknownColumn(text)
}

func unknownColumn(name string) error {
	var all []string
	for _, n := range append(names(assess.Columns), names(statedColumns)...) {
		if c := columnNamed(n); c != nil && n != "source" {
			all = append(all, c.Spellings()...)
		}
	}
	return fmt.Errorf("no column %q; the nearest is %s", name, site.Nearest(name, all))
}

func names(columns []assess.Column) []string {
	var all []string
	for i := range columns {
		if !columns[i].Noted {
			all = append(all, columns[i].Name)
		}
	}
	return all
}

// answer applies what the person says about a heading.
func (f *file) answer(c *Column, taken map[string]bool) bool {
	found := false
	for _, h := range f.answers.Leave {
		if sameHeading(h, c.Heading) {
			c.Left, c.Why, found = true, "ignored, as you asked", true
			f.answers.use(h)
		}
	}
	if found {
		return true
	}
	for _, a := range f.answers.Columns {
		if !sameHeading(a.Heading, c.Heading) {
			continue
		}
		f.answers.use(a.Heading)
		col, unit, err := parseSpelling(a.Column)
		if err != nil {
			f.ask(Question{Heading: c.Heading, What: err.Error(), Do: "correct the answer"})
			continue
		}
		found = true
		if taken[col.Name] {
			f.ask(Question{Heading: c.Heading, What: "a second heading for " + col.Name, Do: "give only one heading for it"})
			continue
		}
		taken[col.Name] = true
		m := Meaning{Column: col, Unit: unit, Certainty: Sure, Why: said}
		if a.before {
			m.Why = "as in intake.toml"
		}
		if col.Kind == assess.Quantity && !unit.Own && !unit.FeetInches && !f.agrees(col, unit, c) {
			continue
		}
		c.Means = append(c.Means, m)
	}
	return found
}

// agrees asks if the cells of a heading contradict the unit that it was said to have: they can
// all be in another one, and mostly not in this one.
func (f *file) agrees(col *assess.Column, unit Unit, c *Column) bool {
	cells := f.cells(c.At)
	fit, all := f.fits(col, unit.NamedUnit, cells)
	if all == 0 || fit*2 > all {
		return true
	}
	for _, u := range unitsOf(col) {
		if n, _ := f.fits(col, u, cells); n == all {
			c.Why = fmt.Sprintf("%s was said to be in %s, but its cells look like %s", col.Name, unit.Symbol(), u.Symbol())
			f.ask(Question{Heading: c.Heading, What: fmt.Sprintf("%q: %s, such as %s", c.Heading, c.Why, c.Samples[0]),
				Do: "correct the answer, or the file"})
			return false
		}
	}
	return true
}

func (a *Answers) use(heading string) {
	if a.used == nil {
		a.used = map[string]bool{}
	}
	a.used[fold(heading)] = true
}

// sameHeading compares headings ignoring case, blanks and signs; if nothing else is in one, it
// compares them literally.
func sameHeading(a, b string) bool {
	if x, y := fold(a), fold(b); x != "" || y != "" {
		return x == y && strings.Contains(a, "#") == strings.Contains(b, "#")
	}
	return clean(a) == clean(b)
}

// unmatchedAnswers asks about answers whose headings the file does not have.
func (f *file) unmatchedAnswers() {
	var headings []string
	for i := range f.study.Columns {
		headings = append(headings, f.study.Columns[i].Heading)
	}
	wrong := func(h string) {
		if !f.answers.used[fold(h)] {
			f.ask(Question{Heading: h, What: fmt.Sprintf("no heading %q in this file", h),
				Do: fmt.Sprintf("the nearest is %q", site.Nearest(h, headings))})
		}
	}
	for _, a := range f.answers.Columns {
		wrong(a.Heading)
	}
	for _, h := range f.answers.Leave {
		wrong(h)
	}
}
