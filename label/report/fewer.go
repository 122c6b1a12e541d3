package report

import (
	"slices"

	"vouchmark/assess"
)

// mostOfKind is how many findings of one kind a report lists; the rest is counted.
const mostOfKind = 50

// listing counts findings while they are listed.
type listing map[listedKind]int

// listedKind is what findings of one kind share.
type listedKind struct {
	level assess.Level
	code  assess.Code
	field string
}

// next reports whether the next finding is among the first of its kind.
func (l listing) next(f *assess.Finding) bool {
	l[listedKind{f.Level, f.Code, f.Field}]++
	return l.count(f) <= mostOfKind
}

// count is how many of its kind there were.
func (l listing) count(f *assess.Finding) int { return l[listedKind{f.Level, f.Code, f.Field}] }

// fewer are the findings of one location as programs get them: of its cells that cannot be read,
// apart from the first ones of each column of the site, only one, and how many more there are.
// That one says that its label is stopped.
func (l listing) fewer(all []assess.Finding) (few []assess.Finding, more int) {
	kept := false
	few = slices.DeleteFunc(slices.Clone(all), func(f assess.Finding) bool {
		first := l.next(&f)
		if f.Code != assess.Unreadable || first || !kept {
			kept = kept || f.Code == assess.Unreadable
			return false
		}
		more++
		return true
	})
	return few, more
}
