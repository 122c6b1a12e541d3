package site

import (
	"fmt"
	"regexp"
	"slices"
	"strings"

	"vouchmark/assess"
)

// dateForm is how an owner's spreadsheet writes dates besides the ISO form, which is always
// read. It is never guessed from the dates.
type dateForm struct {
	name       string // in site.toml
	like       string // an example, for the message about a bad date
	month, day int    // the position of each among the three numbers; 0: ISO only
}

var dateForms = []dateForm{
	{"iso", "2026-03-14", 0, 0},
	{"m/d/y", "3/14/2026 or 2026-03-14", 1, 2},
	{"d/m/y", "14/3/2026 or 2026-03-14", 2, 1},
}

// threeNumbers matches a date that ends in a year of four digits; a shorter year is not read.
var threeNumbers = regexp.MustCompile(`^(\d{1,2})([/.-])(\d{1,2})([/.-])(\d{4})$`)

// Other ways in which spreadsheets write dates: midnight after the date, the English name of the
// month, which cannot be mistaken for a day, two digits for the year, or the number of a day
// since 1900 (here from 1954 to 2118).
var (
	midnight   = regexp.MustCompile(`(?i)[ T](00?:00(:00(\.0+)?)?|12:00(:00)? AM)$`)
	dayMonth   = regexp.MustCompile(`^(\d{1,2})[ -](\pL+)\.?[ -](\d{4})$`)
	monthDay   = regexp.MustCompile(`^(\pL+)\.? (\d{1,2}),? (\d{4})$`)
	shortYear  = regexp.MustCompile(`^(\d{1,2}([/.-])\d{1,2}([/.-])|\d{1,2}[ -]\pL+\.?[ -]|\pL+\.? \d{1,2},? )'?\d\d$`)
	dayNumber  = regexp.MustCompile(`^[2-7]\d{4}([.,]\d+)?$`)
	monthNames = []string{"january", "february", "march", "april", "may", "june", "july", "august", "september",
		"october", "november", "december"}
)

// month is the number of a month from its name, in full or by its first three letters; 0 for
// none.
func month(word string) int {
	word = strings.ToLower(word)
	return 1 + slices.IndexFunc(monthNames, func(name string) bool {
		return word == name || word == name[:3] || word == "sept" && name == "september"
	})
}

// read reads a date.
func (f *dateForm) read(s string) (assess.Date, bool) {
	if d, err := assess.ParseDate(s); err == nil {
		return d, true
	}
	s = midnight.ReplaceAllString(s, "")
	if m := monthDay.FindStringSubmatch(s); m != nil {
		s = m[2] + " " + m[1] + " " + m[3]
	}
	if m := dayMonth.FindStringSubmatch(s); m != nil && month(m[2]) > 0 {
		s = fmt.Sprintf("%s-%02d-%02s", m[3], month(m[2]), m[1])
	}
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

// DateError says what is expected instead of a bad date, and what to do.
type DateError struct {
	Like string // "2026-03-14"
	Do   string
}

func (e *DateError) Error() string { return "not a date such as " + e.Like + "; " + e.Do }

// ParseDate reads a date of a table outside the site folder, in the date form of the site's
// policy ("" means ISO only). Its error is a [DateError].
func ParseDate(form, s string) (assess.Date, error) {
	f := &dateForms[max(0, slices.IndexFunc(dateForms, func(f dateForm) bool { return f.name == form }))]
	if d, ok := f.read(s); ok {
		return d, nil
	}
	return assess.Date{}, &DateError{f.like, f.advice(s)}
}

// date is the date in a cell; not given if it is empty.
func (t *table) date(name, s string) assess.Date {
	if s == "" {
		return assess.Date{}
	}
	d, ok := t.dates.read(s)
	if !ok {
		t.refuse(name, quote(s), "a date such as "+t.dates.like, t.dates.advice(s))
	}
	return d
}

// advice says what to do about a cell that is not a date.
func (f *dateForm) advice(s string) string {
	switch day := midnight.ReplaceAllString(s, ""); {
	case threeNumbers.MatchString(day):
		return fmt.Sprintf(`date_form in site.toml is %q; "m/d/y" reads the month first, "d/m/y" the day`, f.name)
	case shortYear.MatchString(day):
		return "write the year with four digits"
	case dayNumber.MatchString(s):
		return "this is a spreadsheet's day number; format the column as a date there"
	case isEmptyWord(s):
		return "leave the cell empty where the study says nothing"
	}
	return "year, month, day; the day must exist"
}
