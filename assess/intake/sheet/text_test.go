package sheet

import (
	"encoding/csv"
	"reflect"
	"strings"
	"testing"

	"golang.org/x/text/encoding"
	"golang.org/x/text/encoding/charmap"
	"golang.org/x/text/encoding/unicode"
)

// encoded is a text in an encoding, as the encoders of golang.org/x/text write it.
func encoded(t *testing.T, e encoding.Encoding, s string) []byte {
	t.Helper()
	b, err := e.NewEncoder().Bytes([]byte(s))
	if err != nil {
		t.Fatal(err)
	}
	return b
}

var (
	utf16LE = unicode.UTF16(unicode.LittleEndian, unicode.IgnoreBOM)
	utf16BE = unicode.UTF16(unicode.BigEndian, unicode.IgnoreBOM)
)

// lines is a grid as text: cells separated by a bar, rows by their line and a colon.
func lines(b *Book) []string {
	var out []string
	for _, row := range b.Sheets[0].Rows {
		cells := make([]string, len(row.Cells))
		for i, c := range row.Cells {
			cells[i] = c.Shown
		}
		out = append(out, string(rune('0'+row.Number))+":"+strings.Join(cells, "|"))
	}
	return out
}

const (
	was1252  = "The file is not UTF-8 and was read as Windows-1252: look whether signs such as ½, ° and – are right."
	was16    = "The file has no byte-order mark and was read as UTF-16, by its zero bytes."
	samples  = "id,size,temp,range\nPNL-1,3½,40 °C,1–2\nPNL-2,4½,–,é\n"
	samplesB = "1:id|size|temp|range,2:PNL-1|3½|40 °C|1–2,3:PNL-2|4½|–|é"
)

func TestEncodings(t *testing.T) {
	for _, c := range []struct {
		reason   string
		data     []byte
		o        Options
		encoding string
		notes    []string
	}{
		{"UTF-8", []byte(samples), Options{}, UTF8, nil},
		{"UTF-8 with mark", []byte(markUTF8 + samples), Options{}, UTF8, nil},
		{"UTF-8 with mark, as said", []byte(markUTF8 + samples), Options{Encoding: UTF8}, UTF8, nil},
		{"UTF-16LE with mark", append([]byte(markLE), encoded(t, utf16LE, samples)...), Options{}, UTF16, nil},
		{"UTF-16BE with mark", append([]byte(markBE), encoded(t, utf16BE, samples)...), Options{}, UTF16, nil},
		{"UTF-16LE", encoded(t, utf16LE, samples), Options{}, UTF16, []string{was16}},
		{"UTF-16BE", encoded(t, utf16BE, samples), Options{}, UTF16, []string{was16}},
		{"UTF-16BE, as said", encoded(t, utf16BE, samples), Options{Encoding: UTF16}, UTF16, nil},
		{"Windows-1252", encoded(t, charmap.Windows1252, samples), Options{}, Windows1252, []string{was1252}},
		{"Windows-1252, as said", encoded(t, charmap.Windows1252, samples), Options{Encoding: Windows1252}, Windows1252, nil},
		{"one byte far behind", append([]byte(strings.Repeat("x,y,z,w\n", 100000)[:8]), encoded(t, charmap.Windows1252, samples)...), Options{}, Windows1252,
			[]string{was1252}},
	} {
		b := mustRead(t, c.data, c.o)
		got := strings.TrimPrefix(strings.Join(lines(b), ","), "1:x|y|z|w,2:id|size|temp|range,3:PNL-1|3½|40 °C|1–2,4:PNL-2|4½|–|é")
		if got != "" && got != samplesB {
			t.Errorf("%s: read %s", c.reason, got)
		}
		if b.Encoding != c.encoding || b.Delimiter != ',' || !reflect.DeepEqual(b.Notes, c.notes) {
			t.Errorf("%s: encoding %q, delimiter %q, notes %q", c.reason, b.Encoding, b.Delimiter, b.Notes)
		}
	}
}

