package intake

import (
	"fmt"
	"slices"
	"strings"

	"vouchmark/assess"
	"vouchmark/assess/intake/sheet"
	"vouchmark/assess/site"
)

// headings makes a column of each heading, with what is below it.
func (f *file) headings() {
	seen := map[string]int{}
	for at, text := range f.heading.Texts {
		c := Column{At: at, Heading: text, Below: f.heading.Below[at], Hidden: slices.Contains(f.sheet.HiddenColumns, at)}
		if key := fold(text); text != "" {
			if seen[key]++; seen[key] > 1 {
				c.Heading = fmt.Sprintf("%s #%d", text, seen[key])
			}
		}
		for _, cell := range f.cells(at) {
			if cell == "" {
				continue
			}
			c.Filled++
			if len(c.Samples) < 3 && !slices.Contains(c.Samples, cell) {
				c.Samples = append(c.Samples, cell)
			}
		}
		f.study.Columns = append(f.study.Columns, c)
	}
	var numbers []string
	for _, r := range f.rows {
		for i := range r.Cells {
			numbers = append(numbers, quantityText(&r.Cells[i]))
		}
	}
	f.numbers = site.NumbersOf(numbers, f.study.Book.Delimiter != ',')
}

// cells are the cells of a column, in the rows that are read, as a quantity reads
// them.
func (f *file) cells(at int) []string {
	all := make([]string, len(f.rows))
	for i, r := range f.rows {
		if at < len(r.Cells) {
			all[i] = quantityText(&r.Cells[at])
		}
	}
	return all
}

// otherTables asks about a second heading further down: what follows it is another
// table, whose columns are not these.
func (f *file) otherTables() {
	for _, r := range f.rows {
		texts := textsOf(r, len(f.heading.Texts))
		if texts == nil {
			continue
		}
		if sure, _ := known(texts); sure >= leastKnown && sure*2 >= filled(r) {
			f.ask(Question{Row: r.Number, What: "another row of headings, unlike the first: " + excerpt(r),
				Do: "put the second table onto a sheet of its own, or leave the row out with --skip"})
		}
	}
}

func (f *file) ask(q Question) { f.study.Questions = append(f.study.Questions, q) }

// option is a heading that may stand for something.
type option struct {
	reading
	at int
}

// propose decides what each heading stands for: what the person says first, then
// what is said for sure by one heading alone, then what is likely, since one
// heading alone is left for it and nothing else is left for that heading.
func (f *file) propose() {
	open := map[int][]reading{} // headings that nothing is decided of
	taken := map[string]bool{}
	for at := range f.study.Columns {
		c := &f.study.Columns[at]
		switch {
		case f.answer(c, taken):
		case c.Filled == 0:
			c.Left, c.Why = true, "no cell below it is filled"
		case c.Heading == "":
			c.Why = "no heading"
		default:
			open[at] = f.believable(c, readings(f.heading.Texts[at], c.Below))
		}
	}
	f.unmatchedAnswers()
	f.decide(open, taken, true)
	for f.decide(open, taken, false) {
	}
	f.tripTimes()
	f.describe(taken)
	for at := range f.study.Columns {
		c := &f.study.Columns[at]
		if len(c.Means) > 0 || c.Left {
			continue
		}
		for _, r := range open[at] {
			if r.col != nil {
				c.Perhaps = append(c.Perhaps, r.name)
			}
		}
		if c.Why == "" {
			c.Why = "not known"
			if len(c.Perhaps) > 0 {
				c.Why = "it may be " + strings.Join(c.Perhaps, " or ")
			}
		}
	}
}

// decide takes headings for what they stand for, strong ones or weak ones, and
// reports whether it took any. A name that two headings claim is contested: it is
// asked, never chosen.
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
		o := all[0]
		if _, still := open[o.at]; !still || !strong && f.others(open[o.at], name, taken) > 0 {
			continue
		}
		taken[name], any = true, true
		delete(open, o.at)
		f.take(o, strong)
	}
	return any
}

// severally reports whether a heading stands for more than one thing for sure:
// then for none.
func severally(all []reading) bool {
	strong := 0
	for _, r := range all {
		if !r.weak {
			strong++
		}
	}
	return strong > 1
}

