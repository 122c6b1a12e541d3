package site

import (
	"fmt"
	"regexp"
	"slices"
	"strings"

	"vouchmark/assess"
	"vouchmark/assess/alike"
	"vouchmark/assess/shock"
)

// curveName is how a file in curves/ may be named: no folders, so that a row can never reach
// outside the site.
var curveName = regexp.MustCompile(`^[A-Za-z0-9][A-Za-z0-9 ._-]*\.csv$`)

// noLocations reports that there is no locations.csv.
func (r *reader) noLocations() {
	r.report(locationsFile, 0, "", "no such file", "the study's results, a row for each location",
		assess.Remedy{Words: "{} creates a starter folder with one", Act: assess.ToStart}.Text(r.Command))
}

// readLocations reads the rows of locations.csv, checks what site.toml says about locations, and reads the
// curves that the rows name.
func (r *reader) readLocations(t *table) {
	if t == nil {
		return
	}
	t.empty = map[string]*emptyWords{}
	t.matchColumns()
	if r.near != nil && !r.keepNear(t) {
		return
	}
	r.site.Locations = t.locations()
	r.index = r.site.Index()
	if r.near == nil {
		r.listed = r.index
	}
	t.sayEmptyWords()
	r.readCurves(t.headingOf("curve"))
	for _, check := range r.later {
		check()
	}
}

// locations turns the rows into locations, in the order of the file.
func (t *table) locations() []assess.Location {
	all := make([]assess.Location, 0, len(t.rows))
	index := make(map[string]int, len(t.rows)) // id to place in all
	ids := alike.Sized(len(t.rows))
	rows := seen{lines: map[part]int{}, unreadable: map[part]bool{}}
	for _, t.row = range t.rows {
		if t.row.cells() > len(t.columns) {
			t.fault("", fmt.Sprintf("%d cells", t.row.cells()),
				fmt.Sprintf("%d, as in the heading line", len(t.columns)),
				"put a text that contains the delimiter in quotation marks")
			continue // no telling which cell is which
		}
		l := t.location()
		if l.ID == "" {
			continue
		}
		if i, known := index[l.ID]; known {
			t.addCase(&all[i], &l, rows.of(i))
			continue
		}
		if other := ids.Add(l.ID); other != "" {
			first := all[index[other]].Cases[0].Line
			found, expected := quote(l.ID), fmt.Sprintf("an id that differs from %s on line %d by more than capitals", quote(other), first)
			if strange := alike.Strange(l.ID + other); strange != "" {
				found += strangeIn(l.ID)
				expected = fmt.Sprintf("an id that does not look like %s%s on line %d", quote(other), strangeIn(other), first)
			}
			t.fault("id", found, expected, "people cannot tell them apart: give one of them another id, and print and mount its label again")
		}
		index[l.ID] = len(all)
		rows.of(len(all)).add(&l, t.bad)
		all = append(all, l)
	}
	for i := range all {
		// The order of the cases in the file does not matter: records have them by name.
		slices.SortStableFunc(all[i].Cases, func(a, b assess.Case) int { return strings.Compare(a.Name, b.Name) })
	}
	if len(t.rows) == 0 && !t.broken {
		t.headingFault("", "no row below the headings", "a row for each location", "")
	}
	return all
}

// strangeIn names the characters of an id that are not ASCII.
func strangeIn(id string) string {
	var codes []string
	for _, r := range alike.Strange(id) {
		if code := fmt.Sprintf("U+%04X", r); !slices.Contains(codes, code) {
			codes = append(codes, code)
		}
	}
	if codes == nil {
		return ""
	}
	return " with " + strings.Join(codes, ", ")
}

// location turns the current row into a location with one case.
func (t *table) location() assess.Location {
	l := assess.Location{Cases: []assess.Case{{Line: t.row.line}}}
	to := l.Row(0)
	t.to, t.bad, t.hertz = &l, nil, t.rowHertz()
	for i := range assess.Columns {
		c := &assess.Columns[i]
		switch {
		case c.Noted || !t.gives(c, t.order[i]):
		case c.Name == "energy":
			var v float64
			v, to.Bound = t.energy(c, t.order[i])
			c.Set(to, v)
		default:
			c.Set(to, t.value(c, t.order[i]))
		}
	}
	if l.ID == scopeAll {
		t.fault("id", quote(l.ID), "another id", "in changes.toml this word means every location")
	}
	t.checkCase(to)
	if t.site.Policy.Typical {
		assess.AssumeTypical(&l)
	}
	t.checkNeeded(to)
	l.LostFeeds = t.bad["fed_from"] || t.bad["tied_to"]
	t.noteEmptyWords()
	return l
}

