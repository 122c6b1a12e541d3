package press

import (
	"cmp"
	"errors"
	"fmt"
	"slices"
	"strings"

	"vouchmark/assess"
	"vouchmark/assess/infile"
	"vouchmark/assess/intake/sheet"
	"vouchmark/assess/site"
	"vouchmark/label/plant"
	"vouchmark/label/record"
	"vouchmark/label/report"
)

// MostOfWalk is the largest walk list that is read, in bytes.
const MostOfWalk = 16 << 20

// Limits are those of a walk list.
func Limits() []infile.Limit {
	return []infile.Limit{{What: "a walk list with what is ticked", Most: infile.Size(MostOfWalk)}}
}

// Ticked is what a person ticked in a walk list.
type Ticked struct {
	Deeds []record.Deed
	Left  int // rows that nobody ticked
}

// ReadWalk reads a walk in which a person ticked what is done, as [WalkCSV] wrote it
// or as a spreadsheet saved it: as a workbook, in another encoding, with another
// delimiter, columns and rows in any order, others between them. A row counts as
// done if it has a tick (x, yes, 1, ✓ and the like) or a date in the site's form of
// dates. Whatever cannot be read, or contradicts the ledger, is in one report of all
// problems.
func ReadWalk(file string, data []byte, v *plant.Plant) (*Ticked, error) {
	r := &walkReader{file: file, v: v, ticked: map[string]int{}}
	if rows := r.rows(data); r.heading(rows) {
		r.known()
		for _, row := range rows[1:] {
			r.read(row)
		}
	}
	for _, e := range record.Wrongs(r.Deeds, v.Today, func(location string) *record.Label {
		if l, ok := v.History.Labels[location]; ok {
			return &l.Label
		}
		return nil
	}) {
		column := map[record.About]string{record.AboutPlace: walkID, record.AboutLabel: walkLabel,
			record.AboutDeed: walkDo, record.AboutDay: walkDone}[e.About]
		r.problem(r.lines[e.Number], column, e.Found, e.Expected, e.Do)
	}
	if len(r.problems) > 0 {
		slices.SortStableFunc(r.problems, func(a, b site.Problem) int { return cmp.Compare(a.Line, b.Line) })
		return nil, r.problems
	}
	return &r.Ticked, nil
}

// walkReader reads one walk list.
type walkReader struct {
	Ticked
	file     string
	v        *plant.Plant
	problems site.Problems
	faults   int            // how many there are, including those that are only counted
	lines    []int          // the line of each deed
	place    map[string]int // of each column
	ids      map[string]string
	ticked   map[string]int // the line on which each thing to do was ticked
}

func (r *walkReader) problem(line int, column, found, expected, do string) {
	r.faults++
	const most = 50 // reported for one column
	n, last := 0, 0
	for i := range r.problems {
		if r.problems[i].Column == column {
			n, last = n+1, i
		}
	}
	if n == most {
		r.problems[last].More++
		return
	}
	r.problems = append(r.problems,
		site.Problem{File: r.file, Line: line, Column: column, Found: found, Expected: expected, Do: do})
}

// rows are the rows of a file. Of a workbook they are those of the sheet that has the
// headings of a walk, or of the first one. There are none after a problem.
func (r *walkReader) rows(data []byte) []sheet.Row {
	book, err := sheet.Read(r.file, data, sheet.Options{})
	var wrong sheet.Error
	if errors.As(err, &wrong) {
		for _, p := range wrong {
			column := strings.TrimSpace(p.Sheet + " " + p.Column)
			r.problem(p.Line, column, p.Found, p.Expected, p.Do)
		}
		return nil
	}
	var first []sheet.Row
	for i := range book.Sheets {
		rows := book.Sheets[i].Rows
		done := func(c sheet.Cell) bool { return strings.EqualFold(c.Shown, walkDone) }
		if len(rows) > 0 && slices.ContainsFunc(rows[0].Cells, done) {
			return rows
		}
		if first == nil {
			first = rows
		}
	}
	return first
}

// heading finds the columns that are read. It reports false after a problem.
func (r *walkReader) heading(rows []sheet.Row) bool {
	if len(r.problems) > 0 {
		return false
	}
	const keep = "use the file that walk --csv wrote, and keep its heading line"
	if len(rows) == 0 {
		r.problem(0, "", "no heading line", "the columns "+strings.Join(walkColumns[:4], ", "), keep)
		return false
	}
	r.place = map[string]int{}
	for i, c := range rows[0].Cells {
		name := strings.ToLower(c.Shown)
		if _, twice := r.place[name]; twice && slices.Contains(walkColumns[:4], name) {
			r.problem(rows[0].Number, name, "two columns of this name", "one", "delete the other")
		}
		r.place[name] = i
	}
	for _, name := range walkColumns[:4] {
		if _, there := r.place[name]; !there {
			r.problem(rows[0].Number, name, "no column of this name", "the columns "+strings.Join(walkColumns[:4], ", "), keep)
		}
	}
	return len(r.problems) == 0
}

