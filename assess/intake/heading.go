package intake

import (
	"fmt"
	"regexp"
	"strings"

	"vouchmark/assess/intake/sheet"
)

// Heading is where a sheet says what its columns are.
type Heading struct {
	Rows  []int    // numbers of the rows of headings: one, or two that are read together
	Units int      // number of the row of units below, or of words that continue the headings; 0 for none
	Texts []string // by column
	Below []string // by column: its cell there

	width int   // of a text file: how many cells its rows have
	below []int // numbers of all such rows
	last  int   // place in the sheet's rows of the last of them
}

// searched is the number of rows in which the heading is looked for: title blocks are short.
const searched = 100

// cellAt is what a row shows in a column.
func cellAt(r *sheet.Row, at int) string {
	if at >= len(r.Cells) {
		return ""
	}
	return clean(r.Cells[at].Shown)
}

// clean makes one line of a text.
func clean(s string) string { return strings.Join(strings.Fields(s), " ") }

// filled is how many cells of a row are not empty.
func filled(r *sheet.Row) int {
	n := 0
	for i := range r.Cells {
		if clean(r.Cells[i].Shown) != "" {
			n++
		}
	}
	return n
}

// known is how many different columns the texts of a row name for sure, and how many of its cells
// name anything.
func (x lexicon) known(texts []string) (sure, any int) {
	names := map[string]bool{}
	for _, t := range texts {
		if t == "" || len(t) > 120 {
			continue
		}
		all := x.readings(t, "")
		if len(all) > 0 {
			any++
		}
		for _, r := range all {
			if !r.weak && r.col != nil {
				names[r.name] = true
			}
		}
	}
	return len(names), any
}

// textsOf returns the cells of a row in a number of columns; nil if more than a few of them are
// numbers or dates, since headings are not.
func textsOf(r *sheet.Row, width int) []string {
	texts := make([]string, width)
	numbers := 0
	for i := range r.Cells {
		c := &r.Cells[i]
		if c.Kind == sheet.Number || c.Kind == sheet.Day || numeric.MatchString(c.Shown) {
			numbers++
		}
		if i < width {
			texts[i] = clean(c.Shown)
		}
	}
	if numbers*5 > filled(r) {
		return nil
	}
	return texts
}

var numeric = regexp.MustCompile(`^[<>≤≥]?=?\s*[+-]?[\d.,]+$`)

// findHeading finds the row of headings of a sheet, or reads the one that the person gave. At least
// leastKnown columns must be named for sure.
func (x lexicon) findHeading(s *sheet.Sheet, named int) (*Heading, error) {
	width := widthOf(s)
	best, score := -1, 0
	var bestTexts []string
	stacked := false
	for i := range s.Rows[:min(len(s.Rows), searched)] {
		r := &s.Rows[i]
		if named > 0 && r.Number != named {
			continue
		}
		texts := textsOf(r, width)
		if texts == nil || filled(r) < 2 {
			continue
		}
		sure, any := x.known(texts)
		points := 100*sure + any
		two := false
		if i > 0 && follows(&s.Rows[i-1], r) {
			if above := textsOf(&s.Rows[i-1], width); above != nil && filled(&s.Rows[i-1]) >= 3 {
				// A heading of two rows: both together name more than each alone.
				both := make([]string, width)
				for k := range both {
					both[k] = clean(above[k] + " " + texts[k])
				}
				aboveSure, _ := x.known(above)
				s2, a2 := x.known(both)
				if s2 > sure && s2 > aboveSure {
					sure, points, texts, two = s2, 100*s2+a2, both, true
				}
			}
		}
		if (sure >= leastKnown || named > 0) && points > score {
			best, score, bestTexts, stacked = i, points, texts, two
		}
	}
	if best < 0 {
		return nil, fmt.Errorf("no row of headings found: none of the first %[2]d rows names at least %[1]d known columns, such as id, voltage, "+
			"incident energy and working distance", leastKnown, searched)
	}
	h := &Heading{Rows: []int{s.Rows[best].Number}, Texts: bestTexts, Below: make([]string, width), last: best}
	if stacked {
		h.Rows = []int{s.Rows[best-1].Number, s.Rows[best].Number}
	}
	for i := best - len(h.Rows) + 1; i <= best; i++ {
		h.width = max(h.width, s.Rows[i].Width)
	}
	x.group(s, h, best-len(h.Rows)+1)
	x.below(s, h)
	return h, nil
}

const leastKnown = 3

func widthOf(s *sheet.Sheet) int {
	width := 0
	for i := range s.Rows {
		width = max(width, len(s.Rows[i].Cells))
	}
	return width
}
