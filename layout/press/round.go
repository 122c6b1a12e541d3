package press

import (
	"encoding/csv"
	"fmt"
	"io"
	"slices"
	"strings"

	"vouchmark/assess/intake/sheet"
	"vouchmark/assess/site"
	"vouchmark/label"
	"vouchmark/label/logbook"
	"vouchmark/label/plant"
	"vouchmark/label/record"
	"vouchmark/label/report"
)

// The columns of a list for a round.
const (
	roundFound = "found"
	roundRead  = "read"
	roundDay   = "day"
	roundID    = "id"
	roundLabel = "label"
)

var roundColumns = []string{roundFound, roundRead, roundDay, roundID, roundLabel, "area", "equipment", "last seen", "found last"}

// RoundCSV writes the list for a round (RFC 4180, with a byte-order mark): a row for each location, with
// a column for what was found there, one for what a reader read, and one for the day.
func RoundCSV(w io.Writer, v *plant.Plant) error {
	if _, err := io.WriteString(w, "\ufeff"); err != nil {
		return err
	}
	c := csv.NewWriter(w)
	c.UseCRLF = true
	c.Write(roundColumns)
	for _, d := range v.Round().Doors {
		day, last := "", ""
		if d.Seen != nil {
			day, last = d.Seen.Day.String(), string(d.Seen.Found)
		}
		c.Write([]string{"", "", "", report.Harmless(d.ID), string(d.Label), report.Harmless(d.Area), report.Harmless(d.Equipment), day, last})
	}
	c.Flush()
	return c.Error()
}

// Round is what a person noted in a list for a round.
type Round struct {
	Looks []logbook.Look
	Lines []int // of each, in the file
	Left  int   // rows in which nothing is noted
}

// ReadRound reads a list as [RoundCSV] wrote it or as a spreadsheet saved it, or the file of a code reader:
// one text of a QR code on each line. Whatever cannot be read is in one report of all problems.
func ReadRound(file string, data []byte, v *plant.Plant) (*Round, error) {
	r := &roundReader{listReader: listReader{file: file, v: v}, looked: map[string]int{}}
	rows := r.rows(data, roundFound)
	switch {
	case slices.ContainsFunc(rows, scans) && !headed(rows[0]):
		for _, row := range rows {
			r.scan(row)
		}
	case r.heading(rows, []string{roundFound, roundID}, "round --csv"):
		r.known()
		for _, row := range rows[1:] {
			r.read(row)
		}
	}
	if err := r.wrong(); err != nil {
		return nil, err
	}
	return &r.Round, nil
}

// Wrong is the report of what cannot be noted of a list.
func (r *Round) Wrong(file string, v *plant.Plant, all []logbook.Seen) error {
	l := listReader{file: file, v: v}
	for i := range all {
		if all[i].Err != nil {
			l.problem(r.Lines[i], "", "what cannot be noted", all[i].Err.Error(), "")
		}
	}
	return l.wrong()
}

// headed reports whether a row is the heading of a list.
func headed(row sheet.Row) bool {
	return slices.ContainsFunc(row.Cells, func(c sheet.Cell) bool { return strings.EqualFold(c.Shown, roundFound) })
}

// scans reports whether a row is what a code reader wrote.
func scans(row sheet.Row) bool {
	_, err := label.ParseQR(scanned(row))
	return err == nil
}

func scanned(row sheet.Row) string {
	for _, c := range row.Cells {
		if c.Shown != "" {
			return c.Shown
		}
	}
	return ""
}

// roundReader reads one list.
type roundReader struct {
	Round
	listReader
	looked map[string]int // the line on which something is noted of each location
}

func (r *roundReader) add(row sheet.Row, look logbook.Look) {
	r.Looks, r.Lines = append(r.Looks, look), append(r.Lines, row.Number)
}

// scan reads a line of a code reader: of a label of this site, which is where it should be as far as
// the reader can tell.
func (r *roundReader) scan(row sheet.Row) {
	text := scanned(row)
	if text == "" {
		return
	}
	if !scans(row) {
		r.problem(row.Number, "", fmt.Sprintf("%q", text), "the text of a label's QR code",
			"if it is a label of another site, say where it is: vouchmark seen TEXT --at ID")
		return
	}
	r.add(row, logbook.Look{Read: text})
}

// read reads one row of a list. A fault in it is a problem only if something is noted in the row.
func (r *roundReader) read(row sheet.Row) {
	look := logbook.Look{Read: r.cell(row, roundRead)}
	word := strings.TrimSuffix(strings.ToLower(r.cell(row, roundFound)), "\ufe0e")
	day := r.cell(row, roundDay)
	switch {
	case slices.Contains(walkNoTicks, word):
		if look.Read == "" && day == "" {
			r.Left++
			return
		}
		if look.Read == "" {
			r.problem(row.Number, roundFound, "a day, and not what was found", "x for the right label, or one of "+founds(),
				"delete the day if nobody looked")
		}
	case slices.Contains(walkTicks, word):
		look.Found = record.FoundRight
	case slices.Contains(record.Founds, record.Found(word)):
		look.Found = record.Found(word)
	default:
		r.problem(row.Number, roundFound, fmt.Sprintf("%q", word), "x for the right label, or one of "+founds(), "leave it empty where nobody looked")
	}
	if code := r.cell(row, roundLabel); look.Found == record.FoundRight && look.Read == "" && code != "" {
		if _, err := record.ParseCode(code); err != nil {
			r.problem(row.Number, roundLabel, fmt.Sprintf("%q", code), "a code such as 7K3M-9QTD-RC4A-0W2E",
				"leave this column as it was in the list")
		}
		look.Read = code // that was the right one when the list was made
	}
	switch {
	case look.Read != "" && look.Found == record.FoundMissing:
		r.problem(row.Number, roundFound, fmt.Sprintf("%q, and %q was read", word, look.Read), "one of both", "delete what is wrong")
	case look.Read != "" && look.Found != record.FoundDamaged:
		look.Found = "" // it follows from what was read
	}
	if look.At = r.id(row, roundID); look.At != "" {
		if line, twice := r.looked[look.At]; twice {
			r.problem(row.Number, roundID, fmt.Sprintf("%q again", look.At), fmt.Sprintf("only the one on line %d", line), "delete one of the rows")
		}
		r.looked[look.At] = row.Number
	}
	if day != "" {
		_, on, unread := r.tick(day)
		switch {
		case unread != nil || on.IsZero():
			r.problem(row.Number, roundDay, fmt.Sprintf("%q", day), "the day on which somebody looked, such as "+like(unread), "")
		case r.v.Today.Before(on):
			r.problem(row.Number, roundDay, on.String(), fmt.Sprintf("today (%s) or earlier", r.v.Today), "")
		}
		look.Day = on
	}
	r.add(row, look)
}

// like is a day in the form in which it should have been.
func like(unread *site.DateError) string {
	if unread == nil {
		return "2026-03-14"
	}
	return unread.Like
}

// founds are what can be found, as lists spell it.
func founds() string {
	var words []string
	for _, f := range record.Founds {
		words = append(words, string(f))
	}
	return strings.Join(words, ", ")
}
