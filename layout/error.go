package layout

import (
	"fmt"
	"strings"
)

// FitError says that a text does not fit on a label unless it is clipped or made
// smaller than the legible minimum.
type FitError struct {
	ID    string // the location
	Field string // what the text is, in plain words: "wear list"
	Text  string
	Stock string // where it does not fit; "" on a page that is not a label
	Why   string // "takes 9 lines"

	// FitsOn is the smallest built-in stock that holds the label; "" for none, or if
	// no other was tried.
	FitsOn string
}

// Error says all but FitsOn in one line.
func (e *FitError) Error() string {
	text := e.Text
	if r := []rune(text); len(r) > 120 {
		text = strings.TrimSpace(string(r[:120])) + "…"
	}
	id := e.ID
	if e.Stock != "" {
		id += " does not fit on " + e.Stock
	}
	return fmt.Sprintf("%s: %s: %s: %q", id, e.Field, e.Why, text)
}

// Misfits are all the [FitError]s in an error from drawing, or nil if it is of another
// kind.
func Misfits(err error) (all []*FitError) {
	switch e := err.(type) {
	case *FitError:
		return []*FitError{e}
	case interface{ Unwrap() error }:
		return Misfits(e.Unwrap())
	case interface{ Unwrap() []error }:
		for _, one := range e.Unwrap() {
			all = append(all, Misfits(one)...)
		}
	}
	return all
}
