package site

import (
	"bytes"
	"encoding/csv"
	"reflect"
	"strings"
	"testing"
)

// Marks of inches need no quotation marks around their cell.
func TestInchMarks(t *testing.T) {
	const head = "id,equipment,supply,voltage_v,distance_in,boundary_in,prepared,note\n"
	for _, c := range []struct{ row, note string }{
		{`P-1,Panel,ac3,480,18",12'-7",2026-03-14,none`, "none"},
		{`P-1,Panel,ac3,480,18,12'-7",2026-03-14,"a box, 12"" deep"`, `a box, 12" deep`},
		{`P-1,Panel,ac3,480,18,"12'-7""",2026-03-14,12" by 14" by 8½"`, `12" by 14" by 8½"`},
		{`P-1,Panel,ac3,480,18,151,2026-03-14,panel "B", `, `panel "B"`},
	} {
		rows := head + strings.TrimSuffix(c.row, ", ") + "\nP-2,Panel,ac3,480,18,30,2026-03-14,\n"
		for _, ends := range []string{"\n", "\r\n"} {
			s, ps := read(goodPolicy, strings.ReplaceAll(rows, "\n", ends))
			if ps != nil || len(s.Locations) != 2 {
				t.Errorf("%s: %v", c.row, ps)
				continue
			}
			l := s.Locations[0]
			if l.Distance != 457.2 || l.Cases[0].Boundary != 3835.4 || l.Cases[0].Note != c.note || l.Unreadable != nil {
				t.Errorf("%s: %+v", c.row, l)
			}
		}
	}
}

// What may have lost a delimiter, and what opens a cell and does not close, is
// one clear error at its place.
func TestStrayMarks(t *testing.T) {
	const head = "id,equipment,supply,voltage_v,distance_in,prepared,note\n"
	for row, want := range map[string]string{
		`P-1,Panel "A, West",ac3,480,18,2026-03-14,`: "locations.csv:2: character 11: found a stray quotation mark",
		`P-1,Panel, "ac3",480,18,2026-03-14,`:        "locations.csv:2: character 12: found a stray quotation mark",
		`P-1,Pa"nel,ac3,480,18",2026-03-14,`:         "locations.csv:2: character 7: found a stray quotation mark",
		`P-1,Panel,ac3,480,18",2026-03-14,12" by "8`: "locations.csv:2: character 36: found a stray quotation mark",
		`P-1,"Panel" A,ac3,480,18",2026-03-14,`:      "locations.csv:2: character 11: found a stray quotation mark",
		"P-1,\"Panel,ac3,480,18,2026-03-14,\nP-2,Q":  "locations.csv:2: character 7: found a quotation mark that opens here and is not closed",
	} {
		_, ps := read(goodPolicy, head+row+"\n")
		if len(ps) != 1 || !strings.HasPrefix(ps[0].String(), want) {
			t.Errorf("%s:\n%v\nwant %s", row, ps, want)
		}
	}
}

// hideMarks hides the marks of a whole text.
func hideMarks(data []byte, comma rune) []byte {
	data = bytes.Clone(data)
	m := newMarks(comma)
	for line := range bytes.Lines(data) {
		m.hide(line)
	}
	return data
}

// Where the CSV reader finds nothing to complain about, hiding marks changes
// nothing; and where it does, what is found is in the same place or gone.
func FuzzHideMarks(f *testing.F) {
	for _, s := range []string{"a,b\n\"x,\"\"y\",z\r\n", "a,12\"\n", "\"a\nb\",c", "a,\"b", " \"a\",b", "\"a\"b,c", "\"a\"\r", "é\",\"\"\"\"\n\n\"\n"} {
		f.Add(s)
	}
	rows := func(data []byte) ([][]string, error) {
		in := csv.NewReader(bytes.NewReader(data))
		in.FieldsPerRecord = -1
		return in.ReadAll()
	}
	f.Fuzz(func(t *testing.T, text string) {
		text = strings.ReplaceAll(text, "\x00", "")
		want, broken := rows([]byte(text))
		hidden := hideMarks([]byte(text), ',')
		got, err := rows(hidden)
		for _, cells := range got {
			for i := range cells {
				cells[i] = showMarks(cells[i])
			}
		}
		if len(hidden) != len(text) || broken == nil && (err != nil || !reflect.DeepEqual(got, want)) {
			t.Errorf("%q: %q %v, want %q", text, got, err, want)
		}
	})
}
