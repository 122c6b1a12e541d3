package mirror_test

import (
	"errors"
	"os"
	"testing"

	"vouchmark/label/bucket/buckettest"
	"vouchmark/label/mirror"
	"vouchmark/label/record"
	"vouchmark/testdata/suite"
)

// Whatever somebody puts into a mirror in place of a file, a sending and a comparison end, ask for no more than it is
// worth, and do not find it right unless it is; a mirror.toml that is read says the same when it is written.
func FuzzMirror(f *testing.F) {
	dir, m := mill(f), buckettest.NewMemory()
	sent(f, m, dir, begin)
	keys := []string{"mirror.json", "heads/9999999990", "lines/0000000009", "lines/0000000004", "lines/0000000010", "heads/9999999989"}
	files := m.Files()
	for i, key := range keys {
		f.Add(uint8(i), files[key])
	}
	f.Add(uint8(1), []byte(`{"schema":1,"line":9,"hash":"00"}`))
	f.Add(uint8(2), []byte(`{"schema":1,"kind":"print","date":"2026-05-01","labels":[{},{},{}]}`))
	f.Add(uint8(6), []byte("[[mirror]]\naddress = \"s3://plants?prefix=north/\"\nlock_days = \"30\"\n"))
	f.Fuzz(func(t *testing.T, what uint8, data []byte) {
		if int(what) >= len(keys) {
			suite.Bounded(t, len(data), 2000, 1<<20, func() {
				s, err := mirror.Parse(data)
				if err != nil {
					return
				}
				again, err := mirror.Parse(s.Text())
				if err != nil || again.Address.String() != s.Address.String() || again.LockDays != s.LockDays {
					t.Errorf("%q is written as %q: %v", data, s.Text(), err)
				}
			})
			return
		}
		m, key := buckettest.NewMemory(), keys[what]
		for k, text := range files {
			m.Alter(k, text)
		}
		m.Alter(key, append([]byte{}, data...))
		l, text, err := record.Open(dir).LedgerText()
		if err != nil {
			t.Fatal(err)
		}
		suite.Bounded(t, len(data), 2000, 16<<20, func() {
			c, err := mirror.Compare(t.Context(), m, os.DirFS(dir), mirror.Comparing{Full: true})
			var none *record.LedgerError
			if errors.As(err, &none) || err == nil && len(c.Problems) == 0 && string(data) != string(files[key]) {
				t.Errorf("%q as %s was found right: %v", data, key, err)
			}
			mirror.Send(t.Context(), m, mirror.Source{Folder: os.DirFS(dir), Ledger: l, Text: text}, mirror.Options{})
		})
	})
}
