package record

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"testing"

	"vouchmark/assess"
	"vouchmark/testdata/suite"
)

// FuzzLedger: a ledger is read up to where its chain breaks, byte for byte. With the hashes that
// its lines should have, all of them are read, and a replay of whatever they say ends.
func FuzzLedger(f *testing.F) {
	files, err := filepath.Glob("../../testdata/records*/mill/ledger.jsonl")
	if err != nil || len(files) == 0 {
		f.Fatal(err)
	}
	for _, file := range files {
		data, err := os.ReadFile(file)
		if err != nil {
			f.Fatal(err)
		}
		f.Add(data)
		f.Add(data[:len(data)-2])
	}
	for _, line := range []string{
		`{"kind":"seen","date":"2026-05-01","labels":[{"id":"A","record":"00","sight":{"found":"other","there":"00","text":"x","tick":"0123456789abcdef","clock":"2026-05-01"}},{"id":"","record":"","sight":{}}],"applied":"2026-05-01"}`,
		`{"schema":1,"kind":"mounted","date":"2026-05-01","applied":"2026-05-02","labels":[{"id":"A","record":"00"}]}`,
		`{"kind":"unfinished","of":"x"}` + "\n" + `{"kind":"intake","study":{"file":"R.csv","bytes":1}}`, `{"kind":"signed","signature":"x"}`,
		`{"kind":"settled","change":"2026-08-11/SWB-1"}`, "{}\n{}\n", `{"labels":[{"id":"","record":""},null]}`, "<<<<<<< a\n",
	} {
		f.Add([]byte(line))
	}
	f.Fuzz(func(t *testing.T, text []byte) {
		if len(text) > suite.Longest {
			return
		}
		suite.Bounded(t, len(text), 128, 1<<17, func() {
			l, err := ParseLedger(text)
			var again []byte
			for i := range l.Lines {
				line, prev := l.Lines[i], l.HeadAt(i)
				b, err := line.seal(prev)
				if err != nil {
					t.Fatal(err)
				}
				again = append(again, b...)
			}
			again = append(bytes.TrimSuffix(again, l.Lacks), l.Torn...)
			if !bytes.HasPrefix(text, again) || err == nil && len(again) != len(text) {
				t.Errorf("read as %q", again)
			}
		})
		var sealed []byte
		prev, n := firstPrev, 0
		for line := range bytes.Lines(text) {
			var l Line
			if json.Unmarshal(line, &l) != nil {
				continue
			}
			b, err := l.seal(prev)
			if err != nil {
				continue // a text that JSON cannot have
			}
			sealed, prev = append(sealed, b...), l.Hash
			n++
		}
		suite.Bounded(t, len(sealed), 512, 1<<17, func() {
			l, err := ParseLedger(sealed)
			if err != nil || len(l.Lines) != n || l.Torn != nil {
				t.Fatalf("%d lines of %d, %v: %s", len(l.Lines), n, err, sealed)
			}
			day, err := assess.ParseDate("2026-05-01")
			if err != nil {
				t.Fatal(err)
			}
			for _, has := range []bool{false, true} {
				l.Replay(day, func(ID) bool { return has }, nil)
			}
		})
	})
}
