package intake

import (
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"vouchmark/assess"
	"vouchmark/assess/intake/sheet"
	"vouchmark/assess/site"
)

var threeParts = regexp.MustCompile(`^(\d{1,2})[/.-](\d{1,2})[/.-](\d{4})\b`)

// dateLike reports whether a text is a date in any form.
func dateLike(text string) bool {
	if !strings.ContainsAny(text, "0123456789") {
		return false
	}
	for _, form := range site.DateForms() {
		if _, ok := site.ReadDate(form, text); ok {
			return true
		}
	}
	return false
}

// settleDates finds out for each column whether dates of three numbers have the month or the day
// first: only a number above 12 shows it. Columns written by two people may differ.
func (f *file) settleDates(rows []*sheet.Row) {
	f.forms = map[int]string{}
	made, one := f.answers.DateForm, true
	for i := range f.study.Columns {
		c := &f.study.Columns[i]
		if !slices.ContainsFunc(c.Means, func(m Meaning) bool { return m.Kind == assess.Day }) {
			continue
		}
		d := datesOf(c.At, rows)
		form := f.answers.DateForm
		switch {
		case d.dayFirst != "" && d.dayLast != "":
			f.ask(Question{Heading: c.Heading, What: fmt.Sprintf("%s has the day first, but %s has the month first", d.dayFirst, d.dayLast),
				Do: "correct the file"})
		case form == "m/d/y" && d.dayFirst != "" || form == "d/m/y" && d.dayLast != "":
			f.ask(Question{Heading: c.Heading, What: fmt.Sprintf("%s is not %s", d.dayFirst+d.dayLast, form),
				Do: "correct --date-form, or the dates"})
		case d.stored > 0 && d.dayFirst+d.dayLast != "" && !d.late:
			// A spreadsheet that reads the day as the month makes dates of those
			// that it can, and leaves the others as texts.
			f.ask(Question{Heading: c.Heading, What: fmt.Sprintf("%s is a text among %d dates, all of them with a day below 13: "+
				"the spreadsheet may have read their days as months", d.dayFirst+d.dayLast, d.stored),
				Do: "make them all dates in the spreadsheet, and check them"})
		case form != "":
		case d.dayFirst != "":
			form = "d/m/y"
		case d.dayLast != "":
			form = "m/d/y"
		case d.either != "":
			f.ask(Question{Heading: c.Heading, What: fmt.Sprintf("%s can be read in two ways", d.either),
				Do: "say which comes first: --date-form m/d/y or --date-form d/m/y"})
		}
		f.forms[c.At] = form
		if one = one && (made == "" || form == "" || form == made); form != "" {
			made = form
		}
	}
	if one {
		f.study.DateForm = made
	}
}

// dates is what the dates of a column show: texts that can be read in only one way, one that can be
// read in two, how many are stored as dates, and whether any of those has a day after 12.
type dates struct {
	dayFirst, dayLast, either string
	stored                    int
	late                      bool
}

func datesOf(at int, rows []*sheet.Row) dates {
	var d dates
	for _, r := range rows {
		if at >= len(r.Cells) {
			continue
		}
		if c := &r.Cells[at]; c.Kind == sheet.Day {
			d.stored++
			d.late = d.late || c.Raw[len(c.Raw)-2:] > "12"
			continue
		}
		p := threeParts.FindStringSubmatch(clean(r.Cells[at].Shown))
		if p == nil {
			continue
		}
		a, _ := strconv.Atoi(p[1])
		b, _ := strconv.Atoi(p[2])
		switch {
		case a > 12 && d.dayFirst == "":
			d.dayFirst = p[0]
		case a <= 12 && b > 12 && d.dayLast == "":
			d.dayLast = p[0]
		case a <= 12 && b <= 12 && a != b && d.either == "":
			d.either = p[0]
		}
	}
	return d
}

// date is a cell as an ISO date; unchanged if it is not a date.
func (f *file) date(at int, c *sheet.Cell) (string, bool) {
	if c.Kind == sheet.Day {
		return c.Raw, true
	}
	text := clean(c.Shown)
	form := f.forms[at]
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
