package intake

import (
	"fmt"
	"strings"

	"vouchmark/assess/intake/sheet"
)

// chooseSheet is the named sheet, or the only one with a row of headings.
func (x lexicon) chooseSheet(b *sheet.Book, name string, a *Answers) (*sheet.Sheet, *Heading, error) {
	var found []*sheet.Sheet
	var headings []*Heading
	var last error
	for i := range b.Sheets {
		s := &b.Sheets[i]
		if a.Sheet != "" && s.Name != a.Sheet {
			continue
		}
		h, err := x.findHeading(s, a.HeadingRow)
		if err != nil {
			last = err
			continue
		}
		found, headings = append(found, s), append(headings, h)
	}
	switch {
	case len(found) == 1:
		return found[0], headings[0], nil
	case len(found) == 0 && last == nil:
		return nil, nil, &NoTableError{File: name, Why: "nothing in it"}
	case len(found) == 0:
		return nil, nil, &NoTableError{File: name, Why: last.Error(), Do: "give the row with --heading-row, or a sheet with --sheet"}
	}
	var names []string
	for _, s := range found {
		names = append(names, fmt.Sprintf("%q", s.Name))
	}
	return nil, nil, &NoTableError{File: name, Why: "rows of headings on several sheets: " + strings.Join(names, ", "),
		Do: "give one with --sheet; each sheet is taken in separately"}
}

// NoTableError says that a file has no table that can be read, or several.
type NoTableError struct{ File, Why, Do string }

func (e *NoTableError) Error() string {
	if e.Do == "" {
		return e.File + ": found " + e.Why
	}
	return e.File + ": found " + e.Why + "; " + e.Do
}