// others is how many other things a heading may still stand for.
func (f *file) others(all []reading, name string, taken map[string]bool) (n int) {
	for _, r := range all {
		if r.name != name && !taken[r.name] {
			n++
		}
	}
	return n
}

func (f *file) contested(name string, all []option) {
	var headings []string
	for _, o := range all {
		c := &f.study.Columns[o.at]
		headings = append(headings, c.Heading)
		c.Why, c.Perhaps = "more than one heading reads as "+name, []string{name}
	}
	col := assess.ColumnNamed(name)
	if col == nil || col.Weight != assess.Decides && !col.Needed {
		return // no label depends on it
	}
	spelled := col.Spellings()[0]
	f.ask(Question{Heading: headings[0], What: fmt.Sprintf("%s: each reads as %s", quoted(headings), name),
		Do: fmt.Sprintf("say which one it is: --column %q, and --leave the others", headings[0]+"="+spelled)})
}

func quoted(texts []string) string {
	all := make([]string, len(texts))
	for i, t := range texts {
		all[i] = fmt.Sprintf("%q", t)
	}
	return strings.Join(all, ", ")
}

// take takes a heading for a column, if its unit is clear.
func (f *file) take(o option, strong bool) {
	c := &f.study.Columns[o.at]
	if o.col == nil {
		c.Why = "it reads as " + o.name + ", of which locations.csv holds nothing"
		return
	}
	m := Meaning{Column: o.col, Certainty: Sure}
	if !strong {
		m.Certainty, m.Why = Likely, "by its heading, of which nothing else is left"
	}
	if o.col.Kind == assess.Quantity {
		unit, certainty, why := f.unit(o.col, o.units, c)
		if certainty == Unknown {
			c.Why, c.Perhaps = o.name+", but "+why, []string{o.name}
			spelled := o.col.Spellings()
			f.askUnit(c, o.col, fmt.Sprintf("%q reads as %s, but %s", c.Heading, o.name, why),
				fmt.Sprintf("say in what it is: --column %q or the like", c.Heading+"="+spelled[0]))
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

// askUnit asks where a column that decides a label stays without its unit.
func (f *file) askUnit(c *Column, col *assess.Column, what, do string) {
	if col.Weight == assess.Decides {
		f.ask(Question{Heading: c.Heading, What: what, Do: do + ", or --leave it"})
	}
}

// unit finds out in what the numbers of a column are: what the heading, the row
// of units and the cells themselves say, and only where none of them does, the
// one unit in which all of its values can be.
func (f *file) unit(col *assess.Column, named []site.NamedUnit, c *Column) (Unit, Certainty, string) {
	cells := f.cells(c.At)
	if len(col.Units) == 1 && col.Units[0].Suffix == "" {
		return Unit{NamedUnit: site.NamedUnit{Of: 1}}, Sure, ""
	}
	if feetInchesWords.MatchString(unitWords(c)) {
		return Unit{NamedUnit: site.NamedUnit{Word: "in", Suffix: "in", Of: 1}, FeetInches: true}, Sure, ""
	}
	switch {
	case len(named) > 1:
		return Unit{}, Unknown, fmt.Sprintf("it names two units, %s and %s", named[0].Symbol(), named[1].Symbol())
	case len(named) == 1:
		fit, all := f.fits(col, named[0], cells)
		if all > 0 && fit*2 <= all {
			for _, u := range unitsOf(col) {
				if n, _ := f.fits(col, u, cells); n == all {
					return Unit{}, Unknown, fmt.Sprintf("it names %s, and its cells read as %s, such as %s",
						named[0].Symbol(), u.Symbol(), c.Samples[0])
				}
			}
		}
		return Unit{NamedUnit: named[0]}, Sure, ""
	}
	own, plain := 0, 0
	for _, cell := range cells {
		_, number := site.SplitBound(cell)
		switch {
		case number == "" || site.EmptyWord(number):
		case carriesUnit(col, number):
			own++
		default:
			plain++
		}
	}
	base, _ := site.UnitIn(col, col.Units[0].Suffix)
	if own > 0 && plain == 0 {
		return Unit{NamedUnit: base, Own: true}, Sure, "each cell says its unit"
	}
	var can []site.NamedUnit
	for _, u := range unitsOf(col) {
		if fit, all := f.fits(col, u, cells); all > 0 && fit == all {
			can = append(can, u)
		}
	}
	switch len(can) {
	case 1:
		return Unit{NamedUnit: can[0]}, Likely, fmt.Sprintf("all of its values can be in %s alone, such as %s",
			can[0].Symbol(), c.Samples[0])
	case 0:
		return Unit{}, Unknown, "it names no unit, and there is none in which all of its values can be"
	}
	return Unit{}, Unknown, fmt.Sprintf("it names no unit, and its values can be in %s or %s",
		can[0].Symbol(), can[1].Symbol())
}

// unitWords is the unit of a heading as text: what is in brackets, or the cell
// below.
func unitWords(c *Column) string {
	if c.Below != "" {
		return strings.Trim(c.Below, "()[]{} ")
	}
	if m := brackets.FindStringSubmatch(c.Heading); m != nil {
		return strings.TrimSpace(m[1] + m[2] + m[3])
	}
	return ""
}

// believable takes out what the cells of a column speak against.
func (f *file) believable(c *Column, all []reading) []reading {
	return slices.DeleteFunc(all, func(r reading) bool {
		if r.col == nil || !r.weak && r.col.Kind == assess.Quantity {
			return false
		}
		right, wrong, seen := 0, 0, map[string]int{}
		for _, row := range f.rows {
			if c.At >= len(row.Cells) {
				continue
			}
			cell := &row.Cells[c.At]
			text := clean(cell.Shown)
			if text == "" || site.EmptyWord(text) {
				continue
			}
			seen[fold(text)]++
			if f.reads(r.col, cell) {
				right++
			} else {
				wrong++
			}
		}
		if r.name == "id" && r.weak {
			return len(seen)*10 < (right+wrong)*9 // a name that many rows share names no place
		}
		return wrong > 0 && right < wrong
	})
}

// reads reports whether a cell can be one of a column.
func (f *file) reads(col *assess.Column, c *sheet.Cell) bool {
	switch col.Kind {
	case assess.Quantity:
		text := quantityText(c)
		_, number := site.SplitBound(text)
		for _, u := range unitsOf(col) {
			if _, ok := f.numbers.Value(col, u, number, f.hertz); ok {
				return true
			}
		}
		return feetInchesBare.MatchString(number)
	case assess.Day:
		return c.Kind == sheet.Day || dateLike(clean(c.Shown))
	case assess.Choice:
		_, ok := choice(col, clean(c.Shown))
		return ok
	}
	return c.Kind != sheet.Day
}

// tripTimes takes back a trip time for a clearing time where the time that the
// breaker takes to open stands in a column of its own: the arc lasts for both.
func (f *file) tripTimes() {
	var opening string
	for i := range f.study.Columns {
		c := &f.study.Columns[i]
		if slices.ContainsFunc(readings(f.heading.Texts[i], c.Below), func(r reading) bool { return r.name == "opening time" }) {
			opening = c.Heading
		}
	}
	for i := range f.study.Columns {
		c := &f.study.Columns[i]
		words := wordsOf(c.Heading)
		if !slices.Contains(words, "trip") && !slices.Contains(words, "tripping") {
			continue
		}
		for k := range c.Means {
			if c.Means[k].Name != "clear" || c.Means[k].Why == said {
				continue
			}
			if opening != "" {
				c.Means = slices.Delete(c.Means, k, k+1)
				c.Why, c.Perhaps = fmt.Sprintf("the arc lasts until the breaker has opened, and %q has that time by itself", opening),
					[]string{"clear"}
				f.ask(Question{Heading: c.Heading, What: fmt.Sprintf("%q is without %q, and the arc lasts for both", c.Heading, opening),
					Do: "add a column with the sum to the file and name it arc duration, or --leave both"})
				break
			}
			c.Means[k].Why = join(c.Means[k].Why, "if it includes the time in which the breaker opens")
		}
	}
}

// describe takes the type of equipment for what the equipment is, where nothing
// else says it.
func (f *file) describe(taken map[string]bool) {
	if taken["equipment"] {
		return
	}
	for i := range f.study.Columns {
		c := &f.study.Columns[i]
		for _, m := range c.Means {
			if m.Name == "class" {
				c.Means = append(c.Means, Meaning{Column: columnNamed("equipment"), Certainty: Likely,
					Why: "nothing else says what the equipment is"})
				taken["equipment"] = true
				return
			}
		}
	}
}