// known collects the ids as the list spells them.
func (r *walkReader) known() {
	r.ids = map[string]string{}
	add := func(id string) { r.ids[strings.Join(strings.Fields(report.Harmless(id)), " ")] = id }
	for id := range r.v.History.Labels {
		add(id)
	}
	for i := range r.v.Places {
		add(r.v.Places[i].ID())
	}
}

// read reads one row. A fault in it is a problem only if the row is ticked.
func (r *walkReader) read(row sheet.Row) {
	cell := func(name string) string {
		i := r.place[name]
		if i >= len(row.Cells) {
			return ""
		}
		if c := row.Cells[i]; c.Kind == sheet.Day {
			return c.Raw // however the spreadsheet shows it
		}
		return strings.Join(strings.Fields(row.Cells[i].Shown), " ") // no-break spaces too
	}
	d := record.Deed{}
	done, day, unread := r.tick(cell(walkDone))
	if !done {
		r.Left++
		return
	}
	if unread != nil {
		do := "leave it empty if it is not done"
		switch {
		case strings.ContainsAny(cell(walkDone), "0123456789"):
			do = unread.Do + "; or tick with x, and give the date with --applied"
		case cell(walkDone) == "?":
			do = "a spreadsheet may have lost a check mark here: tick with x"
		}
		r.problem(row.Number, walkDone, fmt.Sprintf("%q", cell(walkDone)),
			"x if it is done, or the date, such as "+unread.Like, do)
	}
	faults := r.faults
	if d.Applied = day; r.v.Today.Before(day) {
		r.problem(row.Number, walkDone, day.String(), fmt.Sprintf("today (%s) or earlier", r.v.Today), "")
	}
	switch do := plant.Do(strings.ToLower(cell(walkDo))); do {
	case plant.PutOn, plant.Replace:
		d.Kind = record.Mounted
	case plant.Cover:
		d.Kind, d.Thing = record.Mounted, record.Overlay
	case plant.Remove:
		d.Kind = record.Removed
	case plant.Uncover:
		d.Kind, d.Thing = record.Removed, record.Overlay
	default:
		r.problem(row.Number, walkDo, fmt.Sprintf("%q", do), "one of "+dos(), "leave this column as it was in the list")
	}
	id, there := r.ids[cell(walkID)]
	if !there {
		r.problem(row.Number, walkID, fmt.Sprintf("%q", cell(walkID)), "the id of a location or of a printed label",
			"leave this column as it was in the list; a spreadsheet may turn an id into a date or a number")
	}
	d.Location = id
	switch code, err := record.ParseCode(cell(walkLabel)); {
	case cell(walkLabel) == "":
		r.problem(row.Number, walkLabel, "no code", "the code of a printed label",
			"the label must be printed first; then make a new list")
	case err != nil:
		r.problem(row.Number, walkLabel, fmt.Sprintf("%q", cell(walkLabel)), "a code such as 7K3M-9QTD-RC4A-0W2E",
			"leave this column as it was in the list")
	default:
		d.Code = code
	}
	if r.faults > faults {
		return
	}
	if d.Kind == record.Removed && d.Thing == "" {
		d.Reason = r.v.OutOfUse(id)
	}
	key := fmt.Sprint(d.Kind, d.Thing, len(id), id)
	if line, twice := r.ticked[key]; twice && unread == nil {
		r.problem(row.Number, walkDone, "a second tick for the same thing", fmt.Sprintf("only the one on line %d", line),
			"delete one of the rows")
		return
	}
	r.ticked[key] = row.Number
	r.Deeds, r.lines = append(r.Deeds, d), append(r.lines, row.Number)
}

// What counts as a tick or as no tick, besides a date.
var (
	walkTicks   = []string{"x", "yes", "y", "1", "true", "done", "ok", "✓", "✔", "☑"}
	walkNoTicks = []string{"", "no", "n", "0", "false", "-", "–", "—", "☐"}
)

// tick reads the cell that a person ticks, and the date in it.
func (r *walkReader) tick(s string) (done bool, day assess.Date, unread *site.DateError) {
	word := strings.TrimSuffix(strings.ToLower(s), "\ufe0e")
	switch {
	case slices.Contains(walkTicks, word):
		return true, day, nil
	case slices.Contains(walkNoTicks, word):
		return false, day, nil
	}
	day, err := site.ParseDate(r.v.Site.Policy.DateForm, s)
	errors.As(err, &unread)
	return true, day, unread
}

// dos are the things to do, as lists spell them.
func dos() string {
	var words []string
	for _, d := range plant.Dos {
		words = append(words, string(d))
	}
	return strings.Join(words, ", ")
}
