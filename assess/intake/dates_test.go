package intake

import (
	"strings"
	"testing"

	"vouchmark/assess/intake/sheet"
)

// Which number of a date is the month is told by a day after the twelfth in the same
// column, or by a person; else it is asked.
func TestDates(t *testing.T) {
	for _, c := range []struct {
		cells, form string
		want        string // of the first; "?" for asked
	}{
		{"3/4/2026 3/4/2026", "", "?"}, {"3/4/2026 3/14/2026", "", "2026-03-04"}, {"3/4/2026 14/3/2026", "", "2026-04-03"},
		{"3/14/2026 14/3/2026", "", "?"}, {"3/3/2026 3/3/2026", "", "2026-03-03"}, {"2026-03-04 2026-03-04", "", "2026-03-04"},
		{"3/4/2026 3/4/2026", "d/m/y", "2026-04-03"}, {"3/4/2026 3/14/2026", "d/m/y", "?"}, {"14/3/2026 3/4/2026", "m/d/y", "?"},
		{"14-Mar-2026 3/3/2026", "", "2026-03-14"},
	} {
		text := "Bus ID,Description,Voltage (V),Study Date\n"
		for i, d := range strings.Fields(c.cells) {
			text += "P-" + string(rune('1'+i)) + ",Panel,480," + d + "\n"
		}
		s := take(t, text, Answers{DateForm: c.form}, Context{})
		asked := strings.Contains(asks(s), "Study Date")
		if asked != (c.want == "?") || !asked && s.Rows[0].Cells["prepared"] != c.want {
			t.Errorf("%s %s: %s, asks %s", c.cells, c.form, s.Rows[0].Cells["prepared"], asks(s))
		}
	}
}

// Two digits are not a year: the heading is offered, and no date is read.
func TestShortYears(t *testing.T) {
	s := take(t, "Bus ID,Description,Voltage (V),Study Date\nP-1,Panel,480,3/14/26\n", Answers{}, Context{})
	if s.meaning("prepared") != nil || !strings.Contains(show(s), `is it "Study Date"?`) {
		t.Errorf("%s", show(s))
	}
	s = take(t, "Bus ID,Description,Voltage (V),Study Date\nP-1,Panel,480,3/14/26\nP-2,Panel,480,3/14/2026\n", Answers{}, Context{})
	if s.Rows[0].Cells["prepared"] != "3/14/26" || s.Rows[1].Cells["prepared"] != "2026-03-14" { // which no reader of dates reads
		t.Errorf("%s", show(s))
	}
}

// Another column, a note below the table and a title tell nothing of a column's dates.
func TestDatesOfOneColumn(t *testing.T) {
	s := take(t, "Prepared 3/14/2026\n\nBus ID,Description,Voltage (V),Study Date,Survey Date\nP-1,Panel,480,3/4/2026,25/3/2026\n"+
		"Prepared by:,E. Sample,480,3/14/2026\n", Answers{}, Context{})
	if !strings.Contains(asks(s), "Study Date") || s.Rows[0].Cells["surveyed"] != "2026-03-25" || s.DateForm != "d/m/y" {
		t.Errorf("%q\n%s", s.DateForm, show(s))
	}
	s = take(t, "Bus ID,Description,Voltage (V),Study Date,Survey Date\nP-1,Panel,480,3/14/2026,25/3/2026\n", Answers{}, Context{})
	if s.Rows[0].Cells["prepared"] != "2026-03-14" || s.Rows[0].Cells["surveyed"] != "2026-03-25" || s.DateForm != "" {
		t.Errorf("%q\n%s", s.DateForm, show(s))
	}
}

// A spreadsheet that takes days for months makes dates of the days up to the
// twelfth, and leaves the others as texts.
func TestDatesThatASpreadsheetTurned(t *testing.T) {
	day := func(iso string) sheet.Cell { return sheet.Cell{Shown: iso, Raw: iso, Kind: sheet.Day} }
	for _, c := range []struct {
		cells []sheet.Cell
		asked bool
	}{
		{[]sheet.Cell{day("2026-04-03"), textCell("14/3/2026")}, true},
		{[]sheet.Cell{day("2026-04-13"), textCell("14/3/2026")}, false}, // it did not
		{[]sheet.Cell{day("2026-04-03"), day("2026-04-03")}, false},
		{[]sheet.Cell{day("2026-04-03"), textCell("2026-04-03")}, false},
	} {
		rows := []sheet.Row{{Number: 1, Cells: texts("Bus ID", "Description", "Voltage (V)", "Study Date")}}
		for i, d := range c.cells {
			rows = append(rows, sheet.Row{Number: i + 2, Cells: append(texts("P-"+string(rune('1'+i)), "Panel", "480"), d)})
		}
		s, err := Read(&sheet.Book{Sheets: []sheet.Sheet{{Name: "Results", Rows: rows}}}, "a.xlsx", &Answers{}, Context{})
		if err != nil || strings.Contains(asks(s), "Study Date") != c.asked {
			t.Errorf("%v: %v\n%s", c.cells, err, show(s))
		}
	}
}