func TestEncodingsRefused(t *testing.T) {
	half := append([]byte(markLE), encoded(t, utf16LE, samples)...)
	for _, c := range []struct {
		reason string
		data   []byte
		o      Options
		want   string
	}{
		{"byte without meaning", []byte("id,v\nA\xe9,1\nPNL\x81,2\n"), Options{},
			`study:3: character 4: found the byte 0x81, which has no meaning in Windows-1252, expected text in UTF-8, UTF-16 or Windows-1252; ` +
				`save it from the spreadsheet as .xlsx or as "CSV UTF-8"`},
		{"another", []byte("id,v\n\x8d"), Options{}, "the byte 0x8D"},
		{"another", []byte("id,v\n\x8f"), Options{}, "the byte 0x8F"},
		{"another", []byte("id,v\n\x90"), Options{}, "the byte 0x90"},
		{"another", []byte("id,v\n\x9d"), Options{}, "the byte 0x9D"},
		{"half a character", half[:len(half)-1], Options{}, "half a character at the end"},
		{"half a pair", append(half, 0x3d, 0xd8), Options{}, "U+FFFD"},
		{"lost before", []byte("id,v\nA\ufffdB,1\n"), Options{}, "study:2: character 2: found the sign U+FFFD: a character was lost"},
		{"not UTF-8 as said", []byte("id,v\nA\xe9,1\n"), Options{Encoding: UTF8}, "study:2: character 2: found a byte that is not UTF-8"},
		{"not UTF-16 as said", []byte("id,v\nA,1\n"), Options{Encoding: UTF16}, "without the zero bytes of UTF-16"},
		{"mark of another", half, Options{Encoding: Windows1252}, "the byte-order mark of UTF-16, expected text in Windows-1252"},
		{"no such encoding", []byte("id"), Options{Encoding: "latin"}, `the encoding "latin", expected UTF-8, UTF-16, Windows-1252`},
		{"zero bytes", []byte("id,v\n\x00\x00\x00A,1\n"), Options{}, "a file with zero bytes that is not text"},
		{"a control character", []byte("id,v\nA\x07,1\n"), Options{}, "study:2: character 2: found the control character U+0007"},
		{"UTF-32", append([]byte("\xff\xfe\x00\x00"), 'i', 0, 0, 0), Options{}, "UTF-32"},
	} {
		if got := refusal(t, c.data, c.o); !strings.Contains(got, c.want) {
			t.Errorf("%s: got %s", c.reason, got)
		}
	}
}

