package press

import (
	"cmp"
	"errors"
	"fmt"
	"slices"
	"strings"

	"vouchmark/assess/intake/sheet"
	"vouchmark/assess/site"
	"vouchmark/label/plant"
	"vouchmark/label/report"
)

// listReader reads a list that this program wrote and a person filled in, with a spreadsheet program
// or without.
type listReader struct {
	file     string
	v        *plant.Plant
	problems site.Problems
	faults   int               // how many there are, including those that are only counted
	place    map[string]int    // of each column
	ids      map[string]string // see known
}

func (r *listReader) problem(line int, column, found, expected, do string) {
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

// wrong is a report of all problems, by their lines; nil for none.
func (r *listReader) wrong() error {
	if len(r.problems) == 0 {
		return nil
	}
	slices.SortStableFunc(r.problems, func(a, b site.Problem) int { return cmp.Compare(a.Line, b.Line) })
	return r.problems
}

// rows are the rows of a file. Of a workbook they are those of the sheet that has a heading, or of the
// first one. There are none after a problem.
func (r *listReader) rows(data []byte, heading string) []sheet.Row {
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
		is := func(c sheet.Cell) bool { return strings.EqualFold(c.Shown, heading) }
		if len(rows) > 0 && slices.ContainsFunc(rows[0].Cells, is) {
			return rows
		}
		if first == nil {
			first = rows
		}
	}
	return first
}

// heading finds the columns that are read; by is the command that writes the list. It reports false
// after a problem.
func (r *listReader) heading(rows []sheet.Row, columns []string, by string) bool {
	if len(r.problems) > 0 {
		return false
	}
	keep := "use the file that " + by + " wrote, and keep its heading line"
	if len(rows) == 0 {
		r.problem(0, "", "no heading line", "the columns "+strings.Join(columns, ", "), keep)
		return false
	}
	r.place = map[string]int{}
	for i, c := range rows[0].Cells {
		name := strings.ToLower(c.Shown)
		if _, twice := r.place[name]; twice && slices.Contains(columns, name) {
			r.problem(rows[0].Number, name, "two columns of this name", "one", "delete the other")
		}
		r.place[name] = i
	}
	for _, name := range columns {
		if _, there := r.place[name]; !there {
			r.problem(rows[0].Number, name, "no column of this name", "the columns "+strings.Join(columns, ", "), keep)
		}
	}
	return len(r.problems) == 0
}

// cell is the text of a cell; "" where the list has no such column.
func (r *listReader) cell(row sheet.Row, name string) string {
	i, there := r.place[name]
	if !there || i >= len(row.Cells) {
		return ""
	}
	if c := row.Cells[i]; c.Kind == sheet.Day {
		return c.Raw // however the spreadsheet shows it
	}
	return strings.Join(strings.Fields(row.Cells[i].Shown), " ") // no-break spaces too
}

// known collects the ids as the list spells them.
func (r *listReader) known() {
	r.ids = map[string]string{}
	add := func(id string) { r.ids[strings.Join(strings.Fields(report.Harmless(id)), " ")] = id }
	for id := range r.v.History.Labels {
		add(id)
	}
	for i := range r.v.Places {
		add(r.v.Places[i].ID())
	}
}

// id is the id in a cell as the site spells it; it notes a problem where there is none.
func (r *listReader) id(row sheet.Row, column string) string {
	id, there := r.ids[r.cell(row, column)]
	if !there {
		r.problem(row.Number, column, fmt.Sprintf("%q", r.cell(row, column)), "the id of a location or of a printed label",
			"leave this column as it was in the list; a spreadsheet may turn an id into a date or a number")
	}
	return id
}
