package intake

import (
	"fmt"
	"regexp"
	"slices"
	"strings"

	"vouchmark/assess"
	"vouchmark/assess/intake/sheet"
	"vouchmark/assess/site"
)

// Heading is where a sheet says what its columns are.
type Heading struct {
	Rows  []int    // numbers of the rows of headings: one, or two that are read together
	Units int      // number of the row of units below; 0 for none
	Texts []string // by column
	Below []string // by column: its cell in the row of units

	last int // place in the sheet's rows of the last of them
}

// searched is in how many rows the heading is looked for: title blocks are short.
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

// filled is how many cells of a row hold something.
func filled(r *sheet.Row) int {
	n := 0
	for i := range r.Cells {
		if clean(r.Cells[i].Shown) != "" {
			n++
		}
	}
	return n
}

// known is how many different columns the texts of a row name for sure, and how
// many of its cells name anything.
func known(texts []string) (sure, any int) {
	names := map[string]bool{}
	for _, t := range texts {
		if t == "" || len(t) > 120 {
			continue
		}
		all := readings(t, "")
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

// textsOf are the cells of a row, in so many columns; nil where one of them is a
// number or a date, as no heading is.
func textsOf(r *sheet.Row, width int) []string {
	texts := make([]string, width)
	for i := range r.Cells {
		c := &r.Cells[i]
		if c.Kind == sheet.Number || c.Kind == sheet.Day || numeric.MatchString(c.Shown) {
			return nil
		}
		if i < width {
			texts[i] = clean(c.Shown)
		}
	}
	return texts
}

var numeric = regexp.MustCompile(`^[<>≤≥]?\s*[+-]?[\d.,]+$`)

// findHeading finds the row of headings of a sheet, or reads the one that the
// person names. leastKnown columns must be named for sure.
func findHeading(s *sheet.Sheet, named int) (*Heading, error) {
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
		sure, any := known(texts)
		points := 4*sure + any
		two := false
		if i > 0 && s.Rows[i-1].Number == r.Number-1 {
			if above := textsOf(&s.Rows[i-1], width); above != nil && filled(&s.Rows[i-1]) >= 3 {
				// A heading of two rows: more is known by both than by either.
				both := make([]string, width)
				for k := range both {
					both[k] = clean(above[k] + " " + texts[k])
				}
				aboveSure, _ := known(above)
				s2, a2 := known(both)
				if s2 > sure && s2 > aboveSure {
					sure, points, texts, two = s2, 4*s2+a2, both, true
				}
			}
		}
		if (sure >= leastKnown || named > 0) && points > score {
			best, score, bestTexts, stacked = i, points, texts, two
		}
	}
	if best < 0 {
		return nil, fmt.Errorf("no row of headings: one that names at least %d known columns, such as id, voltage, "+
			"incident energy and working distance, was looked for in the first %d rows", leastKnown, searched)
	}
	h := &Heading{Rows: []int{s.Rows[best].Number}, Texts: bestTexts, Below: make([]string, width), last: best}
	if stacked {
		h.Rows = []int{s.Rows[best-1].Number, s.Rows[best].Number}
	}
	h.group(s, best-len(h.Rows)+1)
	if best+1 < len(s.Rows) {
		if below := textsOf(&s.Rows[best+1], width); below != nil && areUnits(below) {
			h.Units, h.Below, h.last = s.Rows[best+1].Number, below, best+1
		}
	}
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

// group reads merged headings above the heading row: "Arc flash" over "Boundary"
// and "Energy". One alone over all is a title. A heading that says nothing by
// itself, or that comes twice, is read with that of its group.
func (h *Heading) group(s *sheet.Sheet, first int) {
	if first == 0 || s.Rows[first-1].Number != s.Rows[first].Number-1 {
		return
	}
	above := &s.Rows[first-1]
	if filled(above) < 2 {
		return
	}
	groups := make([]string, len(h.Texts))
	any := false
	for _, m := range s.Merges {
		if m.Top <= above.Number && m.Bottom == above.Number && m.Right > m.Left {
			for at := m.Left; at <= m.Right && at < len(groups); at++ {
				groups[at], any = cellAt(above, m.Left), true
			}
		}
	}
	if !any {
		return
	}
	for at, text := range h.Texts {
		twice := 0
		for _, other := range h.Texts {
			if fold(other) == fold(text) {
				twice++
			}
		}
		strong := slices.ContainsFunc(readings(text, ""), func(r reading) bool { return !r.weak })
		if groups[at] != "" && text != "" && (twice > 1 || !strong) {
			h.Texts[at] = groups[at] + " " + text
		}
	}
}

// areUnits reports whether a row is one of units.
func areUnits(texts []string) bool {
	units := 0
	for _, t := range texts {
		bare := strings.Trim(t, "()[]{} .")
		switch {
		case t == "" || site.EmptyWord(t):
		case isUnit(bare):
			units++
		default:
			return false
		}
	}
	return units >= 2
}

// isUnit reports whether a text is a unit of any column, or a form in which cells
// are written.
func isUnit(text string) bool {
	if dateWords.MatchString(text) || feetInchesWords.MatchString(text) {
		return true
	}
	for i := range assess.Columns {
		c := &assess.Columns[i]
		if c.Kind != assess.Quantity {
			continue
		}
		if _, ok := site.UnitIn(c, text); ok {
			return true
		}
		if len(site.UnitsNamed(c, text)) > 0 && strings.TrimSpace(withoutUnits(c, text)) == "" {
			return true
		}
	}
	return false
}

var (
	dateWords       = regexp.MustCompile(`(?i)^(y{2,4}|m{1,2}|d{1,2})[-/.](y{2,4}|m{1,2}|d{1,2})[-/.](y{2,4}|m{1,2}|d{1,2})$`)
	feetInchesWords = regexp.MustCompile(`(?i)^(ft|feet|')\.? ?[-–/&, ]? ?(in|inch|inches|")\.?$`)
)
