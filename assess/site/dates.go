package site

import (
	"fmt"
	"regexp"
	"slices"

	"vouchmark/assess"
)

// dateForm is how an owner's spreadsheet writes dates beside the ISO form,
// which is always read. It is never guessed from the dates.
type dateForm struct {
	name       string // in site.toml
	like       string // an example, as the message of one that cannot be read
	month, day int    // which of the three numbers each is; 0: ISO alone
}

var dateForms = []dateForm{
	{"iso", "2026-03-14", 0, 0},
	{"m/d/y", "3/14/2026 or 2026-03-14", 1, 2},
	{"d/m/y", "14/3/2026 or 2026-03-14", 2, 1},
}

// threeNumbers matches a date that ends in a year of four digits; a shorter
// year is no date.
var threeNumbers = regexp.MustCompile(`^(\d{1,2})([/.-])(\d{1,2})([/.-])(\d{4})$`)

// read reads a date.
func (f *dateForm) read(s string) (assess.Date, bool) {
	if m := threeNumbers.FindStringSubmatch(s); m != nil && m[2] == m[4] && f.month > 0 {
		numbers := []string{m[1], m[3]}
		s = fmt.Sprintf("%s-%02s-%02s", m[5], numbers[f.month-1], numbers[f.day-1])
	}
	d, err := assess.ParseDate(s)
	return d, err == nil
}

// readDateForm reads date_form.
func readDateForm(n *node) *dateForm {
	names := make([]string, len(dateForms))
	for i, f := range dateForms {
		names[i] = f.name
	}
	name := n.word("date_form", false, names[0], names...)
	return &dateForms[slices.Index(names, name)]
}

// date is the date in a cell; not given where it is empty.
func (t *table) date(name, s string) assess.Date {
	if s == "" {
		return assess.Date{}
	}
	d, ok := t.dates.read(s)
	if !ok {
		do := "year, month, day; the day must exist"
		if threeNumbers.MatchString(s) {
			do = fmt.Sprintf(`date_form in site.toml is %q; "m/d/y" reads the month first, "d/m/y" the day`, t.dates.name)
		} else if isEmptyWord(s) {
			do = "leave the cell empty where the study says nothing"
		}
		t.refuse(name, quote(s), "a date such as "+t.dates.like, do)
	}
	return d
}
