package site

import (
	"cmp"
	"fmt"
	"regexp"
	"slices"
	"strings"

	"vouchmark/assess"
)

// fault reports a problem of the folder in the current row.
func (t *table) fault(name, found, expected, do string) {
	t.report(t.file, t.row.line, t.headingOf(name), found, expected, do)
}

// faultIf reports a problem if a rule is broken.
func (t *table) faultIf(broken bool, name, found, expected, do string) {
	if broken {
		t.fault(name, found, expected, do)
	}
}

// refuse reports a cell of the current row that cannot be read. It stops only the row's
// location. A bad id or case is a problem of the folder, since the location is then unknown.
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

// stop notes a cell that cannot be read: it stops its location, and is also listed with the
// folder's problems if there are any.
func (r *reader) stop(l *assess.Location, p Problem) {
	message := p.message
	r.noteFile(p.File)
	if !r.cells.Add(p) {
		message = p.briefly // the first ones of its kind say the rest
	}
	l.Unreadable = append(l.Unreadable, assess.Finding{Level: assess.Error, Code: assess.Unreadable,
		Field: legible(p.Column, longestName), Message: message(), Line: p.Line})
}

// headingOf is a column's heading in the file, else its usual name.
func (t *table) headingOf(name string) string {
	if i := t.at(name); i >= 0 {
		return t.columns[i].heading
	}
	if c := assess.ColumnNamed(name); c != nil {
		return c.Spellings()[0]
	}
	return ""
}

// at is the place of a column in the file, or -1.
func (t *table) at(name string) int {
	if i, ok := t.place[name]; ok {
		return i
	}
	return -1
}

// cell is the text of a cell of the current row.
func (t *table) cell(name string) string { return cleanText(t.row.cell(t.at(name))) }

// gives reports whether the current row may have a value in a column, which is at a place: a cell
// that is not empty, or the owner's default.
func (t *table) gives(c *assess.Column, at int) bool {
	if t.row.cell(at) != "" {
		return true
	}
	_, ok := t.defaults[c.Name]
	return ok
}

// value is what the current row has in a column, which is at a place, else the owner's default for
// an empty cell. Letter case does not matter in a choice.
func (t *table) value(c *assess.Column, at int) any {
	s := cleanText(t.row.cell(at))
	if s == "" {
		if v, ok := t.defaults[c.Name]; ok {
			return v
		}
	}
	switch c.Kind {
	case assess.Quantity:
		return t.numberAt(c, at)
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
		for id := range strings.SplitSeq(t.text(c, at), ";") {
			id = strings.TrimSpace(id)
			if isEmptyWord(id) {
				t.refuse(c.Name, quote(id), "ids of locations", "leave the cell empty if there is none")
			}
			if id != "" && !slices.Contains(ids, id) {
				ids = append(ids, id)
			}
		}
		return ids
	}
	return t.text(c, at)
}

// number is the value of a column in the program's unit, rounded as stored; 0 if the cell
// gives none.
func (t *table) number(name string) float64 {
	if at := t.at(name); at >= 0 {
		return t.numberAt(t.columns[at].Column, at)
	}
	return 0
}

func (t *table) numberAt(c *assess.Column, at int) float64 {
	s := cleanText(t.row.cell(at))
	if s == "" || isEmptyWord(s) && !t.whole {
		return 0
	}
	return t.quantity(at, s)
}

// quantity is the value of a text in the column at a place.
func (t *table) quantity(at int, s string) float64 {
	c := &t.columns[at]
	v, cycles, bad := c.quantity(s, t.decimals, t.hertz)
	t.cycles = t.cycles || cycles
	if bad != (unread{}) {
		if better, plain := c.nearly(t.cell(c.Name)); plain {
			bad = better
		}
		do := "leave the cell empty if the study does not say"
		if c.Needed {
			do = "take it from the study report"
		}
		t.refuse(c.Name, quote(s), bad.expected, cmp.Or(bad.do, do))
		return 0
	}
	return v
}

// The marks of an energy that a study states only as a bound.
var (
	atLeast  = regexp.MustCompile(`(?i)^(?:>|>=|≥|above |over |more than ) ?([^<>=≤≥].*)$`)
	lessThan = regexp.MustCompile(`(?i)^(?:<|below |under |less than ) ?([^<>=≤≥].*)$`)
	atMost   = regexp.MustCompile(`^(?:<=|≤) ?([^<>=≤≥].*)$`)
	numeric  = regexp.MustCompile(`^[+-]?[.,]?\d`)
)

