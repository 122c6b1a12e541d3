package press

import (
	"bytes"
	"encoding/csv"
	"errors"
	"slices"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"
	"golang.org/x/text/encoding/charmap"
	"golang.org/x/text/encoding/unicode"

	"vouchmark/assess/site"
	"vouchmark/label/record"
)

// list is a walk as a file.
func (y *yard) list() string {
	y.Helper()
	var b bytes.Buffer
	if err := WalkCSV(&b, NewWalk(y.view())); err != nil {
		y.Fatal(err)
	}
	return b.String()
}

// tick puts a text before the row of a thing to do.
func tick(list, text, do, id string) string {
	return strings.Replace(list, "\n,"+do+","+id+",", "\n"+text+","+do+","+id+",", 1)
}

// from notes what is ticked in a list, and gives the lines of the ledger.
func (y *yard) from(list string) (lines []record.Line, left int) {
	y.Helper()
	t, err := ReadWalk("walk.csv", []byte(list), y.view())
	if err != nil {
		y.Fatal(err)
	}
	if len(t.Deeds) > 0 {
		if lines, err = y.store.Tell(t.Deeds, y.today, "A", "test"); err != nil {
			y.Fatal(err)
		}
	}
	return lines, t.Left
}

// wrong are the problems of a list, which is wrong.
func (y *yard) wrong(list string) site.Problems {
	y.Helper()
	var ps site.Problems
	if _, err := ReadWalk("walk.csv", []byte(list), y.view()); !errors.As(err, &ps) {
		y.Fatalf("%v", err)
	}
	return ps
}

// busy is a yard with one of each thing to do, on 2026-05-03.
func busy(t *testing.T) *yard {
	t.Helper()
	y := newYard(t, 6)
	y.labels(Choice{IDs: []string{"P0", "P1", "P2", "P3", "P4"}})
	y.mounted("P1", "P2", "P3")
	y.next()
	y.study("P1", 6)
	y.labels(Choice{IDs: []string{"P1"}})
	y.withdraw("P2")
	y.change("P3")
	y.change("P4")
	y.overlays(Choice{IDs: []string{"P3", "P4"}})
	y.note(record.Mounted, record.Overlay, "P4")
	y.site.Log.Changes = y.site.Log.Changes[:1] // the doubt at P4 is cleared
	y.next()
	return y
}

// A list holds each thing to do, a row each, as a spreadsheet reads it; a text that
// it would take for a formula is text.
func TestWalkCSV(t *testing.T) {
	y := busy(t)
	y.row("P5").Equipment = `=Panel "A", east`
	text, marked := strings.CutPrefix(y.list(), "\ufeff")
	if !marked || strings.Count(text, "\r\n") != strings.Count(text, "\n") {
		t.Error("not as a spreadsheet has it")
	}
	rows, err := csv.NewReader(strings.NewReader(text)).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	last := func(id string) string { return y.code(id, 0) }
	want := [][]string{
		{"done", "do", "id", "label", "area", "equipment", "label there", "note", "print first"},
		{"", "cover", "P3", last("P3"), "West", "Panel", last("P3"), "", ""},
		{"", "put on", "P0", last("P0"), "East", "Panel", "", "", ""},
		{"", "remove", "P2", last("P2"), "East", "Panel", last("P2"), "withdrawn on 2026-05-02: burnt; " + confirm, ""},
		{"", "put on", "P4", last("P4"), "East", "Panel", "", "", ""},
		{"", "remove overlay", "P4", last("P4"), "East", "Panel", last("P4"), "", ""},
		{"", "replace", "P1", last("P1"), "West", "Panel", y.code("P1", 1), "", ""},
		{"", "put on", "P5", "", "West", `'=Panel "A", east`, "", "", "print the labels that are due"},
	}
	if !slices.EqualFunc(rows, want, slices.Equal) {
		t.Errorf("%q\nwant\n%q", rows, want)
	}
}

