package page

import (
	"fmt"

	"vouchmark/label/basis"
)

// plannedLine is a change dated after today: the start page and what falls due name it in a line.
type plannedLine struct {
	What, Date, Path string // Path is the page of a label that it reaches, from the start page; "" for none
	Reaches          string // how many labels
}

// planned are the changes to come, the soonest first, and how many are not listed.
type plannedLines struct {
	Lines []plannedLine
	More  int
}

// mostPlanned is how many changes to come a page names.
const mostPlanned = 5

func plannedOf(s *basis.Shelf) (p plannedLines) {
	some, more := first(s.Planned(), mostPlanned)
	p.More = more
	for i := range some {
		c := &some[i]
		one := plannedLine{What: c.What, Date: c.Date.String(), Reaches: fmt.Sprintf("%d labels", len(c.IDs))}
		if len(c.IDs) == 1 {
			one.Reaches = "1 label"
		}
		if c.Code != "" {
			one.Path = underCode(c.Code)
		}
		p.Lines = append(p.Lines, one)
	}
	return p
}
