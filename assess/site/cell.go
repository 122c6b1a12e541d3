package site

import (
	"cmp"
	"fmt"
	"regexp"
	"slices"
	"strings"

	"vouchmark/assess"
)

// fault reports a problem of the folder in the row being read.
func (t *table) fault(name, found, expected, do string) {
	t.report(t.file, t.row.line, t.headingOf(name), found, expected, do)
}

// faultIf states a rule: what it reports where the rule is broken.
func (t *table) faultIf(broken bool, name, found, expected, do string) {
	if broken {
		t.fault(name, found, expected, do)
	}
}

// refuse reports a cell of the row being read that cannot be read. It stops the
// row's location alone. Which row it is must be known: a bad id or case is a
// problem of the folder.
func (t *table) refuse(name, found, expected, do string) {
	if t.bad == nil {
		t.bad = map[string]bool{}
	}
	t.bad[name] = true
	if t.whole || name == "id" || name == "case" {
		t.fault(name, found, expected, do)
		return
	}
	t.stop(t.to, Problem{File: t.file, Line: t.row.line, Column: t.headingOf(name),
		Found: found, Expected: expected, Do: do})
}

func (t *table) refuseIf(broken bool, name, found, expected, do string) {
	if broken {
		t.refuse(name, found, expected, do)
	}
}

// stop notes a cell that cannot be read: it stops its location, and is told
// with the folder's problems where there are any.
func (r *reader) stop(l *assess.Location, p Problem) {
	p.cell = true
	r.add(p)
	l.Unreadable = append(l.Unreadable, assess.Finding{Level: assess.Error, Code: assess.Unreadable,
		Field: legible(p.Column, longestName), Message: p.message(), Line: p.Line})
}

// headingOf is a column as the file spells it, or by its usual name.
func (t *table) headingOf(name string) string {
	if i, ok := t.place[name]; ok {
		return t.columns[i].heading
	}
	if c := assess.ColumnNamed(name); c != nil {
		return c.Spellings()[0]
	}
	return ""
}

// raw is a cell of the row being read as it stands in the file.
func (t *table) raw(name string) string {
	if i, ok := t.place[name]; ok && i < len(t.row.cells) {
		return t.row.cells[i]
	}
	return ""
}

// cell is the text of a cell.
func (t *table) cell(name string) string { return cleanText(t.raw(name)) }

// value is what the row being read has in a column, or what the owner says of
// an empty cell. Letter case does not matter in a choice.
func (t *table) value(c *assess.Column) any {
	s := t.cell(c.Name)
	if v, ok := t.defaults[c.Name]; ok && s == "" {
		return v
	}
	switch c.Kind {
	case assess.Quantity:
		return t.number(c.Name)
	case assess.Day:
		return t.date(c.Name, s)
	case assess.Choice:
		i := slices.IndexFunc(c.Choices, func(choice string) bool { return strings.EqualFold(choice, s) })
		if i >= 0 {
			return c.Choices[i]
		}
		if s != "" {
			t.refuse(c.Name, quote(s), "one of "+strings.Join(c.Choices, ", "),
				"the nearest is "+nearest(strings.ToLower(s), c.Choices))
		}
		return ""
	case assess.List:
		var ids []string
		for _, id := range strings.Split(t.text(c), ";") {
			id = strings.TrimSpace(id)
			t.refuseIf(isEmptyWord(id), c.Name, quote(id), "ids of locations", "leave the cell empty where there is none")
			if id != "" && !slices.Contains(ids, id) {
				ids = append(ids, id)
			}
		}
		return ids
	}
	return t.text(c)
}

// number is the value of a column in the program's unit, rounded as stored;
// 0 where the cell gives none.
func (t *table) number(name string) float64 {
	s := t.cell(name)
	if s == "" || isEmptyWord(s) && !t.whole {
		return 0
	}
	return t.quantity(name, s)
}

func (t *table) quantity(name, s string) float64 {
	c := &t.columns[t.place[name]]
	v, cycles, bad := c.quantity(s, t.decimals, t.hertz)
	t.cycles = t.cycles || cycles
	if bad != (unread{}) {
		if better, plain := c.nearly(t.cell(name)); plain {
			bad = better
		}
		do := "leave the cell empty where the study says nothing"
		if c.Needed {
			do = "take it from the study report"
		}
		t.refuse(name, quote(s), bad.expected, cmp.Or(bad.do, do))
		return 0
	}
	return v
}

