package layout

import "errors"

// Misfits are all the [FitError]s in an error of drawing, or nil where it is of
// another kind.
func Misfits(err error) []*FitError {
	var all []*FitError
	if many, ok := err.(interface{ Unwrap() []error }); ok {
		for _, e := range many.Unwrap() {
			all = append(all, Misfits(e)...)
		}
		return all
	}
	var one *FitError
	if errors.As(err, &one) {
		all = append(all, one)
	}
	return all
}
