package report

import "vouchmark/assess/standing"

// mostTouched is how many changes are told of one location.
const mostTouched = 50

// Touched gives for each place what the log of changes says of it.
func (v *View) Touched() []standing.Touched {
	return standing.Touching(v.Site, v.subjects, v.Today, mostTouched)
}