func TestDelimiters(t *testing.T) {
	for _, c := range []struct {
		reason, text string
		want         rune
	}{
		{"comma", "id,v\nA,480\nB,13800\n", ','},
		{"semicolon with decimal commas", "A;1,2;32,0;455,5\nB;1,3;31,0;455,5\n", ';'},
		{"titles with commas above", "Arc flash study, plant North, 2026\nPrepared by E. Sample, PE, for review\n\nid;kV;kA\nA;13,8;12,5\nB;0,48;31,2\nC;4,16;8\n", ';'},
		{"padded titles", "Study, plant North;;;\n;;;\nid;kV;kA;cal\nA;13,8;12,5;1,1\nB;0,48;31,2;8,4\n", ';'},
		{"commas in the heading", "id, location;voltage, V;fault, kA\nA;480;12\nB;480;13\n", ';'},
		{"lists in cells", "id,fed from,v\nA,B; C,480\nB,,480\nC,D; E; F,480\n", ','},
		{"tabs with commas in numbers", "id\tv\tn\nA\t13,800\tx\nB\t4,160\ty, z\n", '\t'},
		{"bars", "id|v|note\nA|480|a, b\nB|480|c\n", '|'},
		{"notes below", "id,v,e\nA,480,1.2\nB,480,2.2\n\nNotes; first; second\nMore; notes\n", ','},
		{"declared", "sep=|\nid|v\nA|480\n", '|'},
		{"ragged", "id,v,note\nA,480\nB,480,x\nC,480\n", ','},
		{"quoted", "id,what,v\nA,\"x; y; z\",1\nB,\"u; v; w\",2\n", ','},
	} {
		b, err := Read("study", []byte(c.text), Options{})
		if err != nil {
			t.Errorf("%s: %v", c.reason, err)
		} else if b.Delimiter != c.want {
			t.Errorf("%s: delimiter %q, want %q", c.reason, b.Delimiter, c.want)
		}
	}
	b := mustRead(t, []byte("one column\nA\nB\n"), Options{})
	if want := []string{"The file has one column: no delimiter was found."}; !reflect.DeepEqual(b.Notes, want) {
		t.Errorf("one column: notes %q", b.Notes)
	}
	if b := mustRead(t, []byte("A;1,2\nB;1,3\n"), Options{Delimiter: ','}); b.Delimiter != ',' || lines(b)[0] != "1:A;1|2" {
		t.Errorf("a delimiter that is given is not taken: %q", lines(b))
	}
	if got := refusal(t, []byte("A,1;2\nB,3;4\n"), Options{}); !strings.Contains(got, "by commas or by semicolons") {
		t.Errorf("two delimiters: %s", got)
	}
	if got := refusal(t, []byte("A,1\n"), Options{Delimiter: '"'}); !strings.Contains(got, `the delimiter '"'`) {
		t.Errorf("an impossible delimiter: %s", got)
	}
	if got := refusal(t, []byte("A,1\n"), Options{Sheet: "S"}); !strings.Contains(got, "which has no sheets") {
		t.Errorf("a sheet of a text file: %s", got)
	}
}

func TestRowsOfText(t *testing.T) {
	for _, c := range []struct{ reason, text, want string }{
		{"inches", "id,afb\nA,3'-4\"\nB,12'-7\" max\nC,18\"\n", `1:id|afb,2:A|3'-4",3:B|12'-7" max,4:C|18"`},
		{"inches in quotation marks", "id,afb\nA,\"3'-4\"\"\"\nB,\"5'-0\"\"\"\n", `1:id|afb,2:A|3'-4",3:B|5'-0"`},
		{"words in quotation marks", "id,what\nA,the \"old\" one\nB,x\n", `1:id|what,2:A|the "old" one,3:B|x`},
		{"two lines in a heading", "id,\"cal/\ncm2\",v\nA,1.2,480\nB,2,480\n", "1:id|cal/\ncm2|v,3:A|1.2|480,4:B|2|480"},
		{"prose with commas", "id,v,note\nA,480,\"a, b\"\nB,480,c\n", "1:id|v|note,2:A|480|a, b,3:B|480|c"},
		{"blank rows", "id,v\n\n,,,\n\"\", \nA,480,,\n", "1:id|v,5:A|480"},
		{"CRLF", "id,v\r\n\r\nA,480\r\nB,4160", "1:id|v,3:A|480,4:B|4160"},
		{"carriage returns", "id,v\rA,480\r\rB,4160\r", "1:id|v,2:A|480,4:B|4160"},
		{"no-break blanks", "id,v\nA,13\u00a0800\u202f\nB,\u00a0\n", "1:id|v,2:A|13 800,3:B"},
		{"declared", "SEP=;\r\nid;v\r\nA;480\r\n", "2:id|v,3:A|480"},
		{"leading zeros", "id,v\n007,480\n9e42,480\n", "1:id|v,2:007|480,3:9e42|480"},
	} {
		b, err := Read("study", []byte(c.text), Options{})
		if err != nil {
			t.Errorf("%s: %v", c.reason, err)
		} else if got := strings.Join(lines(b), ","); got != c.want {
			t.Errorf("%s: got %q, want %q", c.reason, got, c.want)
		}
	}
}

