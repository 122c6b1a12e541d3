package intake

import (
	"regexp"
	"slices"
	"strings"

	"vouchmark/assess"
	"vouchmark/assess/intake/sheet"
	"vouchmark/assess/site"
)

// below reads the rows directly below the headings that still belong to them: a row of units, or
// of words that continue a heading, such as "at 85 %" below "Clearing Time". A row of a location
// has an id there.
func (x lexicon) below(s *sheet.Sheet, h *Heading) {
	for n := 0; n < 2 && h.last+1 < len(s.Rows) && follows(&s.Rows[h.last], &s.Rows[h.last+1]); n++ {
		r := &s.Rows[h.last+1]
		texts := textsOf(r, len(h.Texts))
		if texts == nil || !x.goesOn(h, texts) {
			return
		}
		if h.Units == 0 {
			h.Units = r.Number
		}
		h.below = append(h.below, r.Number)
		for i, t := range texts {
			if t = strings.Trim(t, "()[]{} "); !saysNothing(t) {
				h.Below[i] = clean(h.Below[i] + " " + t)
			}
		}
		h.last++
	}
}

// follows reports whether two rows have no blank row in between. In a text file a cell with line
// breaks takes several lines.
func follows(a, b *sheet.Row) bool {
	lines := 1
	for i := range a.Cells {
		lines += strings.Count(a.Cells[i].Shown, "\n")
	}
	return b.Number <= a.Number+lines
}

// goesOn reports whether a row below the headings continues them.
func (x lexicon) goesOn(h *Heading, texts []string) bool {
	units, others := 0, 0
	for i, t := range texts {
		switch {
		case saysNothing(t):
		case isUnit(t) && (len(x.readings(h.Texts[i], t)) > 0 || len(x.readings(h.Texts[i], "")) == 0):
			units++ // A below "Area" is not ampere
		default:
			others++
		}
	}
	if units+others == 0 {
		return false
	}
	if units > others {
		return true
	}
	// A row of words in most columns is the second one of the headings.
	if n := units + others; n > 2 && n*3 >= filledTexts(h.Texts) && numbersBegin(texts)*6 <= n {
		return true
	}
	// Words belong to the headings if the column of the ids is empty.
	if units+others == 1 && !x.qualifies(h, texts) {
		return false
	}
	ids, sure := 0, 0
	for i, heading := range h.Texts {
		for _, r := range x.readings(heading, "") {
			if r.name != "id" {
				continue
			}
			if !r.weak {
				sure++
			}
			if ids++; !r.weak && texts[i] != "" {
				return false
			}
		}
	}
	if sure > 0 {
		return true
	}
	// Without such a column: if nothing is below a heading of texts.
	for i, t := range texts {
		if saysNothing(t) || isUnit(t) {
			continue
		}
		if !x.isQuantity(h.Texts[i]) && len(x.readings(h.Texts[i], "")) > 0 {
			return false
		}
	}
	return true
}

func filledTexts(texts []string) (n int) {
	for _, t := range texts {
		if t != "" {
			n++
		}
	}
	return n
}

// saysNothing reports whether a cell of such a row is practically empty.
func saysNothing(text string) bool {
	return text == "" || site.EmptyWord(text) || ofUnits.MatchString(text)
}

// qualifies reports whether the only text of a row qualifies the quantity above it: at 85 %, V L-N.
func (x lexicon) qualifies(h *Heading, texts []string) bool {
	at := slices.IndexFunc(texts, func(t string) bool { return !saysNothing(t) })
	return x.isQuantity(h.Texts[at]) && (len(apart(nil, texts[at]).units) > 0 || slices.ContainsFunc(wordsOf(texts[at]), func(w string) bool {
		return w == "percent" || w == "l" || w == "n" || slices.Contains(otherGroups, w)
	}))
}

// isQuantity reports whether a text is the heading of a quantity, even of one that locations.csv
// does not have.
func (x lexicon) isQuantity(text string) bool {
	return slices.ContainsFunc(x.readings(text, ""), func(r reading) bool {
		return r.col == nil || r.col.Kind == assess.Quantity
	})
}

// isUnit reports whether a text is only a unit of any column, or a form in which cells are written.
func isUnit(text string) bool {
	if bare := strings.Trim(text, "()[]{} "); dateWords.MatchString(bare) || otherUnits.MatchString(bare) {
		return true
	}
	s := apart(nil, "("+strings.Trim(text, "()[]{} ")+")")
	return (len(s.units) > 0 || s.feetInches) && len(s.words) == 0
}

var (
	dateWords = regexp.MustCompile(`(?i)^(y{2,4}|m{1,2}|d{1,2})[-/.](y{2,4}|m{1,2}|d{1,2})[-/.](y{2,4}|m{1,2}|d{1,2})$`)
	// otherUnits are units of quantities that locations.csv does not have.
	otherUnits = regexp.MustCompile(`(?i)^(%|percent|hp|k?va|mva|[km]?w|°? ?[cf]|deg\.? ?[cf]|ohms?|Ω|awg|kcmil|months?|years?|yrs?|p\.?u\.?|degrees?)$`)
	ofUnits    = regexp.MustCompile(`(?i)^[(\[]?(units?( of measure)?|text|uom)[)\]]?:?$`)
)
