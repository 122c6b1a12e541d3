package assess

import (
	"regexp"
	"strconv"
)

// Source is where a row came from: the study file as kept in studies/, its sheet and the
// row there. The column source has it in the form "R-2026.xlsx Results 17".
type Source struct {
	File  string // without blanks, with an extension
	Sheet string // "" for a file without sheets
	Row   int    // from 1, as a spreadsheet counts
}

// String is the source as the column writes it.
func (s Source) String() string {
	row := " " + strconv.Itoa(s.Row)
	if s.Sheet == "" {
		return s.File + row
	}
	return s.File + " " + s.Sheet + row
}

// Words are the source for a person: "R-2026.xlsx, Results, row 17".
func (s Source) Words() string {
	row := ", row " + strconv.Itoa(s.Row)
	if s.Sheet == "" {
		return s.File + row
	}
	return s.File + ", " + s.Sheet + row
}

// sourceForm is a file name with an extension, what may be a sheet, a row.
var sourceForm = regexp.MustCompile(`^([^\s/\\]+\.\pL[\pL\pN]{0,5}) (?:(.+) )?([1-9][0-9]{0,6})$`)

// ParseSource reads the column source. ok is false for a text written by a person that
// names no file, such as "report of 2026, page 3".
func ParseSource(text string) (s Source, ok bool) {
	m := sourceForm.FindStringSubmatch(text)
	if m == nil {
		return Source{}, false
	}
	row, err := strconv.Atoi(m[3])
	return Source{m[1], m[2], row}, err == nil
}
