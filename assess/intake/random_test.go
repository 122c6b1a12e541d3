package intake

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"math"
	"os"
	"slices"
	"strings"
	"testing"
	"testing/fstest"
	"time"
	"unicode/utf16"

	"golang.org/x/text/encoding/charmap"

	"vouchmark/assess"
	"vouchmark/assess/intake/sheet"
	"vouchmark/assess/site"
)

// A canonical site, written out in a random layout, comes back the same, or what
// does not is asked about or cannot be read. What it states is known from how it was
// written; conversions are made here, apart from the program's.

// write makes a file of a layout, and tells in which row of it each entry is.
func (l *layout) write() (book *sheet.Book, text string, rowOf map[int]int, err error) {
	rowOf = map[int]int{}
	if l.workbook {
		s := sheet.Sheet{Name: "Results", Merges: l.merges}
		for i, ln := range l.lines {
			cells := slices.Clone(ln.cells)
			for len(cells) > 0 && cells[len(cells)-1].Kind == sheet.Empty {
				cells = cells[:len(cells)-1]
			}
			if ln.entry >= 0 {
				rowOf[i+1] = ln.entry
			}
			if len(cells) > 0 {
				s.Rows = append(s.Rows, sheet.Row{Number: i + 1, Cells: cells})
			}
		}
		for k, c := range l.columns {
			if c.hidden {
				s.HiddenColumns = append(s.HiddenColumns, k)
			}
		}
		return &sheet.Book{Sheets: []sheet.Sheet{s}}, dump(s), rowOf, nil
	}
	var b strings.Builder
	pad, crlf, at := chance(l.Rand, 2), chance(l.Rand, 3), 1
	for _, ln := range l.lines {
		texts := make([]string, len(ln.cells))
		for i, c := range ln.cells {
			texts[i] = c.Shown
		}
		for pad && len(texts) < len(l.columns) {
			texts = append(texts, "")
		}
		if ln.entry >= 0 {
			rowOf[at] = ln.entry
		}
		one := record(texts, l.comma, ln.raw)
		at += 1 + strings.Count(one, "\n")
		if crlf {
			one += "\r"
		}
		b.WriteString(one + "\n")
	}
	text = b.String()
	data := l.encode(text)
	if book, err = sheet.Read("study.csv", data, sheet.Options{}); err != nil { // then a person names it
		book, err = sheet.Read("study.csv", data, sheet.Options{Delimiter: l.comma})
	}
	return book, text, rowOf, err
}

// record is a line of a text file.
func record(texts []string, comma rune, raw bool) string {
	if raw || strings.Join(texts, "") == "" {
		return strings.Join(texts, string(comma))
	}
	var b bytes.Buffer
	w := csv.NewWriter(&b)
	w.Comma = comma
	if err := w.Write(texts); err != nil {
		panic(err)
	}
	w.Flush()
	return strings.TrimSuffix(b.String(), "\n")
}

// encode writes a text in one of the encodings of spreadsheets.
func (l *layout) encode(text string) []byte {
	switch l.IntN(5) {
	case 0:
		return []byte("\ufeff" + text)
	case 1:
		if b, err := charmap.Windows1252.NewEncoder().Bytes([]byte(text)); err == nil {
			return b
		}
	case 2, 3:
		big := chance(l.Rand, 2)
		var b []byte
		for _, u := range utf16.Encode([]rune("\ufeff" + text)) {
			if big {
				b = append(b, byte(u>>8), byte(u))
			} else {
				b = append(b, byte(u), byte(u>>8))
			}
		}
		return b
	}
	return []byte(text)
}

// dump shows a sheet to a person.
func dump(s sheet.Sheet) string {
	var b strings.Builder
	for _, r := range s.Rows {
		fmt.Fprintf(&b, "%d:", r.Number)
		for _, c := range r.Cells {
			fmt.Fprintf(&b, " %s", strings.ReplaceAll(c.Shown, "\n", "⏎"))
			if c.Raw != "" && c.Raw != c.Shown {
				fmt.Fprintf(&b, "{%s}", c.Raw)
			}
			b.WriteString(" |")
		}
		b.WriteByte('\n')
	}
	return b.String() + fmt.Sprintf("merged %v, hidden %v\n", s.Merges, s.HiddenColumns)
}

// outcome is what became of a layout.
type outcome struct {
	taken   bool
	refused string   // why nothing would be written
	wrong   []string // what must not be
}