// energy is the stated energy, and whether it is a bound. "Less than" a value above 1.2
// cal/cm² counts as that value: the difference matters only below 1.2 (NFPA 70E Article 100,
// arc-flash boundary).
func (t *table) energy(c *assess.Column, at int) (float64, assess.Bound) {
	s := cleanText(t.row.cell(at))
	if at < 0 {
		return 0, ""
	}
	if isPlain(s) {
		return t.quantity(at, s), ""
	}
	if m := atLeast.FindStringSubmatch(s); m != nil {
		return t.quantity(at, m[1]), assess.Above
	}
	if m := lessThan.FindStringSubmatch(s); m != nil {
		v := t.quantity(at, m[1])
		if assess.CalCM2(v) <= assess.Threshold {
			return v, assess.Under
		}
		return v, ""
	}
	if m := atMost.FindStringSubmatch(s); m != nil {
		return t.quantity(at, m[1]), ""
	}
	if s != "" && !numeric.MatchString(s) && !isEmptyWord(s) {
		t.refuse(c.Name, quote(s), "a number such as 6.5, or a bound such as > 40 or < 1.2",
			"if the study gives only a limit, enter it as a bound; if it says only a word such as Danger, ask the engineer above which energy the study uses it")
		return 0, ""
	}
	return t.numberAt(c, at), ""
}

// text is the text of the cell in a column, which is at a place, if a label can show it.
func (t *table) text(c *assess.Column, at int) string {
	s, found, expected := t.read(t.row.cell(at), kind{longest: cmp.Or(c.Longest, kindText.longest), prose: c.Prose})
	switch {
	case found != "":
		t.refuse(c.Name, found, expected, "correct the cell")
	case strings.HasPrefix(s, "#") && spreadsheetError.MatchString(s):
		t.refuse(c.Name, quote(s), "text", "the spreadsheet could not calculate this cell; correct it there")
	case isEmptyWord(s) && slices.Contains(wordDecides, c.Name),
		s != "" && slices.Contains(answers, c.Name) && !assess.Says(s):
		t.refuse(c.Name, quote(s), "a meaningful text", "leave the cell empty if there is none")
	default:
		return s
	}
	return ""
}

// wordDecides lists the texts that count simply by being there, or are large on a label: a
// word for "nothing" would count as something.
var wordDecides = []string{"id", "equipment", "device", "device_at", "accepted_by", "two_second_reason"}

// answers lists those by which somebody takes responsibility for something.
var answers = []string{"accepted_by", "two_second_reason"}

// spreadsheetError matches what a spreadsheet shows for a value that it could not calculate.
var spreadsheetError = regexp.MustCompile(`^#(N/A|REF!|VALUE!|NAME\?|DIV/0!|NULL!|NUM!|SPILL!|CALC!)$`)

// isEmptyWord reports whether a cell contains a word for "empty".
func isEmptyWord(s string) bool {
	if len(s) > len("#N/A") {
		return false
	}
	switch strings.ToUpper(s) {
	case "N/A", "#N/A", "NA", "-", "–", "—", "TBD":
		return true
	}
	return false
}

// emptyWords counts the words for "empty" in one column.
type emptyWords struct {
	count, line int
	first       string
}

// noteEmptyWords counts the number cells of the current row with a word for "empty", where
// that is allowed.
func (t *table) noteEmptyWords() {
	for i, c := range t.columns {
		if c.Column == nil || c.Kind != assess.Quantity || t.bad[c.Name] {
			continue
		}
		if s := cleanText(t.row.cell(i)); isEmptyWord(s) {
			if t.empty[c.Name] == nil {
				t.empty[c.Name] = &emptyWords{line: t.row.line, first: s}
			}
			t.empty[c.Name].count++
		}
	}
}

// sayEmptyWords makes cautions of the site from them, one for each column.
func (t *table) sayEmptyWords() {
	for _, c := range t.columns {
		if c.Column == nil || t.empty[c.Name] == nil {
			continue
		}
		e := t.empty[c.Name]
		says := fmt.Sprintf("%d cells say N/A or similar and count as empty; the first is %s", e.count, quote(e.first))
		if e.count == 1 {
			says = fmt.Sprintf("one cell says %s and counts as empty", quote(e.first))
		}
		t.site.Policy.Findings = append(t.site.Policy.Findings, assess.Finding{Level: assess.Caution,
			Code: assess.EmptyWord, Field: legible(c.heading, longestName), File: t.file, Line: e.line,
			Message: says + "; enter what the study says, or leave the cell empty"})
	}
}
