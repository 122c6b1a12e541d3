package site

import (
	"strings"

	"vouchmark/assess"
	"vouchmark/assess/infile"
)

// TextTables are the tables [[Name]] of a file that has nothing else, and whose values are texts.
type TextTables struct {
	Name  string
	Must  []string            // keys that each table needs
	May   []string            // other keys
	Words map[string][]string // for some keys, the only words that they may have
	Check func(*TextTable)    // is called for each table, and may report more; nil for nothing
}

// TextTable is one of them.
type TextTable struct {
	Values     map[string]string
	First, End int // its lines, from 1: its heading, and the one after its last
	n          *node
}

// Line is the line of a key, from 1; that of the table's heading for a missing one.
func (t *TextTable) Line(key string) int { return t.n.line(key) }

// Fault reports what is wrong with a key.
func (t *TextTable) Fault(key, found, expected, do string) { t.n.fault(key, found, expected, do) }

// ReadTables reads the text of such a file, which is not one of a site folder: file is how the
// problems name it, most how many bytes it may have. Its error is a Problems.
func ReadTables(file string, data []byte, most int64, want TextTables) ([]TextTable, error) {
	r := newReader(nil, Options{})
	if int64(len(data)) > most {
		r.report(file, 0, "", "a file of more than "+infile.Size(most), "at most "+infile.Size(most), "delete what does not belong in it")
		return nil, r.err()
	}
	data, ok := r.decodeUTF8(file, data)
	if !ok {
		return nil, r.err()
	}
	n := r.parseTOML(file, data)
	if n == nil {
		return nil, r.err()
	}
	var all []TextTable
	n.each(want.Name, false, func(of *node) {
		t := TextTable{Values: map[string]string{}, First: of.line(""), n: of}
		for i, keys := range [][]string{want.Must, want.May} {
			for _, key := range keys {
				var text string
				if words := want.Words[key]; words != nil {
					text = of.word(key, i == 0, "", words...)
				} else {
					text = of.text(key, i == 0)
				}
				if text != "" {
					t.Values[key] = text
				}
			}
		}
		of.faultIf(t.Values["name"] != "" && !assess.Says(t.Values["name"]), "name", quote(t.Values["name"]), "a name", "")
		if want.Check != nil {
			want.Check(&t)
		}
		all = append(all, t)
	})
	n.done()
	lines := strings.Count(string(data), "\n") + 2
	for i := range all {
		all[i].End = lines
		if i+1 < len(all) {
			all[i].End = all[i+1].First
		}
	}
	return all, r.err()
}