// What is ticked is noted, each with the line of the ledger that is its own; and
// then the walk is at its end, and the same list notes nothing more.
func TestTicked(t *testing.T) {
	y := busy(t)
	list := y.list()
	for do, id := range map[string]string{"put on": "P0", "remove": "P2", "remove overlay": "P4", "replace": "P1", "cover": "P3"} {
		list = tick(list, "x", do, id)
	}
	list = tick(list, "2026-05-02", "put on", "P4")
	lines, left := y.from(list)
	var got []string
	for _, l := range lines {
		text := string(l.Kind) + " " + l.Thing + " " + l.Applied.String() + " " + l.Date.String()
		for _, p := range l.Labels {
			if p.Record != y.view().History.Labels[p.ID].ID.String() {
				t.Errorf("%s is noted of another record", p.ID)
			}
			text += " " + p.ID
		}
		got = append(got, text)
	}
	want := []string{"removed  2026-05-03 2026-05-03 P2", "removed overlay 2026-05-03 2026-05-03 P4", "mounted  2026-05-02 2026-05-03 P4",
		"mounted  2026-05-03 2026-05-03 P0 P1", "mounted overlay 2026-05-03 2026-05-03 P3"}
	if !slices.Equal(got, want) || left != 1 {
		t.Errorf("%q, %d left", got, left)
	}
	y.look("noted", "P5: put on -> print the labels that are due")
	y.next()
	if lines, _ := y.from(list); len(lines) > 0 {
		t.Errorf("noted twice: %+v", lines)
	}
	if lines, _ := y.from(strings.Replace(list, "\n2026-05-02", "\n2026-05-03", 1)); len(lines) != 1 || lines[0].Applied != day(t, "2026-05-03") {
		t.Errorf("a day that was wrong: %+v", lines)
	}
}

// A label that its row no longer needs is noted as withdrawn, too, with the reason.
func TestTickedOutOfUse(t *testing.T) {
	y := newYard(t, 2)
	y.labels(Choice{})
	y.drop("P1")
	lines, _ := y.from(tick(y.list(), "yes", "remove", "P1"))
	if len(lines) != 2 || lines[0].Kind != record.Withdrawn || lines[0].Reason != "locations.csv no longer has a row for it" ||
		lines[1].Kind != record.Removed {
		t.Errorf("%+v", lines)
	}
}

// What counts as a tick, and what does not.
func TestTick(t *testing.T) {
	y := newYard(t, 1)
	y.labels(Choice{})
	for _, s := range []string{"x", "X", " x ", "yes", "Yes", "Y", "1", "TRUE", "✓", "✔", "✔\ufe0e", "done", "2026-05-01", "1-May-2026", "2026-05-01 00:00:00"} {
		if p, err := ReadWalk("walk.csv", []byte(tick(y.list(), s, "put on", "P0")), y.view()); err != nil || len(p.Deeds) != 1 {
			t.Errorf("%q is not a tick: %+v, %v", s, p, err)
		}
	}
	for _, s := range []string{"", " ", "no", "NO", "0", "FALSE", "-", "\u00a0"} {
		if p, err := ReadWalk("walk.csv", []byte(tick(y.list(), s, "put on", "P0")), y.view()); err != nil || len(p.Deeds) != 0 || p.Left != 1 {
			t.Errorf("%q is a tick: %+v, %v", s, p, err)
		}
	}
	for _, s := range []string{"maybe", "✗", "2", "5/1/2026", "46143", "2026-02-30", "1.5.26", "2026-05-02"} {
		if ps := y.wrong(tick(y.list(), s, "put on", "P0")); len(ps) != 1 || ps[0].Column != "done" || ps[0].Line != 2 {
			t.Errorf("%q: %v", s, ps)
		}
	}
	for s, do := range map[string]string{"maybe": "leave it empty", "?": "check mark", "5/1/2026": "--applied"} {
		if ps := y.wrong(tick(y.list(), s, "put on", "P0")); !strings.Contains(ps[0].Do, do) {
			t.Errorf("%q: %v", s, ps)
		}
	}
	y.site.Policy.DateForm = "m/d/y"
	p, err := ReadWalk("walk.csv", []byte(tick(y.list(), "5/1/2026", "put on", "P0")), y.view())
	if err != nil || p.Deeds[0].Applied != y.today {
		t.Errorf("%+v, %v", p, err)
	}
}

