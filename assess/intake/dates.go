package intake

import (
	"fmt"
	"regexp"
	"strconv"

	"vouchmark/assess"
	"vouchmark/assess/intake/sheet"
	"vouchmark/assess/site"
)

var threeParts = regexp.MustCompile(`^(\d{1,2})[/.-](\d{1,2})[/.-](\d{4})\b`)

// dateLike reports whether a text is a date in any form.
func dateLike(text string) bool {
	for _, form := range site.DateForms() {
		if _, ok := site.ReadDate(form, text); ok {
			return true
		}
	}
	return false
}

// settleDates finds out whether dates of three numbers have the month or the day
// first: one of them above 12 tells it for the file, and nothing else does.
func (f *file) settleDates() {
	var first, second, both bool // a day above 12 stands first, second; a date that can be read both ways
	var heading, sample string
	for i := range f.study.Columns {
		c := &f.study.Columns[i]
		for _, m := range c.Means {
			if m.Kind != assess.Day {
				continue
			}
			for _, r := range f.rows {
				if c.At >= len(r.Cells) || r.Cells[c.At].Kind == sheet.Day {
					continue
				}
				p := threeParts.FindStringSubmatch(clean(r.Cells[c.At].Shown))
				if p == nil {
					continue
				}
				a, _ := strconv.Atoi(p[1])
				b, _ := strconv.Atoi(p[2])
				switch {
				case a > 12:
					first = true
				case b > 12:
					second = true
				case a != b && !both:
					both, heading, sample = true, c.Heading, p[0]
				}
			}
		}
	}
	f.study.DateForm = f.answers.DateForm
	switch {
	case f.answers.DateForm == "m/d/y" && first || f.answers.DateForm == "d/m/y" && second:
		f.ask(Question{Heading: heading, What: fmt.Sprintf("dates that are not %s", f.answers.DateForm),
			Do: "correct --date-form, or the dates"})
	case f.answers.DateForm != "":
	case first && second:
		f.ask(Question{What: "dates with the day first, and others with the month first", Do: "correct the file"})
	case first:
		f.study.DateForm = "d/m/y"
	case second:
		f.study.DateForm = "m/d/y"
	case both:
		f.ask(Question{Heading: heading, What: fmt.Sprintf("%s reads two ways", sample),
			Do: "say which comes first: --date-form m/d/y or --date-form d/m/y"})
	}
}

// date is a cell as an ISO date; as it is where it is none.
func (f *file) date(c *sheet.Cell) (string, bool) {
	if c.Kind == sheet.Day {
		return c.Raw, true
	}
	text := clean(c.Shown)
	form := f.study.DateForm
	if form == "" {
		form = "iso"
		if p := threeParts.FindStringSubmatch(text); p != nil && p[1] == p[2] {
			form = "m/d/y" // 3/3/2026 is one day
		}
	}
	if d, ok := site.ReadDate(form, text); ok {
		return d.String(), true
	}
	return text, false
}
