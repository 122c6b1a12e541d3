package intake

import (
	"fmt"
	"regexp"
	"slices"
	"strings"

	"vouchmark/assess"
	"vouchmark/assess/intake/sheet"
)

// checkNeeded lists the required columns that are missing: not in a heading, not given by the person,
// and not in the site's [defaults]. A restudy needs its own date: the old one would make new numbers
// look old, or old ones new.
func (f *file) checkNeeded(c Context) {
	f.giveAll()
	for i := range assess.Columns {
		col := &assess.Columns[i]
		if !col.Needed || f.named(col.Name) || f.given[col.Name] {
			continue
		}
		if c.Defaults[col.Name] && !(col.Name == "prepared" && c.Labels) || c.Has[col.Name] && !restated(col.Name) {
			continue
		}
		f.missing(col)
	}
	f.checkResults()
}

func (f *file) missing(col *assess.Column) {
	m := Missing{Column: col.Spellings()[0]}
	for i := range f.study.Columns {
		if x := &f.study.Columns[i]; slices.Contains(x.Perhaps, col.Name) {
			m.Perhaps = append(m.Perhaps, x.Heading)
		}
	}
	do := ""
	switch empty := f.emptyColumn(col.Name); {
	case empty != "":
		do = fmt.Sprintf("its heading %q is there, but all cells below it are empty: fill them in", empty)
	case len(m.Perhaps) > 0:
		do = fmt.Sprintf("is it %s? --column %q", quoted(m.Perhaps), m.Perhaps[0]+"="+m.Column)
	case col.Name == "prepared":
		do = "labels show this date: --give prepared=2026-03-14" + f.dateAbove()
	case slices.Contains(givable, col.Name):
		value := map[string]string{"supply": "ac3", "distance": "…"}[col.Name]
		do = fmt.Sprintf("if it is the same in all rows: --give %s=%s, or set it under [defaults] in site.toml", m.Column, value)
		if col.Name == "distance" {
			do = fmt.Sprintf("if the study uses one for all rows: --give %s=18", m.Column)
		}
	case col.Name == "equipment" && f.named("id"):
		do = fmt.Sprintf("say which heading it is (one heading may be both): --column %q", f.headingOf("id")+"=equipment")
	default:
		do = fmt.Sprintf("say which heading it is: --column HEADING=%s", m.Column)
	}
	m.Hint = do
	f.study.Missing = append(f.study.Missing, m)
	if !slices.ContainsFunc(f.study.Questions, func(q Question) bool {
		return len(m.Perhaps) > 0 && slices.Contains(m.Perhaps, q.Heading)
	}) {
		f.ask(Question{What: "no column " + m.Column + ": " + col.Meaning, Do: do})
	}
}

// emptyColumn is the heading of a matching column that is empty; "" for none.
func (f *file) emptyColumn(name string) string {
	for i := range f.study.Columns {
		c := &f.study.Columns[i]
		if c.Left && c.Filled == 0 && slices.ContainsFunc(f.readings(f.heading.Texts[i], c.Below), func(r reading) bool {
			return !r.weak && r.name == name
		}) {
			return c.Heading
		}
	}
	return ""
}

// dateAbove is what may be the study's date in the title block.
func (f *file) dateAbove() string {
	for i := range f.sheet.Rows[:f.heading.last] {
		r := &f.sheet.Rows[i]
		for k := range r.Cells {
			text := clean(r.Cells[k].Shown)
			if r.Cells[k].Kind == sheet.Day || dateWithin.MatchString(text) {
				return fmt.Sprintf(" (row %d says %s)", r.Number, excerpt(r))
			}
		}
	}
	return ""
}

var dateWithin = regexp.MustCompile(`\b(\d{1,2}[/.-]\d{1,2}[/.-]\d{4}|\d{4}-\d\d-\d\d|\pL{3,9}\.? \d{1,2}, \d{4}|\d{1,2} \pL{3,9} \d{4})\b`)

// checkResults asks if there are neither results nor the inputs to compute them.
func (f *file) checkResults() {
	if f.named("energy") && f.named("boundary") {
		return
	}
	if !f.named("energy") && !f.named("boundary") && f.named("fault") && f.named("clear") {
		return
	}
	for _, name := range []string{"energy", "boundary"} {
		if f.named(name) || slices.ContainsFunc(f.study.Questions, func(q Question) bool {
			return strings.Contains(q.What, "looks like "+name)
		}) {
			continue
		}
		f.missing(assess.ColumnNamed(name))
	}
}
