package intake

import (
	"regexp"
	"strconv"
	"strings"

	"vouchmark/assess/intake/sheet"
)

// A row of totals says so in its first text. A location may be called Total Flow Panel, or MAX-1: then
// its numbers do not follow from the rows above.

var (
	totalWord = regexp.MustCompile(`(?i)^(grand |sub ?-?)?(totals?|sums?|averages?|avg|mean|counts?|maximum|minimum|max|min)\b[ :.]*`)
	totalRest = regexp.MustCompile(`(?i)^(of\b|for\b|all\b|in\b|number\b|values?\b|per\b|and\b|[/(,:])`)
)

type totality int

const (
	noTotal totality = iota
	isTotal
	maybeTotal
)

// totals adds up the columns of the rows that were read.
type totals struct {
	rows      int
	all, part map[int]*column // over all rows, and since the last section
}

// column holds the sums over a column.
type column struct {
	sum, most, least float64
	count            int
}

func newTotals() *totals { return &totals{all: map[int]*column{}, part: map[int]*column{}} }

// section begins a part of its own.
func (t *totals) section() { t.part = map[int]*column{} }

func (t *totals) add(r *sheet.Row) {
	t.rows++
	for i := range r.Cells {
		v, ok := numberIn(&r.Cells[i])
		if !ok {
			continue
		}
		for _, m := range []map[int]*column{t.all, t.part} {
			c := m[i]
			if c == nil {
				c = &column{most: v, least: v}
				m[i] = c
			}
			c.sum, c.count = c.sum+v, c.count+1
			c.most, c.least = max(c.most, v), min(c.least, v)
		}
	}
}

// judge says whether a row is one of totals, and if that is not certain, why.
func (t *totals) judge(r *sheet.Row) (totality, string) {
	var numbers []int
	first, texts := "", 0
	for i := range r.Cells {
		c := &r.Cells[i]
		s := clean(c.Shown)
		switch {
		case s == "":
		case c.Kind == sheet.Number || numeric.MatchString(s):
			numbers = append(numbers, i)
		case counted.MatchString(s) && t.counts(s):
		default:
			if texts++; first == "" {
				first = s
			}
		}
	}
	word := totalWord.FindString(first)
	if word == "" || len(numbers) == 0 && texts == 0 {
		return noTotal, ""
	}
	rest := first[len(word):]
	exact := rest == "" || totalRest.MatchString(rest)
	given := true
	for _, i := range numbers {
		given = given && t.gives(i, &r.Cells[i], word, exact)
	}
	switch {
	case exact && texts == 1 && given:
		return isTotal, ""
	case exact && texts == 1:
		return maybeTotal, ", but its numbers do not follow from the rows above"
	case exact:
		return maybeTotal, ""
	case len(numbers) > 0 && given && texts == 1:
		return maybeTotal, ", since its numbers follow from the rows above"
	}
	return noTotal, ""
}

// counted matches what a row of totals counts: 17 locations.
var counted = regexp.MustCompile(`(?i)^(\d+ )?(locations|labels|rows|items|panels|buses|places|results)$`)

// counts reports whether such a text gives the number of rows, or no number.
func (t *totals) counts(text string) bool {
	number, _, found := strings.Cut(text, " ")
	return !found || number == strconv.Itoa(t.rows)
}

// gives reports whether a cell's number follows from the rows above: as sum, mean, largest, smallest or
// count; if the row does not say which, as any of them.
func (t *totals) gives(at int, cell *sheet.Cell, word string, exact bool) bool {
	if exact && clean(cell.Shown) == strconv.Itoa(t.rows) {
		return true
	}
	for _, m := range []map[int]*column{t.all, t.part} {
		c := m[at]
		if c == nil {
			continue
		}
		all := []float64{c.sum, c.sum / float64(c.count), c.most, c.least, float64(c.count)}
		switch first := strings.ToLower(word); {
		case exact:
		case strings.Contains(first, "max"):
			all = []float64{c.most}
		case strings.Contains(first, "min"):
			all = []float64{c.least}
		default:
			all = all[:2]
		}
		for _, v := range all {
			if rounds(strconv.FormatFloat(v, 'f', -1, 64), clean(cell.Shown)) {
				return true
			}
		}
	}
	return false
}

// numberIn is the number of a cell, only for sums: the decimal sign does not matter if all cells are
// alike.
func numberIn(c *sheet.Cell) (float64, bool) {
	if c.Kind == sheet.Number {
		return float(c.Raw)
	}
	s := strings.Join(strings.Fields(c.Shown), "")
	if !numeric.MatchString(s) {
		return 0, false
	}
	if strings.Count(s, ",") == 1 && !strings.Contains(s, ".") {
		s = strings.Replace(s, ",", ".", 1)
	}
	return float(strings.ReplaceAll(strings.TrimLeft(s, "<>≤≥="), ",", ""))
}
