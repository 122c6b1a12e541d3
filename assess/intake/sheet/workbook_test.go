package sheet

import (
	"archive/zip"
	"bytes"
	"encoding/csv"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"reflect"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/xuri/excelize/v2"
)

// fixture reads a file that LibreOffice made, see testdata/make.
func fixture(t testing.TB, name string) []byte {
	t.Helper()
	data, err := os.ReadFile("testdata/" + name)
	if err != nil {
		t.Fatal(err)
	}
	return data
}

// mustRead reads a file that can be read.
func mustRead(t *testing.T, data []byte, o Options) *Book {
	t.Helper()
	b, err := Read("study", data, o)
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// refusal reads a file that cannot be read, and is what its one problem says.
func refusal(t *testing.T, data []byte, o Options) string {
	t.Helper()
	b, err := Read("study", data, o)
	if err == nil {
		t.Fatalf("read %v, which must be refused", b.Sheets)
	}
	return err.Error()
}

// column is the cells of a sheet's second column, by the texts of the first.
func column(s Sheet) map[string]Cell {
	cells := map[string]Cell{}
	for _, row := range s.Rows {
		c := Cell{}
		if len(row.Cells) > 1 {
			c = row.Cells[1]
		}
		cells[row.Cells[0].Shown] = c
	}
	return cells
}

func TestFormats(t *testing.T) {
	b := mustRead(t, fixture(t, "traps.xlsx"), Options{Sheet: "Formats"})
	got := column(b.Sheets[0])
	want := map[string]Cell{
		"what":                         {"cell", "", Text},
		"id with leading zeros":        {"007", "7", Number},
		"id with a word in the format": {"ID-012", "12", Number},
		"format without decimals":      {"40", "40.05", Number},
		"unit in the format":           {"0.48 kV", "0.48", Number},
		"another":                      {"12.5 cal/cm²", "12.5", Number},
		"thousands left out":           {"13.8 kV", "13800", Number},
		"condition below":              {"480 V", "480", Number},
		"condition above":              {"4.2 kV", "4160", Number},
		"percent":                      {"8.5%", "0.085", Number},
		"grouped":                      {"41,600.50", "41600.5", Number},
		"scientific":                   {"4.16E+04", "41600", Number},
		"fraction":                     {"3 1/2", "3.5", Number},
		"negative in brackets":         {"(3.5)", "-3.5", Number},
		"shown by nothing":             {"", "25", Number},
		"number as text format":        {"480", "480", Number},
		"plain":                        {"40.05", "40.05", Number},
		"tiny":                         {"0.00000015", "0.00000015", Number},
		"zero":                         {"0", "0", Number},
		"long":                         {"0.3", "0.3", Number}, // LibreOffice stores 15 digits
		"month first":                  {"3/4/2026", "2026-03-04", Day},
		"ISO":                          {"2026-03-14", "2026-03-14", Day},
		"day first":                    {"04/03/2026", "2026-03-04", Day},
		"month and year":               {"Mar-26", "2026-03-14", Day},
		"date and time":                {"2026-03-14 13:30", "", Text},
		"date and midnight":            {"2026-03-14 00:00", "2026-03-14", Day},
		"time":                         {"13:30", "", Text},
		"duration":                     {"30:15", "", Text},
		"true":                         {"TRUE", "", Truth},
		"missing":                      {"#N/A", "", Fault},
		"division by zero":             {"#DIV/0!", "", Fault},
		"formula":                      {"720", "720", Number},
		"formula of text":              {"PNL-7", "", Text},
		"formula of nothing":           {},
		"number as text":               {"0480", "", Text},
		"feet and inches":              {`3'-4"`, "", Text},
		"two lines":                    {"Incident\nEnergy", "", Text},
		"two styles":                   {"cal/cm2 at 18 in", "", Text},
		"no-break blanks":              {"13 800", "", Text},
		"blanks around":                {"PNL-1", "", Text},
		"blanks alone":                 {},
		"looks escaped":                {"_x0041_ & <b> ½ ° –", "", Text},
	}
	for name, w := range want {
		if got[name] != w {
			t.Errorf("%s: got %q, want %q", name, got[name], w)
		}
	}
	if len(got) != len(want) {
		t.Errorf("%d cells, want %d", len(got), len(want))
	}
	if note := `Sheet "Formats": numbers that their number format does not show: 1, the first in B15.`; !reflect.DeepEqual(b.Notes, []string{note}) {
		t.Errorf("notes %q", b.Notes)
	}
}

// TestShownAsByLibreOffice compares each cell with what LibreOffice shows of it
// (testdata/traps.shown.csv).
func TestShownAsByLibreOffice(t *testing.T) {
	shown, err := csv.NewReader(bytes.NewReader(fixture(t, "traps.shown.csv"))).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	differs := map[string]string{ // by the program's language, German here
		"true":      "WAHR",
		"day first": "04.03.2026",
	}
	got := column(mustRead(t, fixture(t, "traps.xlsx"), Options{}).Sheets[0])
	for _, row := range shown {
		want := blanks(row[1])
		if differs[row[0]] == want && want != "" {
			continue
		}
		if c := got[row[0]]; c.Shown != want {
			t.Errorf("%s: shown as %q, LibreOffice shows %q", row[0], c.Shown, want)
		}
	}
	if len(shown) != len(got) {
		t.Errorf("%d rows, LibreOffice has %d", len(got), len(shown))
	}
}

// TestTextsAsByExcelize compares texts and places with a second reader.
func TestTextsAsByExcelize(t *testing.T) {
	data := fixture(t, "traps.xlsx")
	f, err := excelize.OpenReader(bytes.NewReader(data))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	for _, s := range mustRead(t, data, Options{}).Sheets {
		rows, err := f.GetRows(s.Name, excelize.Options{RawCellValue: true})
		if err != nil {
			t.Fatal(err)
		}
		filled := 0
		for _, row := range s.Rows {
			for i, c := range row.Cells {
				if c.Kind == Empty {
					continue
				}
				filled++
				want := blanks(rows[row.Number-1][i])
				if c.Kind == Text && !strings.Contains(c.Shown, ":") && c.Shown != want || c.Kind == Number && c.Raw != "0.00000015" && c.Raw != want {
					t.Errorf("%s row %d column %d: %q, excelize has %q", s.Name, row.Number, i, c, want)
				}
			}
		}
		if filled == 0 {
			t.Errorf("%s: no cells compared", s.Name)
		}
	}
}

func TestLayout(t *testing.T) {
	b := mustRead(t, fixture(t, "traps.xlsx"), Options{})
	if len(b.Sheets) != 2 {
		t.Fatalf("%d sheets, want the two that are not hidden", len(b.Sheets))
	}
	text := func(s string) Cell { return Cell{Shown: s, Kind: Text} }
	number := func(s string) Cell { return Cell{s, s, Number} }
	want := Sheet{
		Name: "Layout",
		Rows: []Row{
			{1, false, []Cell{text("Area"), {}, text("id"), text("secret"), text("kA")}, 0},
			{2, false, []Cell{text("North"), {}, text("A-1"), text("s"), number("10")}, 0},
			{3, true, []Cell{{}, {}, text("A-2"), text("s"), number("20")}, 0}, // "Old" is under the merged cell
			{4, false, []Cell{{}, {}, text("A-3"), {}, number("30")}, 0},
		}, // the styled cell in row 60000 is empty
		Merges:        []Merge{{1, 0, 1, 1}, {2, 0, 4, 0}},
		HiddenColumns: []int{3},
	}
	if !reflect.DeepEqual(b.Sheets[1], want) {
		t.Errorf("got  %v\nwant %v", b.Sheets[1], want)
	}
	notes := []string{
		`The sheet "Working" is hidden and was not read.`,
		`Sheet "Formats": numbers that their number format does not show: 1, the first in B15.`,
		`Sheet "Layout": hidden rows, read like the others: 3.`,
		`Sheet "Layout": hidden columns: D.`,
		`Sheet "Layout": values that merged cells cover, which nobody sees, left out: 1, the first in A3.`,
	}
	if !reflect.DeepEqual(b.Notes, notes) {
		t.Errorf("notes\n%s\nwant\n%s", strings.Join(b.Notes, "\n"), strings.Join(notes, "\n"))
	}
	if b.Encoding != "" || b.Delimiter != 0 {
		t.Errorf("a workbook with encoding %q and delimiter %q", b.Encoding, b.Delimiter)
	}
}

func TestChoiceOfSheet(t *testing.T) {
	data := fixture(t, "traps.xlsx")
	b := mustRead(t, data, Options{Sheet: "working"}) // hidden, and asked for
	if len(b.Sheets) != 1 || b.Sheets[0].Name != "Working" || !b.Sheets[0].Hidden || len(b.Notes) != 0 {
		t.Errorf("got %v, notes %q", b.Sheets, b.Notes)
	}
	got := refusal(t, data, Options{Sheet: "Results"})
	if want := `study: found the sheets "Formats", "Layout", "Working", expected the sheet "Results"; give the name of one of them`; got != want {
		t.Errorf("got %s", got)
	}
	got = refusal(t, data, Options{Delimiter: ';'})
	if !strings.Contains(got, "a workbook, which has no delimiter") {
		t.Errorf("got %s", got)
	}
}

// bare is a workbook of one sheet, "S", with sheet data and what follows it, and
// whatever parts are given instead of its own.
func bare(t testing.TB, rows, rest string, parts ...string) []byte {
	t.Helper()
	const office = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
	const main = `xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"`
	files := map[string]string{
		"[Content_Types].xml":        `<Types/>`,
		"_rels/.rels":                `<Relationships><Relationship Id="a" Type="` + office + `/officeDocument" Target="xl/workbook.xml"/></Relationships>`,
		"xl/workbook.xml":            `<workbook ` + main + ` xmlns:r="` + office + `"><sheets><sheet name="S" sheetId="1" r:id="b"/></sheets></workbook>`,
		"xl/_rels/workbook.xml.rels": `<Relationships><Relationship Id="b" Type="` + office + `/worksheet" Target="worksheets/s.xml"/></Relationships>`,
		"xl/worksheets/s.xml":        `<worksheet ` + main + `><sheetData>` + rows + `</sheetData>` + rest + `</worksheet>`,
	}
	names := []string{"[Content_Types].xml", "_rels/.rels", "xl/workbook.xml", "xl/_rels/workbook.xml.rels", "xl/worksheets/s.xml"}
	for i := 0; i < len(parts); i += 2 {
		if _, ok := files[parts[i]]; !ok {
			names = append(names, parts[i])
		}
		files[parts[i]] = parts[i+1]
	}
	var out bytes.Buffer
	z := zip.NewWriter(&out)
	for _, name := range names {
		w, err := z.Create(name)
		if err != nil {
			t.Fatal(err)
		}
		fmt.Fprint(w, files[name])
	}
	if err := z.Close(); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

const row1 = `<row r="1"><c r="A1" t="inlineStr"><is><t>id</t></is></c></row>`

func TestStoredValues(t *testing.T) {
	styles := `<styleSheet><numFmts><numFmt numFmtId="200" formatCode="[&gt;=1000]0.0,&quot; kV&quot;;0&quot; V&quot;"/>` +
		`<numFmt numFmtId="201" formatCode="General&quot; V&quot;"/>` +
		`<numFmt numFmtId="202" formatCode="General;&quot;minus &quot;General\ \V;&quot;none&quot;"/>` +
		`<numFmt numFmtId="203" formatCode="General;\(0.00\)"/></numFmts>` +
		`<cellXfs><xf numFmtId="14"/><xf/><xf numFmtId="200"/><xf numFmtId="201"/><xf numFmtId="46"/><xf numFmtId="202"/><xf numFmtId="203"/></cellXfs></styleSheet>`
	book := `<workbook xmlns:r="x"><workbookPr date1904="%d"/><sheets><sheet name="S" sheetId="1" r:id="b"/></sheets><calcPr fullCalcOnLoad="%d"/></workbook>`
	rels := `<Relationships><Relationship Id="b" Type="t/worksheet" Target="/xl/worksheets/s.xml"/><Relationship Id="c" Type="t/styles" Target="styles.xml"/></Relationships>`
	read := func(cell string, from1904, recalculate int) Cell {
		t.Helper()
		b := mustRead(t, bare(t, `<row>`+cell+`<c t="str"><v>end</v></c></row>`, "", "xl/styles.xml", styles,
			"xl/workbook.xml", fmt.Sprintf(book, from1904, recalculate), "xl/_rels/workbook.xml.rels", rels), Options{})
		return b.Sheets[0].Rows[0].Cells[0]
	}
	for _, c := range []struct {
		reason, cell string
		from1904     int
		recalculate  int
		want         Cell
	}{
		{"all digits of the stored number", `<c s="1"><v>0.30000000000000004</v></c>`, 0, 0, Cell{"0.3", "0.30000000000000004", Number}},
		{"the shortest that is the same number", `<c s="1"><v>40.049999999999997</v></c>`, 0, 0, Cell{"40.05", "40.05", Number}},
		{"no exponent", `<c s="1"><v>1.38E4</v></c>`, 0, 0, Cell{"13800", "13800", Number}},
		{"style 0 is a date here", `<c><v>46095</v></c>`, 0, 0, Cell{"2026-03-14", "2026-03-14", Day}},
		{"days from 1904", `<c><v>44633</v></c>`, 1, 0, Cell{"2026-03-14", "2026-03-14", Day}},
		{"first sure day", `<c><v>61</v></c>`, 0, 0, Cell{"1900-03-01", "1900-03-01", Day}},
		{"a distance that was made a date", `<c><v>18</v></c>`, 0, 0, Cell{"1900-01-18", "", Text}},
		{"not a day", `<c><v>46095.25</v></c>`, 0, 0, Cell{"2026-03-14", "", Text}},
		{"condition met", `<c s="2"><v>13800</v></c>`, 0, 0, Cell{"13.8 kV", "13800", Number}},
		{"condition not met", `<c s="2"><v>480</v></c>`, 0, 0, Cell{"480 V", "480", Number}},
		{"general with a word", `<c s="3"><v>480</v></c>`, 0, 0, Cell{"480 V", "480", Number}},
		{"the same below zero", `<c s="3"><v>-0.5</v></c>`, 0, 0, Cell{"-0.5 V", "-0.5", Number}},
		{"general by sign", `<c s="5"><v>-0.5</v></c>`, 0, 0, Cell{"minus 0.5 V", "-0.5", Number}},
		{"general by sign, zero", `<c s="5"><v>0</v></c>`, 0, 0, Cell{"none", "0", Number}},
		{"general by sign, above", `<c s="5"><v>3</v></c>`, 0, 0, Cell{"3", "3", Number}},
		{"a number in brackets by sign", `<c s="6"><v>-3.5</v></c>`, 0, 0, Cell{"(3.50)", "-3.5", Number}},
		{"a duration", `<c s="4"><v>1.5</v></c>`, 0, 0, Cell{"36:00:00", "", Text}},
		{"ISO date", `<c t="d"><v>2026-03-14T00:00:00</v></c>`, 0, 0, Cell{"2026-03-14", "2026-03-14", Day}},
		{"ISO date and time", `<c t="d"><v>2026-03-14T13:30:00</v></c>`, 0, 0, Cell{"2026-03-14T13:30:00", "", Text}},
		{"no result", `<c s="1"><f>A2*2</f></c>`, 0, 0, Cell{"", "", Unsaved}},
		{"no result, with an empty element", `<c s="1"><f>A2*2</f><v></v></c>`, 0, 0, Cell{"", "", Unsaved}},
		{"no result of a shared formula", `<c s="1"><f t="shared" si="0"/></c>`, 0, 0, Cell{"", "", Unsaved}},
		{"an empty text as the result", `<c t="str"><f>""</f><v></v></c>`, 0, 0, Cell{}},
		{"a result", `<c s="1"><f>A2*2</f><v>6.2</v></c>`, 0, 0, Cell{"6.2", "6.2", Number}},
		{"a result of a program that does not calculate", `<c s="1"><f>A2*2</f><v>0</v></c>`, 0, 1, Cell{"", "", Unsaved}},
		{"no formula, though", `<c s="1"><v>6.2</v></c>`, 0, 1, Cell{"6.2", "6.2", Number}},
		{"runs, not their reading", `<c t="inlineStr"><is><r><t>a </t></r><r><rPr><b/></rPr><t>b</t></r><rPh sb="0" eb="1"><t>x</t></rPh></is></c>`, 0, 0,
			Cell{"a b", "", Text}},
		{"escaped characters", `<c t="inlineStr"><is><t>a_x000D_` + "\n" + `b _x005F_x0041_</t></is></c>`, 0, 0, Cell{"a\nb _x0041_", "", Text}},
		{"false", `<c t="b"><v>0</v></c>`, 0, 0, Cell{"FALSE", "", Truth}},
		{"an error", `<c t="e"><f>X</f><v>#REF!</v></c>`, 0, 0, Cell{"#REF!", "", Fault}},
	} {
		if got := read(c.cell, c.from1904, c.recalculate); got != c.want {
			t.Errorf("%s: got %q, want %q", c.reason, got, c.want)
		}
	}
}

// TestFormulasOfALibrary reads formulas as a library writes them that does not
// calculate.
func TestFormulasOfALibrary(t *testing.T) {
	f := excelize.NewFile()
	f.SetCellValue("Sheet1", "A1", "cal/cm2")
	f.SetCellFormula("Sheet1", "A2", "2*3")
	var data bytes.Buffer
	if err := f.Write(&data); err != nil {
		t.Fatal(err)
	}
	b := mustRead(t, data.Bytes(), Options{})
	if got := b.Sheets[0].Rows[1].Cells[0]; got != (Cell{Kind: Unsaved}) {
		t.Errorf("got %q", got)
	}
	want := `Sheet "Sheet1": formulas without a result that can be relied on ` +
		`(open the file in the spreadsheet program, save it, and read it again): 1, the first in A2.`
	if !reflect.DeepEqual(b.Notes, []string{want}) {
		t.Errorf("notes %q", b.Notes)
	}
}

// TestWrittenByExcelize: numbers come back as the same ones, and texts and days
// as they were.
func TestWrittenByExcelize(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	f := excelize.NewFile()
	defer f.Close()
	day, err := f.NewStyle(&excelize.Style{NumFmt: 14})
	if err != nil {
		t.Fatal(err)
	}
	texts := []string{"PNL-1", "007", "3'-4\"", "a & b <c>", "two\nlines", "½ – °", "1e5", "=A1", "TRUE"}
	var want []Row
	for n := 1; n <= 300; n++ {
		row := Row{Number: n}
		for column := range 5 {
			cell, err := excelize.CoordinatesToCellName(column+1, n)
			if err != nil {
				t.Fatal(err)
			}
			switch r.IntN(4) {
			case 0:
				// Excelize writes 15 digits.
				x := float64(r.IntN(2e15)-1e15) * math.Pow10(r.IntN(40)-30)
				x, err = strconv.ParseFloat(strconv.FormatFloat(x, 'g', 15, 64), 64)
				if err != nil {
					t.Fatal(err)
				}
				f.SetCellFloat("Sheet1", cell, x, -1, 64)
				row.Cells = append(row.Cells, Cell{plain(x), plain(x), Number})
			case 1:
				s := texts[r.IntN(len(texts))]
				f.SetCellStr("Sheet1", cell, s)
				row.Cells = append(row.Cells, Cell{Shown: s, Kind: Text})
			case 2:
				d := time.Date(2000, 1, 1+r.IntN(20000), 0, 0, 0, 0, time.UTC)
				f.SetCellValue("Sheet1", cell, d)
				f.SetCellStyle("Sheet1", cell, cell, day)
				row.Cells = append(row.Cells, Cell{d.Format(time.DateOnly), d.Format(time.DateOnly), Day})
			case 3:
				x := float64(r.IntN(1000000)) / 100
				f.SetCellFloat("Sheet1", cell, x, -1, 64)
				row.Cells = append(row.Cells, Cell{plain(x), plain(x), Number})
			}
		}
		want = append(want, row)
	}
	var data bytes.Buffer
	if err := f.Write(&data); err != nil {
		t.Fatal(err)
	}
	rows := mustRead(t, data.Bytes(), Options{}).Sheets[0].Rows
	for i, row := range rows {
		for j, got := range row.Cells {
			if w := want[i].Cells[j]; got != w || row.Number != want[i].Number {
				t.Errorf("row %d column %d: got %q, want %q", i, j, got, w)
			}
		}
	}
	if len(rows) != len(want) {
		t.Errorf("%d rows, want %d", len(rows), len(want))
	}
}

func TestRowsWithoutNumbers(t *testing.T) {
	b := mustRead(t, bare(t, `<row><c t="str"><v>a</v></c><c/><c t="str"><v>c</v></c></row><row/><row hidden="true"><c><v>1</v></c></row>`+
		`<row r="9" ht="0"><c r="C9"><v>2</v></c><c><v>3</v></c></row>`, ""), Options{})
	text := func(s string) Cell { return Cell{Shown: s, Kind: Text} }
	want := []Row{
		{1, false, []Cell{text("a"), {}, text("c")}, 0},
		{3, true, []Cell{{"1", "1", Number}}, 0},
		{9, true, []Cell{{}, {}, {"2", "2", Number}, {"3", "3", Number}}, 0},
	}
	if got := b.Sheets[0].Rows; !reflect.DeepEqual(got, want) {
		t.Errorf("got %v, want %v", got, want)
	}
}

func TestDamagedWorkbooks(t *testing.T) {
	whole := bare(t, row1, "")
	for _, c := range []struct {
		reason string
		data   []byte
		want   string
	}{
		{"cut off", whole[:len(whole)/2], "cut off"},
		{"sheet ends early", bare(t, row1, "", "xl/worksheets/s.xml", `<worksheet><sheetData>`+row1), "damaged workbook: xl/worksheets/s.xml"},
		{"part missing", bare(t, row1, "", "xl/_rels/workbook.xml.rels",
			`<Relationships><Relationship Id="b" Type="t/worksheet" Target="nowhere.xml"/></Relationships>`), "xl/nowhere.xml: the part is missing"},
		{"row twice", bare(t, row1+row1, ""), `study:1: sheet "S": found a damaged sheet: row "1" behind row 1`},
		{"cells out of order", bare(t, `<row r="1"><c r="B1"><v>1</v></c><c r="A1"><v>2</v></c></row>`, ""),
			`study:1: sheet "S": cell A1: found a damaged sheet: a cell "A1" behind cell B1`},
		{"cell of another row", bare(t, `<row r="1"><c r="B2"><v>1</v></c></row>`, ""), `a cell "B2"`},
		{"no number", bare(t, `<row r="1"><c r="B1"><v>0x1p4</v></c></row>`, ""), `cell B1: found the number "0x1p4"`},
		{"not finite", bare(t, `<row r="1"><c r="B1"><v>1e999</v></c></row>`, ""), `the number "1e999"`},
		{"no such string", bare(t, `<row r="1"><c r="B1" t="s"><v>5</v></c></row>`, ""), `the shared string "5" of 0`},
		{"no such type", bare(t, `<row r="1"><c r="B1" t="z"><v>5</v></c></row>`, ""), `the type "z"`},
		{"lost character", bare(t, `<row r="1"><c r="B1" t="str"><v>&#xFFFD;</v></c></row>`, ""), "the sign U+FFFD"},
		{"merge", bare(t, row1, `<mergeCells><mergeCell ref="B2:A1"/></mergeCells>`), `the merged cells "B2:A1"`},
		{"not UTF-8", bare(t, "\xff", ""), "invalid UTF-8"},
		{"empty", bare(t, "", ""), "no filled cell"},
		{"chart", bare(t, "", "", "xl/_rels/workbook.xml.rels",
			`<Relationships><Relationship Id="b" Type="t/chartsheet" Target="c.xml"/></Relationships>`), "no visible sheet of cells"},
	} {
		if got := refusal(t, c.data, Options{}); !strings.Contains(got, c.want) {
			t.Errorf("%s: got %s", c.reason, got)
		}
	}
}

func TestLimitsOfWorkbooks(t *testing.T) {
	small := limits{file: 1 << 20, unzipped: 1 << 16, markup: 1 << 12, rows: 50, columns: 20, chars: 30, cells: 200, strings: 10, styles: 10, merges: 3, problems: 5}
	cell := `<c t="str"><v>x</v></c>`
	strs := `<Relationships><Relationship Id="b" Type="t/worksheet" Target="worksheets/s.xml"/><Relationship Id="c" Type="t/sharedStrings" Target="t.xml"/></Relationships>`
	for _, c := range []struct {
		reason string
		data   []byte
		want   string
	}{
		{"as many rows", bare(t, `<row r="50">`+cell+`</row>`, ""), ""},
		{"as many columns", bare(t, `<row>`+strings.Repeat(cell, 20)+`</row>`, ""), ""},
		{"as many characters", bare(t, `<row><c t="str"><v>`+strings.Repeat("é", 30)+`</v></c></row>`, ""), ""},
		{"as many cells", bare(t, strings.Repeat(`<row>`+strings.Repeat(`<c/>`, 19)+cell+`</row>`, 10), ""), ""},
		{"as many merges", bare(t, row1, `<mergeCells>`+strings.Repeat(`<mergeCell ref="A1:B2"/>`, 3)+`</mergeCells>`), ""},
		{"rows", bare(t, `<row r="51">`+cell+`</row>`, ""), "more than 50 rows"},
		{"columns", bare(t, `<row>`+strings.Repeat(cell, 21)+`</row>`, ""), "more than 20 columns"},
		{"characters", bare(t, `<row><c t="str"><v>`+strings.Repeat("é", 31)+`</v></c></row>`, ""), "31 characters, expected at most 30"},
		{"cells", bare(t, strings.Repeat(`<row>`+strings.Repeat(`<c/>`, 19)+cell+`</row>`, 11), ""), "more than 200 cells"},
		{"unpacked", bare(t, strings.Repeat(`<x/>`, 1<<15), ""), "more than 65536 bytes when unpacked"},
		{"one text", bare(t, `<row><c t="str"><v>`+strings.Repeat("x", 1<<13)+`</v></c></row>`, ""), "another piece of more than 4096 bytes"},
		{"merges", bare(t, row1, `<mergeCells>`+strings.Repeat(`<mergeCell ref="A1:B2"/>`, 4)+`</mergeCells>`), "more than 3 blocks"},
		{"strings", bare(t, row1, "", "xl/_rels/workbook.xml.rels", strs, "xl/t.xml", `<sst>`+strings.Repeat(`<si/>`, 11)+`</sst>`), "more than 10 shared strings"},
		{"depth", bare(t, strings.Repeat(`<row>`, 100), ""), "too many nested elements"},
		{"file", make([]byte, 1<<20+1), "a file of 1048577 bytes, expected at most 1 MiB"},
	} {
		_, err := read("study", c.data, Options{}, small)
		if (err == nil) != (c.want == "") || err != nil && !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: got %v", c.reason, err)
		}
	}
}

// TestManyFormats reads more formatted numbers than are shown at once.
func TestManyFormats(t *testing.T) {
	const rows = 3 * showAtOnce / 12
	s := mustRead(t, large(t, rows), Options{}).Sheets[0]
	if len(s.Rows) != rows {
		t.Fatalf("%d rows", len(s.Rows))
	}
	for r, row := range s.Rows {
		day := time.Date(1899, 12, 30, 0, 0, 0, 0, time.UTC).AddDate(0, 0, 46000+r%400).Format(time.DateOnly)
		if c := row.Cells[8]; c != (Cell{day, day, Day}) {
			t.Fatalf("row %d: got %q, want %s", r, c, day)
		}
		for column := 11; column < 30; column += 2 {
			want := float64((r*7919+column*104729)%1000000) / 10000
			c := row.Cells[column]
			shown, err := strconv.ParseFloat(strings.TrimSuffix(c.Shown, " kA"), 64)
			if c.Raw != plain(want) || err != nil || math.Abs(shown-want) > 0.0051 || !strings.HasSuffix(c.Shown, " kA") {
				t.Fatalf("row %d column %d: got %q, want %g", r, column, c, want)
			}
		}
	}
}