// rowHertz is the frequency for cycles in the current row.
func (t *table) rowHertz() float64 {
	at := t.at("frequency")
	if at < 0 {
		return t.reader.hertz
	}
	v, _, bad := t.columns[at].quantity(t.cell("frequency"), t.decimals, 1)
	if bad != (unread{}) {
		return t.reader.hertz
	}
	return v
}

// labelAlone lists the columns that only a label needs: a row with label = no is there for what
// it feeds.
var labelAlone = []string{"distance", "prepared"}

// checkNeeded reports what every row must have and this one does not.
func (t *table) checkNeeded(r assess.Row) {
	for i := range assess.Columns {
		c := &assess.Columns[i]
		if !c.Needed || c.Given(r) || r.Unlabeled && slices.Contains(labelAlone, c.Name) {
			continue
		}
		if t.order[i] < 0 || t.bad[c.Name] { // a column that the file does not have was reported once, for the heading
			continue
		}
		found, expected, do := "an empty cell", "a value, since every label needs it", "take it from the study report"
		if c.Kind == assess.Text {
			expected, do = "text, since every label needs it", "fill it in"
		}
		if s := t.cell(c.Name); s != "" {
			found = quote(s)
		}
		t.refuse(c.Name, found, expected, do)
	}
}

// checkCase checks what a single cell cannot show, and chooses the method if its cell is empty.
func (t *table) checkCase(r assess.Row) {
	if r.Curve != "" && !curveName.MatchString(r.Curve) {
		t.refuse("curve", quote(r.Curve), "the name of a CSV file in curves/, such as main-52.csv",
			"put the file into that folder")
		r.Curve = ""
	}
	if !slices.Contains([]float64{0, 1, 3}, r.Multiplier) {
		t.refuse("multiplier", quote(fmt.Sprint(r.Multiplier)), "1 in open air or 3 in an enclosure",
			"no other value has a published source")
	}
	if r.Hertz != 0 && (r.Hertz < leastHertz || r.Hertz > mostHertz) {
		t.refuse("frequency", quote(t.cell("frequency")), hertzExpected, "correct the cell")
	}
	if _, unit := splitUnit(t.cell("voltage")); unit != "" {
		isDC, isAC := strings.HasSuffix(foldUnit(unit), "dc"), strings.HasSuffix(foldUnit(unit), "ac")
		t.refuseIf(r.Supply != "" && (isDC && r.Supply != shock.DC || isAC && r.Supply == shock.DC),
			"voltage", quote(t.cell("voltage")), "a voltage of the supply "+string(r.Supply), "correct the voltage or the supply")
	}
	if r.Method == "" {
		r.Method = assess.Stated
		if r.Supply == shock.AC3 && r.Electrodes != "" {
			r.Method = assess.IEEE1584
		}
	}
}

// addCase adds the case of l, the current row, to a location with the same id, of which rows
// tells. What describes the equipment must agree.
func (t *table) addCase(to *assess.Location, l *assess.Location, rows seenOf) {
	c := l.Cases[0]
	if line, known := rows.line(c.Name); known {
		do := map[bool]string{true: "every location needs its own id", false: "a location can have each case only once"}
		t.fault("id", fmt.Sprintf("%s, which is already on line %d", quote(l.ID), line),
			"another id, or another case", do[c.Name == ""])
		return
	}
	for _, d := range assess.Columns {
		if !d.PerCase && !d.Noted && !t.bad[d.Name] && d.Text(to.Row(0)) != d.Text(l.Row(0)) &&
			!rows.unreadable(d.Name) {
			t.fault(d.Name, quote(t.cell(d.Name)),
				fmt.Sprintf("the same as for %s on line %d", quote(to.ID), to.Cases[0].Line),
				"cases are operating conditions of one piece of equipment")
		}
	}
	rows.add(l, t.bad)
	to.Cases = append(to.Cases, c)
	to.Unreadable = append(to.Unreadable, l.Unreadable...)
	to.LostFeeds = to.LostFeeds || l.LostFeeds
}
