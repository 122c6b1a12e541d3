package intake

import (
	"fmt"
	"regexp"
	"slices"
	"strings"

	"vouchmark/assess"
	"vouchmark/assess/intake/sheet"
	"vouchmark/assess/site"
)

// headings makes a column of each heading and the cells below it.
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
			if cell == "" || isNothing(cell) {
				continue
			}
			c.Filled++
			if len(c.Samples) < 3 && !slices.Contains(c.Samples, cell) {
				c.Samples = append(c.Samples, cell)
			}
		}
		f.study.Columns = append(f.study.Columns, c)
	}
	f.signsOfNumbers()
}

// signsOfNumbers finds out how the file writes numbers, from all columns except those that are surely
// text.
func (f *file) signsOfNumbers() {
	var numbers []string
	for at := range f.study.Columns {
		text := slices.ContainsFunc(f.readings(f.heading.Texts[at], f.heading.Below[at]), func(r reading) bool {
			return !r.weak && r.col != nil && r.col.Kind != assess.Quantity
		})
		if !text {
			numbers = append(numbers, f.cells(at)...)
		}
	}
	for _, n := range numbers {
		f.signs.see(n)
	}
	f.numbers = site.NumbersOf(numbers, f.study.Book.Delimiter != ',')
}

// cells returns the cells of a column in the rows that are read, as for a quantity.
func (f *file) cells(at int) []string {
	all := make([]string, len(f.rows))
	for i, r := range f.rows {
		if at < len(r.Cells) {
			all[i] = quantityText(&r.Cells[at])
		}
	}
	return all
}

func (f *file) ask(q Question) { f.study.Questions = append(f.study.Questions, q) }