// try reads a layout and compares the result with the canonical site.
func (l *layout) try() (o outcome, text string, s *Study) {
	book, text, rowOf, err := l.write()
	if err != nil {
		o.refused = "sheet: " + err.Error()
		return o, text, nil
	}
	s, err = Read(book, "study.csv", &Answers{Give: l.give}, Context{Hertz: l.hertz})
	if leave := unreadResults(s); err == nil && leave != nil { // a person says that they are other results
		s, err = Read(book, "study.csv", &Answers{Give: l.give, Leave: leave}, Context{Hertz: l.hertz})
	}
	if err != nil {
		if none := (*NoTableError)(nil); !errors.As(err, &none) {
			o.wrong = append(o.wrong, err.Error())
		}
		o.refused = "no table: " + err.Error()
		return o, text, nil
	}
	l.judge(s, rowOf, &o)
	return o, text, s
}

// judge is the oracle.
func (l *layout) judge(s *Study, rowOf map[int]int, o *outcome) {
	wrong := func(format string, args ...any) { o.wrong = append(o.wrong, fmt.Sprintf(format, args...)) }
	asked := map[int]bool{}
	for _, q := range s.Questions {
		asked[q.Row] = true
	}
	// Each heading stands for what it is, or for nothing.
	for i, c := range s.Columns {
		for _, m := range c.Means {
			if i >= len(l.columns) || !l.may(m.Name, &l.columns[i]) {
				wrong("heading %q was taken for %s", c.Heading, m.Spelling())
			}
		}
	}
	// No location is lost, and nothing else becomes one.
	seen := map[int]bool{}
	for _, r := range s.Rows {
		seen[r.Number] = true
		if _, ok := rowOf[r.Number]; !ok && !asked[r.Number] {
			wrong("row %d is not a location, and became %q", r.Number, r.Cells["id"])
		}
	}
	for row, entry := range rowOf {
		if !seen[row] && !asked[row] && s.meaning("id") != nil && !l.entries[entry].broken {
			wrong("row %d, %q, is lost", row, l.entries[entry].words["id"])
		}
	}
	folder, err := s.Locations(nil, "study.csv", false)
	if err != nil {
		wrong("%v", err)
		return
	}
	read, err := site.Read(fstest.MapFS{"locations.csv": {Data: folder.CSV},
		"site.toml": {Data: []byte(fmt.Sprintf("frequency_hz = %v\n", l.hertz) + policy)}}, site.Options{})
	stopped := 0
	for i := range read.Locations {
		x := &read.Locations[i]
		stopped += len(x.Unreadable)
		for k := range x.Cases {
			row := x.Row(k)
			if entry, ok := rowOf[folder.Lines[row.Line]]; ok {
				l.judgeRow(s, row, entry, wrong)
			}
		}
	}
	var bad site.Problems
	switch {
	case len(s.Questions) > 0:
		o.refused = "asked: " + s.Questions[0].What
	case errors.As(err, &bad):
		o.refused = "site: " + bad[0].String()
	default:
		o.taken = true
	}
	if l.plain && (!o.taken || stopped > 0) {
		wrong("a plain layout was not taken: %s, %d cells cannot be read", o.refused, stopped)
	}
	if o.taken && l.plain {
		for i, c := range l.columns {
			if slices.Contains(must, c.name) && len(s.Columns[i].Means) == 0 {
				wrong("%q is not read: %s", c.heading, s.Columns[i].Why)
			}
		}
	}
}

// may reports whether a column may be taken for a name.
func (l *layout) may(name string, c *layoutColumn) bool {
	switch {
	case c.name == name:
		return true
	case name == "equipment", name == "area":
		// Words of the equipment, where nothing else says what it is: its class, or its name.
		return c.name == "class" || c.name == "id" || c.name == "equipment" || c.name == "area"
	case name == "id":
		return c.name == "equipment" || c.name == "area" // its name, where no id is known
	case name == ppe, name == glove, name == signal:
		return c.name == "" && c.says != nil
	}
	return false
}