// TestQuotationMarks: what may have moved cells into wrong columns is refused,
// with the line.
func TestQuotationMarks(t *testing.T) {
	for _, c := range []struct{ reason, text, want string }{
		{"opens and swallows rows", "id,what,v\nA,\"SWB 1,480\nB,x,480\nC,y,480\n", "study:2: character 3: found a quotation mark that opens a cell and is not closed properly"},
		{"opens and another closes it", "id,what,v\nA,\"SWB 1,480\nB,at 18\",480\nC,y,480\n", "study:2: character 3: found a cell in quotation marks that holds a line break and a comma"},
		{"opens in the last column", "id,v,what\nA,480,\"SWB\nB\",480,x\nC,480,y\n", "study:2: found 5 cells, one of them with a line break"},
		{"swallows a cell of its row", "id,what,v,d,e\nA,\"SWB 1,480\",18,2\nB,x,480,18,2\nC,y,480,18,2\n", "study:2: found 4 cells, one of them with comma in it"},
		{"not closed at the end", "id,what,v\nA,x,480\nB,y,\"480", "study:3: character 5"},
		{"not doubled", "id,what,v\nA,\"the \"old\" one\",480\nB,y,480\n", "study:2: character 3"},
		{"opens inside a cell", "id,what,v\nA,the \"old,new\" one,480\nB,y,480\n", "study:2: character 3: found a quotation mark that opens inside a cell"},
		{"blank in front", "id,what,v\nA, \"old,new\",480\nB,y,480\n", "study:2: character 3"},
	} {
		if got := refusal(t, []byte(c.text), Options{Delimiter: ','}); !strings.Contains(got, c.want) {
			t.Errorf("%s: got %s", c.reason, got)
		}
	}
}

// TestWrittenByTheStandardLibrary: what encoding/csv writes is read as it was.
func TestWrittenByTheStandardLibrary(t *testing.T) {
	rows := [][]string{{"id", "note", "boundary"}, {"A", "x, y; \"z\"", `3'-4"`}, {"B", "two\nlines", `12"`}, {"C", `"`, "18"}}
	for _, comma := range ",;\t|" {
		var text strings.Builder
		w := csv.NewWriter(&text)
		w.Comma = comma
		if err := w.WriteAll(rows); err != nil {
			t.Fatal(err)
		}
		b := mustRead(t, []byte(text.String()), Options{Delimiter: comma})
		for i, row := range b.Sheets[0].Rows {
			for j, c := range row.Cells {
				if c != (Cell{Shown: rows[i][j], Kind: Text}) {
					t.Errorf("delimiter %q: cell %q, want %q", comma, c, rows[i][j])
				}
			}
		}
	}
}

func TestLimitsOfText(t *testing.T) {
	small := limits{file: 1 << 20, rows: 3, columns: 4, chars: 5, cells: 6, problems: 5}
	for _, c := range []struct{ text, want string }{
		{"a\nb\nc\n", ""}, {"a,b,c,d\n", ""}, {"a,b\nb,ééééé\n", ""}, {"a,b,c,d\n,d\n", ""},
		{"a\nb\nc\nd\n", "study:4: found more than 3 rows, expected at most 3"},
		{"a,b,c,d,e\n", "study:1: found 5 cells, expected at most 4 in a row"},
		{"a,b\nb,éééééé\n", "study:2: cell 2: found 6 characters, expected at most 5 in a cell"},
		{"a,b,c,d\n,,,d\n", "study:2: found more than 6 cells"},
	} {
		_, err := read("study", []byte(c.text), Options{Delimiter: ','}, small)
		if (err == nil) != (c.want == "") || err != nil && !strings.Contains(err.Error(), c.want) {
			t.Errorf("%q: got %v", c.text, err)
		}
	}
	var text strings.Builder
	text.WriteString("a,b\n")
	for range 9 {
		text.WriteString("a,\"b\nc\",d\n")
	}
	_, err := read("study", []byte(text.String()), Options{Delimiter: ','}, limits{file: 1 << 20, rows: 99, columns: 9, chars: 9, cells: 99, problems: 5})
	if ps, ok := err.(Error); !ok || len(ps) != 6 || ps[5].Found != "4 more problems" {
		t.Errorf("many problems: got %v", err)
	}
}
