package press

import (
	"bytes"
	"cmp"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"
	"unicode/utf8"

	"golang.org/x/text/encoding/charmap"
	"golang.org/x/text/encoding/unicode"
	"golang.org/x/text/transform"

	"vouchmark/assess"
	"vouchmark/assess/site"
	"vouchmark/label/plant"
	"vouchmark/label/record"
	"vouchmark/label/report"
)

// MostOfWalk is the largest file that is read as a walk, in bytes.
const MostOfWalk = 16 << 20

// Ticked is what a person ticked in a walk.
type Ticked struct {
	Deeds []record.Deed
	Left  int // rows that nobody ticked
}

// ReadWalk reads a walk in which a person ticked what is done, as [WalkCSV] wrote
// it or as a spreadsheet saved it again: UTF-8, UTF-16 or Windows-1252, separated
// by commas, semicolons or tabs, its columns and rows in any order, with others
// between them. A row counts as done by a tick (x, yes, 1, ✓ and the like) or by
// the day on which it was done, in the site's form of dates. What cannot be read,
// or cannot be noted beside the ledger as it is, is in one report of all problems.
func ReadWalk(file string, data []byte, v *plant.Plant) (*Ticked, error) {
	r := &walkReader{file: file, v: v, ticked: map[string]int{}}
	if rows := r.cells(data); r.heading(rows) {
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

// walkReader reads one walk.
type walkReader struct {
	Ticked
	file     string
	v        *plant.Plant
	problems site.Problems
	faults   int            // how many there are, also those that are only counted
	lines    []int          // on which each deed stands
	place    map[string]int // of each column
	ids      map[string]string
	ticked   map[string]int // the line on which each thing to do was ticked
}

// walkLine is a row of cells, and the line on which it begins.
type walkLine struct {
	line  int
	cells []string
}

func (r *walkReader) problem(line int, column, found, expected, do string) {
	r.faults++
	const most = 50 // that are told of one column
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

// cells takes a file apart; nil after a problem.
func (r *walkReader) cells(data []byte) (rows []walkLine) {
	switch {
	case bytes.HasPrefix(data, []byte("PK\x03\x04")):
		r.problem(0, "", "a workbook", "a CSV file", `save the sheet from the spreadsheet as "CSV UTF-8"`)
		return nil
	case bytes.HasPrefix(data, []byte("%PDF")):
		r.problem(0, "", "a PDF", "a CSV file", "tick the one that walk --csv writes")
		return nil
	case !utf8.Valid(data): // UTF-16 begins with its mark; else it is what spreadsheets write without asking
		data, _, _ = transform.Bytes(unicode.BOMOverride(charmap.Windows1252.NewDecoder()), data)
	}
	data = bytes.TrimPrefix(data, []byte("\ufeff"))
	data = bytes.ReplaceAll(bytes.ReplaceAll(data, []byte("\r\n"), []byte("\n")), []byte("\r"), []byte("\n"))
	if at := bytes.IndexByte(data, 0); at >= 0 {
		r.problem(1+bytes.Count(data[:at], []byte("\n")), "", "a zero byte", "text", `save it from the spreadsheet as "CSV UTF-8"`)
		return nil
	}
	in := csv.NewReader(bytes.NewReader(data))
	in.Comma, in.FieldsPerRecord = walkDelimiter(data), -1
	for {
		cells, err := in.Read()
		if err == io.EOF {
			return rows
		}
		if err != nil {
			e := &csv.ParseError{}
			errors.As(err, &e)
			r.problem(e.StartLine, fmt.Sprintf("character %d", e.Column), "a quotation mark that does not fit",
				"a cell in quotation marks, with each one inside it doubled", "save it again from the spreadsheet")
			return nil
		}
		line, _ := in.FieldPos(0)
		for i := range cells {
			cells[i] = strings.Join(strings.Fields(cells[i]), " ") // no-break spaces too
		}
		separated := len(rows) == 0 && len(cells) > 0 && strings.HasPrefix(strings.ToLower(cells[0]), "sep=")
		if strings.Join(cells, "") != "" && !separated {
			rows = append(rows, walkLine{line, cells})
		}
	}
}

// walkDelimiter is the sign between the columns: the most frequent of three on
// the line of the headings, of which none has such a sign in it.
func walkDelimiter(data []byte) rune {
	best, most := ',', 0
	for line := range bytes.Lines(data) {
		if !bytes.Contains(bytes.ToLower(line), []byte(walkLabel)) {
			continue
		}
		for _, d := range ",;\t" {
			if n := bytes.Count(line, []byte(string(d))); n > most {
				best, most = d, n
			}
		}
		return best
	}
	return best
}

// heading finds the columns that are read. It reports false after a problem.
func (r *walkReader) heading(rows []walkLine) bool {
	if len(r.problems) > 0 {
		return false
	}
	const keep = "take the file that walk --csv wrote, and keep its line of headings"
	if len(rows) == 0 {
		r.problem(0, "", "no heading line", "the columns "+strings.Join(walkColumns[:4], ", "), keep)
		return false
	}
	r.place = map[string]int{}
	for i, name := range rows[0].cells {
		name = strings.ToLower(name)
		if _, twice := r.place[name]; twice && slices.Contains(walkColumns[:4], name) {
			r.problem(rows[0].line, name, "two columns of this name", "one", "delete the other")
		}
		r.place[name] = i
	}
	for _, name := range walkColumns[:4] {
		if _, there := r.place[name]; !there {
			r.problem(rows[0].line, name, "no column of this name", "the columns "+strings.Join(walkColumns[:4], ", "), keep)
		}
	}
	return len(r.problems) == 0
}

// known are the ids as the list spells them.
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

// read reads one row. What is wrong with it is a problem where it is ticked.
func (r *walkReader) read(row walkLine) {
	cell := func(name string) string {
		if i := r.place[name]; i < len(row.cells) {
			return row.cells[i]
		}
		return ""
	}
	d := record.Deed{}
	done, day, unread := r.tick(cell(walkDone))
	if !done {
		r.Left++
		return
	}
	if unread != nil {
		do := "leave it empty where it is not done"
		switch {
		case strings.ContainsAny(cell(walkDone), "0123456789"):
			do = unread.Do + "; or tick with x, and give the day with --applied"
		case cell(walkDone) == "?":
			do = "a spreadsheet may have lost a check mark here: tick with x"
		}
		r.problem(row.line, walkDone, fmt.Sprintf("%q", cell(walkDone)),
			"x where it is done, or the day, such as "+unread.Like, do)
	}
	faults := r.faults
	if d.Applied = day; r.v.Today.Before(day) {
		r.problem(row.line, walkDone, day.String(), fmt.Sprintf("a day until today (%s)", r.v.Today), "")
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
		r.problem(row.line, walkDo, fmt.Sprintf("%q", do), "one of "+dos(), "leave this column as the list has it")
	}
	id, there := r.ids[cell(walkID)]
	if !there {
		r.problem(row.line, walkID, fmt.Sprintf("%q", cell(walkID)), "the id of a location or of a printed label",
			"leave this column as the list has it; a spreadsheet may take an id for a date or a number")
	}
	d.Location = id
	switch code, err := record.ParseCode(cell(walkLabel)); {
	case cell(walkLabel) == "":
		r.problem(row.line, walkLabel, "no code", "the code of a label that was printed",
			"what is done can be noted when the label is printed and on a list")
	case err != nil:
		r.problem(row.line, walkLabel, fmt.Sprintf("%q", cell(walkLabel)), "a code such as 7K3M-9QTD-RC4A-0W2E",
			"leave this column as the list has it")
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
		r.problem(row.line, walkDone, "a second tick for the same thing", fmt.Sprintf("that on line %d alone", line), "delete one of the rows")
		return
	}
	r.ticked[key] = row.line
	r.Deeds, r.lines = append(r.Deeds, d), append(r.lines, row.line)
}

// What counts as a tick, and what as none, beside a day and an empty cell.
var (
	walkTicks   = []string{"x", "yes", "y", "1", "true", "done", "ok", "✓", "✔", "☑"}
	walkNoTicks = []string{"", "no", "n", "0", "false", "-", "–", "—", "☐"}
)

// tick reads the cell that a person ticks, and the day that stands in it.
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

// dos are the things to do, as a list has them.
func dos() string {
	var words []string
	for _, d := range plant.Dos {
		words = append(words, string(d))
	}
	return strings.Join(words, ", ")
}
