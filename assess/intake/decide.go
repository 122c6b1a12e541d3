package intake

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"vouchmark/assess"
	"vouchmark/assess/site"
)

// option is a possible heading for something.
type option struct {
	reading
	at int
}

// decide gives headings their meaning, strong ones or weak ones, and reports whether it gave any. If
// two headings claim the same name, it asks and never chooses.
func (f *file) decide(open map[int][]reading, taken map[string]bool, strong bool) (any bool) {
	claims := map[string][]option{}
	for at := range f.study.Columns {
		if strong && severally(open[at]) {
			continue
		}
		for _, r := range open[at] {
			if r.weak != strong && !taken[r.name] {
				claims[r.name] = append(claims[r.name], option{r, at})
			}
		}
	}
	for _, name := range order {
		all := claims[name]
		if len(all) == 0 || taken[name] {
			continue
		}
		if !strong && len(all) > 1 {
			all = f.without(all, open, taken)
		}
		o := all[0]
		if len(all) > 1 && strong && f.agree(all) {
			taken[name], any = true, true
			f.sure[name] = true
			f.takeSame(all)
			for _, x := range all {
				delete(open, x.at)
			}
			continue
		}
		if len(all) > 1 {
			if strong {
				f.contested(name, all)
				taken[name] = true
				for _, o := range all {
					delete(open, o.at)
				}
			}
			continue
		}
		if _, still := open[o.at]; !still || !strong && f.others(o.at, open[o.at], &o.reading, taken) > 0 {
			continue
		}
		taken[name], any = true, true
		f.sure[name] = strong
		delete(open, o.at)
		f.take(o, strong)
	}
	return any
}

// severally reports whether a heading surely stands for more than one thing: then it stands for none.
func severally(all []reading) bool {
	strong := 0
	for _, r := range all {
		if !r.weak {
			strong++
		}
	}
	return strong > 1
}

// others is how many other things a heading may still stand for. What rules out a text says nothing
// about a quantity: a study may have that one twice, and a mistyped value is not evidence.
func (f *file) others(at int, all []reading, r *reading, taken map[string]bool) (n int) {
	if r.col != nil && r.col.Kind == assess.Quantity {
		for _, x := range f.said[at] {
			// Interrupting ratings belong to devices if the equipment's own rating is there too.
			if x.name != r.name && !(r.name == "device_rating" && x.name == "rating" && f.sure["rating"]) {
				n++
			}
		}
		return n
	}
	for _, x := range all {
		if x.name != r.name && !taken[x.name] {
			n++
		}
	}
	return n
}

// without leaves out, of texts that may mean the same, those that may also mean something else, if
// that leaves one heading: Item is the id next to Name of Equipment.
func (f *file) without(all []option, open map[int][]reading, taken map[string]bool) []option {
	var alone []option
	for _, o := range all {
		if o.col == nil || o.col.Kind == assess.Quantity {
			return all
		}
		if f.others(o.at, open[o.at], &o.reading, taken) == 0 {
			alone = append(alone, o)
		}
	}
	if len(alone) == 1 {
		return alone
	}
	return all
}

func (f *file) contested(name string, all []option) {
	var headings []string
	for _, o := range all {
		c := &f.study.Columns[o.at]
		headings = append(headings, c.Heading)
		c.Why, c.Perhaps = "more than one heading may be "+name, []string{name}
	}
	col := assess.ColumnNamed(name)
	if col == nil || col.Weight != assess.Decides && !col.Needed {
		return // no label depends on it
	}
	spelled := col.Spellings()[0]
	f.ask(Question{Heading: headings[0], What: fmt.Sprintf("%s: each may be %s", quoted(headings), name),
		Do: fmt.Sprintf("say which one it is with --column %q, and --leave the others", headings[0]+"="+spelled)})
}

func quoted(texts []string) string {
	all := make([]string, len(texts))
	for i, t := range texts {
		all[i] = fmt.Sprintf("%q", t)
	}
	return strings.Join(all, ", ")
}

// agree reports whether headings differ only in their units, and every row says the same in all of
// them within its digits.
func (f *file) agree(all []option) bool {
	first := all[0]
	if first.col == nil {
		return false
	}
	words := apart(first.col, f.heading.Texts[first.at]).words
	for _, o := range all[1:] {
		if !slices.Equal(apart(o.col, f.heading.Texts[o.at]).words, words) {
			return false
		}
		if o.col.Kind != assess.Quantity {
			if !slices.Equal(f.cells(o.at), f.cells(first.at)) {
				return false
			}
			continue
		}
		a, _ := f.statements(first)
		b, ok := f.statements(o)
		if !ok || len(a) != len(b) {
			return false
		}
		for i := range a {
			if a[i].mark != b[i].mark || a[i].empty != b[i].empty || math.Abs(a[i].value-b[i].value) > a[i].half+b[i].half {
				return false
			}
		}
	}
	return true
}

// statement is what a cell says: a value in the program's own unit, and half of its last digit.
type statement struct {
	mark        string
	value, half float64
	empty       bool
}

// statements returns those of a column; false if one cannot be read.
func (f *file) statements(o option) ([]statement, bool) {
	unit, certainty, _ := f.unit(o, &f.study.Columns[o.at])
	if certainty == Unknown {
		return nil, false
	}
	m := Meaning{Column: o.col, Unit: unit}
	var all []statement
	for _, cell := range f.cells(o.at) {
		if isNothing(cell) || cell == "" {
			all = append(all, statement{empty: true})
			continue
		}
		out, ok := f.quantity(&m, cell)
		if !ok {
			return nil, false
		}
		s := statement{}
		mark, number := site.SplitBound(out)
		s.mark = strings.TrimSpace(mark)
		base := unit.NamedUnit
		base.Of = 1
		s.value, ok = plainNumbers.Value(o.col, base, number, f.hertz)
		if !ok {
			return nil, false
		}
		s.half = s.value / 1000
		if v, digits, ok := lastDigit(number); ok && v > 0 {
			s.half = s.value / v * digits / 2
		}
		all = append(all, s)
	}
	return all, true
}