// judgeRow holds a row as it would print against its entry.
func (l *layout) judgeRow(s *Study, row assess.Row, entry int, wrong func(string, ...any)) {
	e := l.entries[entry]
	at := fmt.Sprintf("%q %s", row.ID, row.Name)
	unread := func(name string) bool {
		heads := assess.ColumnNamed(name).Spellings()
		return slices.ContainsFunc(row.Location.Unreadable, func(f assess.Finding) bool { return slices.Contains(heads, f.Field) })
	}
	for i := range assess.Columns {
		col := &assess.Columns[i]
		if col.Kind != assess.Quantity {
			continue
		}
		got, stated, only := col.Value(row).(float64), []says{}, true
		for k, c := range l.columns {
			if c.name == col.Name {
				stated = append(stated, c.says[entry])
				for other, x := range l.entries {
					if !col.PerCase && other != entry && x.words["id"] == e.words["id"] { // the first of all cases counts
						stated = append(stated, c.says[other])
						only = false
					}
				}
				if m := s.Columns[k].Means; len(m) > 0 && m[0].Name == col.Name && c.says[entry].num != 0 && got == 0 && only && !unread(col.Name) {
					wrong("%s: %s %q is lost", at, col.Name, c.cells[entry].Shown)
				}
			}
		}
		if got != 0 && !slices.ContainsFunc(stated, func(x says) bool { return same(x.num, got) }) {
			wrong("%s: %s is read as %v, and stated as %v", at, col.Name, got, stated)
		}
		if col.Name == "energy" && got != 0 && len(stated) == 1 {
			want := map[string]assess.Bound{">": assess.Above, ">=": assess.Above, "≥": assess.Above, "<": assess.Under}[stated[0].bound]
			if want == assess.Under && got > 1.2 {
				want = ""
			}
			if row.Bound != want {
				wrong("%s: the bound %q is read as %q", at, stated[0].bound, row.Bound)
			}
		}
	}
	if e.broken {
		return
	}
	var covered []string // covered by a merged cell with another text
	for _, x := range l.entries {
		if x.words["id"] == e.words["id"] {
			covered = append(covered, x.covered...)
		}
	}
	word := func(name, got string) {
		if got != "" && got != e.words[name] && !slices.Contains(covered, name) {
			wrong("%s: %s is read as %q, and is %q", at, name, got, e.words[name])
		}
	}
	if c := slices.IndexFunc(s.Columns, func(c Column) bool { return len(c.Means) > 0 && c.Means[0].Name == "id" }); c >= 0 && l.columns[c].name == "id" {
		word("id", row.ID)
	}
	word("supply", string(row.Supply))
	word("electrodes", row.Electrodes)
	word("case", row.Name)
	if c := slices.IndexFunc(s.Columns, func(c Column) bool { return len(c.Means) > 0 && c.Means[0].Name == "area" }); c >= 0 && l.columns[c].name == "area" {
		word("area", row.Area)
	}
	word("device", row.Device)
	for _, name := range []string{"prepared", "surveyed"} {
		d := assess.ColumnNamed(name).Value(row).(assess.Date)
		if s.meaning(name) != nil {
			word(name, d.String())
		}
	}
	if slices.Contains(covered, "device") {
		return
	}
	for _, up := range row.Case.FedFrom {
		word("fed_from", up)
	}
	if at := row.DeviceAt; at != "" && !strings.Contains(" "+e.words["device"]+" ", " "+at+" ") && !strings.HasPrefix(e.words["device"], at) {
		wrong("%s: device_at is read as %q of %q", at, at, e.words["device"])
	}
}

func same(a, b float64) bool { return math.Abs(a-b) <= 1e-8*math.Abs(a) }

// unreadResults are the headings that are asked about as a second energy or
// boundary, where nothing else is asked.
func unreadResults(s *Study) (all []string) {
	if s == nil {
		return nil
	}
	for _, q := range s.Questions {
		if !strings.Contains(q.What, "is not read, but sounds like another") {
			return nil
		}
		all = append(all, q.Heading)
	}
	return all
}

// layouts is how many random layouts are tried.
func layouts() int {
	if os.Getenv("VOUCHMARK_EXHAUSTIVE") != "" {
		return 10_000
	}
	return 300
}

func TestRandomLayouts(t *testing.T) {
	var plain, taken, odd, wrong int
	why := map[string]int{}
	start := time.Now()
	for seed := range uint64(layouts()) {
		l := newLayout(seed)
		o, text, s := l.try()
		if l.plain {
			plain++
		}
		if o.taken {
			taken++
			if !l.plain {
				odd++
			}
		} else {
			reason, _, _ := strings.Cut(o.refused, ":")
			why[reason]++
		}
		if len(o.wrong) == 0 {
			continue
		}
		if wrong++; wrong > 5 {
			t.Errorf("seed %d: %s", seed, o.wrong[0])
		} else {
			shown := ""
			if s != nil {
				shown = show(s)
			}
			t.Errorf("seed %d, delimiter %q, plain %v:\n%s\n%s\n%s", seed, l.comma, l.plain, strings.Join(o.wrong, "\n"), text, shown)
		}
	}
	n := layouts()
	t.Logf("%d layouts in %v: %d plain; %d taken, of which %d not plain; %d wrong; not taken: %v",
		n, time.Since(start).Round(time.Millisecond), plain, taken, odd, wrong, why)
	if plain*4 < n || taken*5 < n*2 || odd*8 < n {
		t.Errorf("of %d layouts %d are plain; %d were taken, of which %d not plain", n, plain, taken, odd)
	}
}