// A spreadsheet saves a list again with another delimiter, encoding, order of
// columns and rows, and with rows and columns of a person's own.
func TestSavedAgain(t *testing.T) {
	y := busy(t)
	y.row("P0").ID, y.row("P0").Area = "P0", "Östlich"
	list := tick(tick(y.list(), "x", "replace", "P1"), "2026-05-03", "remove", "P2")
	plain := strings.TrimPrefix(list, "\ufeff")
	utf16, err := unicode.UTF16(unicode.LittleEndian, unicode.UseBOM).NewEncoder().String(plain)
	if err != nil {
		t.Fatal(err)
	}
	ansi, err := charmap.Windows1252.NewEncoder().String(plain)
	if err != nil {
		t.Fatal(err)
	}
	rows, _ := csv.NewReader(strings.NewReader(plain)).ReadAll()
	for i := range rows {
		slices.Reverse(rows[i])
		rows[i] = append(rows[i], "mine")
	}
	slices.Reverse(rows[1:])
	var turned strings.Builder
	w := csv.NewWriter(&turned)
	w.Comma = ';'
	w.WriteAll(rows)
	for what, again := range map[string]string{
		"as it was": list, "without its mark": plain, "line ends": strings.ReplaceAll(list, "\r\n", "\n"),
		"old line ends": strings.ReplaceAll(list, "\r\n", "\r"), "semicolons": strings.ReplaceAll(list, ",", ";"),
		"tabs": strings.ReplaceAll(plain, ",", "\t"), "UTF-16": utf16, "Windows-1252": ansi,
		"turned round":     turned.String(),
		"its own headings": strings.Replace(list, "done,do,id", " Done ,DO,Id", 1), "capitals": strings.Replace(list, "replace", "REPLACE", 1),
		"blank rows": "\r\n,,,,\r\n" + plain + "\r\n,,,,,,\r\n", "a word for the delimiter": "sep=;\r\n" + strings.ReplaceAll(plain, ",", ";"),
	} {
		p, err := ReadWalk("walk.csv", []byte(again), y.view())
		if err != nil || len(p.Deeds) != 2 {
			t.Errorf("%s: %+v, %v\n%s", what, p, err, again)
			continue
		}
		slices.SortFunc(p.Deeds, func(a, b record.Deed) int { return strings.Compare(a.Location, b.Location) })
		if p.Deeds[0].Location != "P1" || p.Deeds[1].Location != "P2" || p.Deeds[1].Applied != y.today || p.Deeds[0].Kind != record.Mounted {
			t.Errorf("%s: %+v", what, p.Deeds)
		}
	}
}

// In a workbook a day is a day, however it is shown, and the list may be on any
// sheet.
func TestWorkbook(t *testing.T) {
	y := busy(t)
	f := excelize.NewFile()
	defer f.Close()
	rows, err := csv.NewReader(strings.NewReader(strings.TrimPrefix(y.list(), "\ufeff"))).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	set := func(sheet string, row, column int, value any) {
		t.Helper()
		at, err := excelize.CoordinatesToCellName(column, row)
		if err == nil {
			err = f.SetCellValue(sheet, at, value)
		}
		if err != nil {
			t.Fatal(err)
		}
	}
	set("Sheet1", 1, 1, "What the crew needs")
	if _, err := f.NewSheet("Walk"); err != nil {
		t.Fatal(err)
	}
	for i, r := range rows {
		for k, cell := range r {
			set("Walk", i+1, k+1, cell)
		}
		switch r[2] {
		case "P1":
			set("Walk", i+1, 1, true)
		case "P2":
			set("Walk", i+1, 1, y.today.Time())
		case "P3":
			set("Walk", i+1, 1, 1)
		}
	}
	var b bytes.Buffer
	if err := f.Write(&b); err != nil {
		t.Fatal(err)
	}
	p, err := ReadWalk("walk.xlsx", b.Bytes(), y.view())
	if err != nil || len(p.Deeds) != 3 {
		t.Fatalf("%+v, %v", p, err)
	}
	for _, d := range p.Deeds {
		if day := map[string]string{"P2": "2026-05-03"}[d.Location]; d.Applied.String() != day {
			t.Errorf("%+v", d)
		}
	}
	set("Walk", 3, 3, "1-Jan")
	set("Walk", 3, 1, "x")
	b.Reset()
	if err := f.Write(&b); err != nil {
		t.Fatal(err)
	}
	var ps site.Problems
	if _, err := ReadWalk("walk.xlsx", b.Bytes(), y.view()); !errors.As(err, &ps) || len(ps) != 1 || ps[0].Line != 3 || ps[0].Column != "id" {
		t.Errorf("%v", err)
	}
}

// An id that a spreadsheet would take for a formula is read back as it is.
func TestIDLikeAFormula(t *testing.T) {
	y := newYard(t, 1)
	y.row("P0").ID = "-P 0"
	y.site.Policy.Sources = []string{"-P 0"}
	y.labels(Choice{})
	p, err := ReadWalk("walk.csv", []byte(tick(y.list(), "x", "put on", "'-P 0")), y.view())
	if err != nil || len(p.Deeds) != 1 || p.Deeds[0].Location != "-P 0" {
		t.Errorf("%+v, %v", p, err)
	}
}

