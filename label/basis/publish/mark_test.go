package publish

import (
	"encoding/json"
	"strings"
	"testing"

	"vouchmark/label/report"
)

// A mark is written as the library for JSON writes it, whatever the names of files have in them.
func TestMarkIsJSON(t *testing.T) {
	hex := strings.Repeat("0a", 32)
	for _, files := range []map[string]made{nil, {}, {"index.html": {hex, hex}},
		{"V/7K3M/A&B \"C\" <1>\\ü\u2028\x01/index.html": {hex, hex}, "b": {"", hex}, "a/b": {hex, hex}, "a-b": {hex, hex}}} {
		for _, m := range []*mark{
			{Pages: maker, Site: "Invented", Ledger: hex, Log: 3, Files: files},
			{Pages: maker, Summary: &report.Summary{Site: "Invented"}, Program: hex, Files: files},
		} {
			want, err := json.MarshalIndent(m, "", "  ")
			if err != nil {
				t.Fatal(err)
			}
			made, err := m.file(markFile)
			if err != nil || string(made[0].Data) != string(want)+"\n" {
				t.Errorf("%v\n%s\n%s", err, made[0].Data, want)
			}
		}
	}
}
