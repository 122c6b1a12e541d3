package press

import (
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
)

// MostOfWalk is the largest walk list, or list of a round, that is read, in bytes.
const MostOfWalk = 16 << 20

// Limits are those of the lists that a person fills in.
func Limits() []infile.Limit {
	return []infile.Limit{{What: "a walk list, or a list of a round, filled in", Most: infile.Size(MostOfWalk)}}
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
	r := &walkReader{listReader: listReader{file: file, v: v}, ticked: map[string]int{}}
	if rows := r.rows(data, walkDone); r.heading(rows, walkColumns[:4], "walk --csv") {
		r.known()
		for _, row := range rows[1:] {
			r.read(row)
		}
	}
	for _, e := range record.Wrongs(r.Deeds, v.Today, func(location string) *record.Label {
		if l, ok := v.History.Last(location); ok {
			return l.Label
		}
		return nil
	}) {
		column := map[record.About]string{record.AboutPlace: walkID, record.AboutLabel: walkLabel,
			record.AboutDeed: walkDo, record.AboutDay: walkDone}[e.About]
		r.problem(r.lines[e.Number], column, e.Found, e.Expected, e.Do)
	}
	if err := r.wrong(); err != nil {
		return nil, err
	}
	return &r.Ticked, nil
}

// walkReader reads one walk list.
type walkReader struct {
	Ticked
	listReader
	lines  []int          // the line of each deed
	ticked map[string]int // the line on which each thing to do was ticked
}

// read reads one row. A fault in it is a problem only if the row is ticked.
func (r *walkReader) read(row sheet.Row) {
	cell := func(name string) string { return r.cell(row, name) }
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
	id := r.id(row, walkID)
	d.Location = id
	switch code, err := record.ParseCode(cell(walkLabel)); {
	case cell(walkLabel) == "" && d.Kind == record.Removed:
		r.problem(row.Number, walkLabel, "no code", "the code of a printed label",
			"no label was printed for this location; note what is there with vouchmark seen --found missing ID")
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
func (r *listReader) tick(s string) (done bool, day assess.Date, unread *site.DateError) {
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