// The marks of an energy that a study gives only as a bound.
var (
	atLeast  = regexp.MustCompile(`(?i)^(?:>|>=|≥|above |over |more than ) ?([^<>=≤≥].*)$`)
	lessThan = regexp.MustCompile(`(?i)^(?:<|below |under |less than ) ?([^<>=≤≥].*)$`)
	atMost   = regexp.MustCompile(`^(?:<=|≤) ?([^<>=≤≥].*)$`)
	numeric  = regexp.MustCompile(`^[+-]?[.,]?\d`)
)

// energy is the stated energy, and whether it is a bound. "Less than" a value
// above 1.2 cal/cm² counts as that value: only below 1.2 does the difference
// decide (NFPA 70E Article 100, arc-flash boundary).
func (t *table) energy() (float64, assess.Bound) {
	const name = "energy"
	s := t.cell(name)
	if m := atLeast.FindStringSubmatch(s); m != nil {
		return t.quantity(name, m[1]), assess.Above
	}
	if m := lessThan.FindStringSubmatch(s); m != nil {
		v := t.quantity(name, m[1])
		if assess.CalCM2(v) <= assess.Threshold {
			return v, assess.Under
		}
		return v, ""
	}
	if m := atMost.FindStringSubmatch(s); m != nil {
		return t.quantity(name, m[1]), ""
	}
	if s != "" && !numeric.MatchString(s) && !isEmptyWord(s) {
		t.refuse(name, quote(s), "a number such as 6.5, or a bound such as > 40 or < 1.2",
			"where the study gives a limit alone, or a word such as Danger, write the limit: > 40")
		return 0, ""
	}
	return t.number(name), ""
}

// text is the text of a cell that a label can show.
func (t *table) text(c *assess.Column) string {
	s, found, expected := t.read(t.raw(c.Name), kind{longest: cmp.Or(c.Longest, kindText.longest), prose: c.Prose})
	switch {
	case found != "":
		t.refuse(c.Name, found, expected, "correct the cell")
	case spreadsheetError.MatchString(s):
		t.refuse(c.Name, quote(s), "text", "the spreadsheet could not work this cell out; correct it there")
	case isEmptyWord(s) && slices.Contains(wordDecides, c.Name),
		s != "" && !assess.Says(s) && slices.Contains(answers, c.Name):
		t.refuse(c.Name, quote(s), "text that says it", "leave the cell empty where there is none")
	default:
		return s
	}
	return ""
}

// wordDecides are the texts that decide by being there at all, or stand large
// on a label: a word for nothing would count as something.
var wordDecides = []string{"id", "equipment", "device", "device_at", "accepted_by", "two_second_reason"}

// answers are those by which somebody is responsible for something.
var answers = []string{"accepted_by", "two_second_reason"}

// spreadsheetError matches what a spreadsheet shows in place of a value that it
// could not work out.
var spreadsheetError = regexp.MustCompile(`^#(N/A|REF!|VALUE!|NAME\?|DIV/0!|NULL!|NUM!|SPILL!|CALC!)$`)

// isEmptyWord reports whether a cell says in a word that it is empty.
func isEmptyWord(s string) bool {
	switch strings.ToUpper(s) {
	case "N/A", "#N/A", "NA", "-", "–", "—", "TBD":
		return true
	}
	return false
}

// emptyWords counts the words for nothing in one column.
type emptyWords struct {
	count, line int
	first       string
}

// noteEmptyWords counts the number cells of the row being read that say in a
// word that they are empty, and may be.
func (t *table) noteEmptyWords() {
	for i, c := range t.columns {
		if c.Column == nil || c.Kind != assess.Quantity || t.bad[c.Name] || i >= len(t.row.cells) {
			continue
		}
		if s := t.cell(c.Name); isEmptyWord(s) {
			if t.empty[c.Name] == nil {
				t.empty[c.Name] = &emptyWords{line: t.row.line, first: s}
			}
			t.empty[c.Name].count++
		}
	}
}

// sayEmptyWords makes them cautions of the site, one for a column.
func (t *table) sayEmptyWords() {
	for _, c := range t.columns {
		if c.Column == nil || t.empty[c.Name] == nil {
			continue
		}
		e := t.empty[c.Name]
		says := fmt.Sprintf("%d cells say N/A or the like and count as empty, the first of them %s", e.count, quote(e.first))
		if e.count == 1 {
			says = fmt.Sprintf("one cell says %s and counts as empty", quote(e.first))
		}
		t.site.Policy.Findings = append(t.site.Policy.Findings, assess.Finding{Level: assess.Caution,
			Code: assess.EmptyWord, Field: legible(c.heading, longestName), File: t.file, Line: e.line,
			Message: says + "; fill in what the study says, or leave the cell empty"})
	}
}