// All that is wrong with a list is in one report, with line and column, and
// nothing of it is noted.
func TestWrongTicks(t *testing.T) {
	y := busy(t)
	list := tick(y.list(), "x", "put on", "P0")
	for _, c := range []struct{ what, list, column, found, do string }{
		{"an id of nobody", tick(strings.Replace(list, "replace,P1,", "replace,1-Jan,", 1), "x", "replace", "1-Jan"), "id", `"1-Jan"`, "date"},
		{"no code", tick(list, "x", "put on", "P5"), "label", "no code", "printed"},
		{"not a code", tick(strings.Replace(list, "remove,P2,"+y.code("P2", 0), "remove,P2,7K3M", 1), "x", "remove", "P2"),
			"label", `"7K3M"`, "as it was in the list"},
		{"another label", tick(strings.Replace(list, "replace,P1,"+y.code("P1", 0), "replace,P1,"+y.code("P1", 1), 1), "x", "replace", "P1"),
			"label", y.code("P1", 1), "new list"},
		{"the label of another place", tick(strings.Replace(list, "replace,P1,"+y.code("P1", 0), "replace,P1,"+y.code("P2", 0), 1), "x", "replace", "P1"),
			"label", y.code("P2", 0), "new list"},
		{"nothing to do", tick(strings.Replace(list, "replace,P1,", "paint,P1,", 1), "x", "paint", "P1"), "do", `"paint"`, "as it was in the list"},
		{"too early", tick(list, "2026-04-30", "replace", "P1"), "done", "2026-04-30", "printed on that day"},
		{"ahead", tick(list, "2026-05-04", "replace", "P1"), "done", "2026-05-04", ""},
		{"in use", tick(strings.Replace(list, "replace,P1,", "remove,P1,", 1), "x", "remove", "P1"), "do", "a label in use as removed", "withdraw"},
		{"withdrawn", tick(strings.Replace(list, "remove,P2,", "put on,P2,", 1), "x", "put on", "P2"), "do", "a withdrawn label as mounted", "2026-05-02"},
		{"no overlay", tick(strings.Replace(list, "replace,P1,", "cover,P1,", 1), "x", "cover", "P1"), "do", "an overlay as mounted", "print it"},
		{"twice", list + "x,put on,P0," + y.code("P0", 0) + ",East,Panel,,,\r\n", "done", "a second tick", "delete"},
		{"never printed", tick(strings.Replace(list, "put on,P5,", "put on,P5,"+y.code("P0", 0), 1), "x", "put on", "P5"), "id", `"P5"`, ""},
	} {
		ps := y.wrong(c.list)
		if len(ps) != 1 || ps[0].File != "walk.csv" || ps[0].Line < 2 || ps[0].Column != c.column || !strings.Contains(ps[0].Found, c.found) ||
			!strings.Contains(ps[0].Do, c.do) || ps[0].Expected == "" {
			t.Errorf("%s: %v", c.what, ps)
		}
	}
	both := tick(tick(strings.Replace(list, "replace,P1,", "paint,P1,", 1), "x", "paint", "P1"), "2026-04-30", "cover", "P3")
	if ps := y.wrong(both); len(ps) != 2 || ps[0].Line >= ps[1].Line {
		t.Errorf("two problems: %v", ps)
	}
	// What is not ticked may be anything.
	if p, err := ReadWalk("walk.csv", []byte(strings.Replace(list, "replace,P1,", "paint,1-Jan,", 1)), y.view()); err != nil || len(p.Deeds) != 1 {
		t.Errorf("%+v, %v", p, err)
	}
}

// A file that is not a list is refused as a whole, in one sentence that says so.
func TestNoList(t *testing.T) {
	y := busy(t)
	list := strings.TrimPrefix(y.list(), "\ufeff")
	for _, c := range []struct{ what, data, found string }{
		{"nothing", "", "an empty file"}, {"blanks", " ,\r\n", "no filled cell"},
		{"a workbook", "PK\x03\x04rest", ""},
		{"a PDF", "%PDF-1.7", "a PDF"},
		{"another table", "id,equipment\r\nP0,Panel\r\n", "no column"},
		{"zero bytes", list + "x\x00,put on\r\n", "zero"},
		{"an open quotation", strings.Replace(list, "Panel", "\"Panel", 1), "quotation mark"},
		{"two columns", strings.Replace(list, "area,", "label,", 1), "two columns"},
		{"no ticks", strings.Replace(list, "done,", "ticked,", 1), "no column"},
	} {
		ps := y.wrong(c.data)
		if !strings.Contains(ps[0].Found, c.found) || ps[0].Expected == "" || ps[0].Do == "" {
			t.Errorf("%s: %v", c.what, ps)
		}
	}
	for range 200 {
		list += "maybe,put on,P0," + y.code("P0", 0) + ",East,Panel,,,\r\n"
	}
	if ps := y.wrong(list); len(ps) != 50 || ps[49].More != 150 {
		t.Errorf("%d problems, and %d more", len(ps), ps[49].More)
	}
}

// Only a list in which nobody wrote is written over.
func TestIsWalk(t *testing.T) {
	y := busy(t)
	list := y.list()
	for data, want := range map[string]bool{
		list: true, strings.TrimPrefix(list, "\ufeff"): true, "": false, "a,b\n": false,
		tick(list, "x", "put on", "P0"): false, strings.ReplaceAll(list, ",", ";"): false, list + "\"": false,
	} {
		if got := IsWalk([]byte(data)); got != want {
			t.Errorf("%v: %q", got, data)
		}
	}
}