// propose decides the meaning of each heading: first what the person says, then what only one heading
// says for sure, then what is likely because only one heading is left for it and nothing else is left
// for that heading.
func (f *file) propose() {
	open := map[int][]reading{} // headings not decided yet
	f.said, f.sure = map[int][]reading{}, map[string]bool{}
	taken := map[string]bool{}
	for at := range f.study.Columns {
		c := &f.study.Columns[at]
		switch {
		case f.answer(c, taken):
		case c.Filled == 0:
			c.Left, c.Why = true, "all cells below it are empty"
		case c.Heading == "":
			c.Why = "no heading"
		case c.Hidden:
			f.hidden(c)
		default:
			f.said[at] = f.readings(f.heading.Texts[at], c.Below)
			open[at] = f.believable(c, slices.Clone(f.said[at]))
		}
	}
	f.twice(open)
	f.unmatchedAnswers()
	f.decide(open, taken, true)
	for f.decide(open, taken, false) {
	}
	f.tripTimes()
	f.describe(taken)
	for at := range f.study.Columns {
		c := &f.study.Columns[at]
		if len(c.Means) > 0 || c.Left || c.Hidden {
			continue
		}
		for _, r := range open[at] {
			if r.col != nil {
				c.Perhaps = append(c.Perhaps, r.name)
			}
		}
		if c.Why == "" && len(c.Perhaps) == 0 {
			for _, r := range f.said[at] {
				if r.col != nil && !r.weak {
					c.Perhaps = append(c.Perhaps, r.name)
					c.Why = "its heading looks like " + r.name + ", but its cells do not"
				}
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

// look is a cell seen as one of a column.
type look struct {
	empty, read, believed, amount bool
	key                           string // shared with cells that say the same
}

// believable removes meanings that the cells of a column contradict.
func (f *file) believable(c *Column, all []reading) []reading {
	// Cells that are mostly one of a few words show which of several things is meant.
	if slices.ContainsFunc(all, func(r reading) bool { return r.col != nil && r.col.Kind == assess.Choice && f.chosen(c, r.col) }) {
		all = slices.DeleteFunc(all, func(r reading) bool { return r.weak && r.col != nil && r.col.Kind == assess.Text })
	}
	all = slices.DeleteFunc(all, func(r reading) bool {
		if r.col == nil || !r.weak && r.col.Kind == assess.Quantity {
			return false
		}
		right, wrong, absurd, bare, seen := 0, 0, 0, 0, map[string]int{}
		looked := map[sheet.Cell]look{} // repeated cells are read once
		for _, row := range f.rows {
			if c.At >= len(row.Cells) {
				continue
			}
			cell := &row.Cells[c.At]
			l, known := looked[*cell]
			if !known {
				text := clean(cell.Shown)
				if l.empty = text == "" || isNothing(text); !l.empty {
					l.key, l.amount = fold(text), isAmount(text)
					l.read, l.believed = f.reads(&r, cell)
				}
				looked[*cell] = l
			}
			if l.empty {
				continue
			}
			key := l.key
			if r.name == "id" {
				key += " " + f.caseOf(row)
			}
			seen[key]++
			if l.read {
				right++
			} else {
				wrong++
			}
			if !l.believed {
				absurd++
			}
			if l.amount {
				bare++
			}
		}
		switch {
		case r.name == "id" && r.weak:
			// A name shared by many rows is not the name of a place, and numbers may be anything.
			return len(seen)*10 < (right+wrong)*9 || bare*2 > right+wrong
		case r.col.Kind == assess.Quantity:
			return absurd > 0 || right < wrong
		case r.name == "curve":
			return wrong > 0
		case r.weak && r.col.Kind == assess.Choice:
			return right < 2*wrong
		}
		return wrong > 0 && right < wrong
	})
	return all
}

// isAmount reports whether a text is a number, with or without a unit.
func isAmount(text string) bool {
	number, unit := site.SplitUnit(text)
	unit, _, _ = strings.Cut(strings.ToLower(unit), " ") // V rms
	_, known := unitWords["any"][unit]
	return numeric.MatchString(text) || known && numeric.MatchString(number) || voltagePair.MatchString(text)
}

var voltagePair = regexp.MustCompile(`(?i)^\d[\d.,]*( ?[YyΔ]? ?/ ?\d[\d.,]*)?( ?k?v(ac|dc|ll|ln)?)?$`)

// caseOf is what a row has below a heading that is surely the case.
func (f *file) caseOf(r *sheet.Row) string {
	for at, text := range f.heading.Texts {
		if slices.ContainsFunc(f.readings(text, f.heading.Below[at]), func(x reading) bool { return x.name == "case" && !x.weak }) {
			return cellAt(r, at)
		}
	}
	return ""
}

// chosen reports whether most cells of a column are words of a choice.
func (f *file) chosen(c *Column, col *assess.Column) bool {
	right, wrong := 0, 0
	for _, row := range f.rows {
		switch text := cellAt(row, c.At); {
		case text == "" || isNothing(text):
		default:
			if _, ok := choice(col, text); ok {
				right++
			} else {
				wrong++
			}
		}
	}
	return right > 0 && right >= wrong
}

// reads reports whether a cell fits a possible meaning of its heading, and whether its value is not
// absurd.
func (f *file) reads(r *reading, c *sheet.Cell) (read, believed bool) {
	switch r.col.Kind {
	case assess.Quantity:
		_, number := site.SplitBound(quantityText(c))
		units := r.units
		if len(units) == 0 {
			units = unitsOf(r.col)
		}
		for _, u := range units {
			if v, ok := f.value(r.col, u, number); ok {
				continuous := r.weak && strings.HasSuffix(r.name, "rating") && v <= mostAmperes
				read, believed = true, believed || isPlausible(r.col, v) && !continuous
			}
		}
		if !read {
			return feetInchesBare.MatchString(number), true
		}
		return read, believed
	case assess.Day:
		return c.Kind == sheet.Day || dateLike(clean(c.Shown)), true
	case assess.Choice:
		_, ok := choice(r.col, clean(c.Shown))
		return ok, true
	}
	return c.Kind != sheet.Day && !dateLike(clean(c.Shown)), true
}

// hidden ignores a hidden column: nobody sees it in the spreadsheet, so it may be outdated. A person
// may name it.
func (f *file) hidden(c *Column) {
	c.Why = "a hidden column is read only if you name it"
	for _, r := range f.readings(f.heading.Texts[c.At], c.Below) {
		if r.col != nil {
			c.Perhaps = append(c.Perhaps, r.name)
		}
	}
}

// twice removes uncertain meanings from headings that occur twice: what is ruled out for one of them
// says nothing about the other.
func (f *file) twice(open map[int][]reading) {
	count := map[string]int{}
	for _, text := range f.heading.Texts {
		count[fold(text)]++
	}
	for at := range open {
		if count[fold(f.heading.Texts[at])] > 1 {
			open[at] = slices.DeleteFunc(open[at], func(r reading) bool { return r.weak })
		}
	}
}

// tripTimes does not accept a trip time as a clearing time if the opening time of the breaker has its
// own column: the arc lasts for both.
func (f *file) tripTimes() {
	var opening string
	for i := range f.study.Columns {
		c := &f.study.Columns[i]
		if slices.ContainsFunc(f.readings(f.heading.Texts[i], c.Below), func(r reading) bool { return r.name == "opening time" }) {
			opening = c.Heading
		}
	}
	for i := range f.study.Columns {
		c := &f.study.Columns[i]
		weak := slices.ContainsFunc(f.readings(f.heading.Texts[i], c.Below), func(r reading) bool { return strings.HasPrefix(r.name, "clear") && r.weak })
		for k := range c.Means {
			if !strings.HasPrefix(c.Means[k].Name, "clear") || c.Means[k].Why == said || !weak {
				continue
			}
			if opening != "" {
				c.Means = slices.Delete(c.Means, k, k+1)
				c.Why, c.Perhaps = fmt.Sprintf("the arc lasts until the breaker has opened, and %q has that time in its own column", opening),
					[]string{"clear"}
				f.ask(Question{Heading: c.Heading, What: fmt.Sprintf("%q does not include %q, and the arc lasts for both", c.Heading, opening),
					Do: "add a column with the sum to the file and call it arc duration, or --leave both"})
				break
			}
			c.Means[k].Why = join(c.Means[k].Why, "if it includes the opening time of the breaker")
		}
	}
}

// describe uses the type of equipment as its description if nothing else describes it.
func (f *file) describe(taken map[string]bool) {
	if taken["equipment"] {
		return
	}
	for i := range f.study.Columns {
		c := &f.study.Columns[i]
		for _, m := range c.Means {
			if m.Name == "class" {
				c.Means = append(c.Means, Meaning{Column: columnNamed("equipment"), Certainty: Likely,
					Why: "nothing else describes the equipment"})
				taken["equipment"] = true
				return
			}
		}
	}
}
