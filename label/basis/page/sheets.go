package page

import (
	"bytes"
	"encoding/csv"
	"slices"

	"vouchmark/assess"
	"vouchmark/label/plant"
	"vouchmark/label/report"
)

// sheets are the lists for other programs: spreadsheets (RFC 4180) of all labels and of
// what is due, and a calendar (RFC 5545). The calendar names the day on which it was
// made, as it must, so it differs each day.
func (p planner) sheets(v *plant.Plant, due *report.Due, all []entry) []Page {
	undated := *due
	undated.Today, undated.Items = assess.Date{}, slices.Clone(due.Items)
	for i := range undated.Items {
		undate(&undated.Items[i])
	}
	pages := []Page{
		planned(p, "labels.csv", cells(all), (*setting).spreadsheet),
		planned(p, "due.csv", undated, (*setting).dueSheet),
	}
	if hasDates(due) {
		pages = append(pages, planned(p, "due.ics", calendar{*due, v.Site.Policy.NoticeDays}, (*setting).calendar))
	}
	return pages
}

// undate leaves out a day that is only today.
func undate(i *report.DueItem) {
	if !i.Printed || i.Found {
		i.Due = assess.Date{}
	}
}

// hasDates reports whether a calendar would have an entry.
func hasDates(d *report.Due) bool {
	return slices.ContainsFunc(d.Items, func(i report.DueItem) bool { return i.Printed || i.Device != "" })
}

// cells are the rows of the spreadsheet of all labels.
func cells(all []entry) [][]string {
	rows := [][]string{{"id", "area", "equipment", "signal_word", "label", "kit", "status", "standing", "cover", "why", "code"}}
	for i := range all {
		e := &all[i]
		row := []string{e.ID, e.Area, e.Equipment, string(e.Signal), e.Says, e.Kit, string(e.status), e.Word,
			map[bool]string{true: "yes", false: "no"}[e.tooLow], e.Why, string(e.Code)}
		for k := range row {
			row[k] = report.Harmless(row[k])
		}
		rows = append(rows, row)
	}
	return rows
}

// spreadsheet begins with a byte-order mark, which tells a spreadsheet program that the
// text is UTF-8.
func (*setting) spreadsheet(rows [][]string) ([]byte, error) {
	b := bytes.NewBufferString("\ufeff")
	w := csv.NewWriter(b)
	w.UseCRLF = true
	err := w.WriteAll(rows)
	return b.Bytes(), err
}

func (*setting) dueSheet(d report.Due) ([]byte, error) {
	var b bytes.Buffer
	err := d.CSV(&b)
	return b.Bytes(), err
}

type calendar struct {
	due    report.Due
	notice int // days
}

func (*setting) calendar(c calendar) ([]byte, error) {
	var b bytes.Buffer
	err := c.due.Calendar(&b, c.notice)
	return b.Bytes(), err
}