// lastDigit is the number with which a text begins, and the value of one unit of its last digit.
func lastDigit(text string) (v, digit float64, ok bool) {
	bare, _ := site.SplitUnit(text)
	if v, ok = float(bare); !ok {
		return 0, 0, false
	}
	digit = 1
	if i := strings.IndexByte(bare, '.'); i >= 0 {
		digit = math.Pow(10, -float64(len(bare)-i-1))
	}
	return v, digit, true
}

// takeSame takes, of headings that say the same, the one with the most digits.
func (f *file) takeSame(all []option) {
	best := all[0]
	if best.col.Kind == assess.Quantity {
		finest := math.Inf(1)
		for _, o := range all {
			sum := 0.0
			statements, _ := f.statements(o)
			for _, s := range statements {
				sum += s.half
			}
			if sum < finest {
				best, finest = o, sum
			}
		}
	}
	f.take(best, true)
	for _, o := range all {
		if o.at != best.at {
			f.study.Columns[o.at].Why = fmt.Sprintf("it says the same as %q in every row", f.study.Columns[best.at].Heading)
		}
	}
}

// take gives a heading its column, if its unit is clear.
func (f *file) take(o option, strong bool) {
	c := &f.study.Columns[o.at]
	if o.col == nil {
		c.Why = "it looks like " + o.name + ", which locations.csv does not have"
		return
	}
	m := Meaning{Column: o.col, Certainty: Sure}
	if !strong {
		m.Certainty, m.Why = Likely, "from its heading; nothing else is left for it"
	}
	if o.col.Kind == assess.Quantity {
		unit, certainty, why := f.unit(o, c)
		if certainty == Unknown {
			c.Why, c.Perhaps = o.name+", but "+why, []string{o.name}
			spelled := o.col.Spellings()
			f.askUnit(c, o.col, fmt.Sprintf("%q looks like %s, but %s", c.Heading, o.name, why),
				fmt.Sprintf("give its unit: --column %q or similar", c.Heading+"="+spelled[0]))
			return
		}
		m.Unit = unit
		if certainty == Likely {
			m.Certainty = Likely
			m.Why = join(m.Why, why)
		}
	}
	c.Means = append(c.Means, m)
}

func join(a, b string) string {
	if a == "" || b == "" {
		return a + b
	}
	return a + "; " + b
}

// askUnit asks if a column that decides a label has no unit.
func (f *file) askUnit(c *Column, col *assess.Column, what, do string) {
	if col.Weight == assess.Decides {
		f.ask(Question{Heading: c.Heading, What: what, Do: do + ", or --leave it"})
	}
}

// unit finds the unit of the numbers of a column: from the heading, the row of units and the cells
// themselves, and only if none of them says it, the one unit in which all of its values can be.
func (f *file) unit(o option, c *Column) (Unit, Certainty, string) {
	col, named, cells := o.col, o.units, f.cells(c.At)
	if len(col.Units) == 1 && col.Units[0].Suffix == "" {
		return Unit{NamedUnit: site.NamedUnit{Of: 1}}, Sure, ""
	}
	if o.feetInches && len(named) == 0 {
		return Unit{NamedUnit: site.NamedUnit{Word: "in", Suffix: "in", Of: 1}, FeetInches: true}, Sure, ""
	}
	switch {
	case len(named) > 1:
		return Unit{}, Unknown, fmt.Sprintf("it names two units, %s and %s", named[0].Symbol(), named[1].Symbol())
	case len(named) == 1 && o.feetInches:
		return Unit{}, Unknown, fmt.Sprintf("it names two units, feet with inches and %s", named[0].Symbol())
	case len(named) == 1:
		if fit, all := f.fits(col, named[0], cells); all > 0 && fit*2 <= all {
			return Unit{}, Unknown, fmt.Sprintf("it names %s, but most of its values would be absurd in it, such as %s",
				named[0].Symbol(), c.Samples[0])
		}
		return Unit{NamedUnit: named[0]}, Sure, ""
	}
	own, plain := 0, 0
	for _, cell := range cells {
		_, number := site.SplitBound(cell)
		switch {
		case number == "" || isNothing(number):
		case carriesUnit(col, number):
			own++
		default:
			plain++
		}
	}
	base, _ := site.UnitIn(col, col.Units[0].Suffix)
	if own > 0 && plain == 0 {
		return Unit{NamedUnit: base, Own: true}, Sure, "each cell has its unit"
	}
	// A few values do not rule out a unit: they may be mistyped.
	var can []site.NamedUnit
	whole := false
	for _, u := range unitsOf(col) {
		if fit, all := f.fits(col, u, cells); all > 0 && fit*2 >= all {
			can, whole = append(can, u), fit == all
		}
	}
	switch {
	case len(can) == 1 && whole:
		return Unit{NamedUnit: can[0]}, Likely, fmt.Sprintf("its values can only be in %s, such as %s",
			inWords(can[0]), c.Samples[0])
	case len(can) < 2:
		return Unit{}, Unknown, "it names no unit, and there is no unit that fits all of its values"
	}
	return Unit{}, Unknown, fmt.Sprintf("it names no unit, and its values can be in %s or %s",
		inWords(can[0]), inWords(can[1]))
}

// inWords is a unit after "in": "in inches".
func inWords(u site.NamedUnit) string {
	switch u.Symbol() {
	case "in":
		return "inches"
	case "ft":
		return "feet"
	}
	return u.Symbol()
}
