package record

import (
	"bytes"
	"encoding/json"
	"io/fs"
	"os"
	"path/filepath"
	"testing"
)

// reference encodes with the standard library alone.
func reference(t testing.TB, v any) []byte {
	t.Helper()
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	e.SetIndent("", "  ")
	if err := e.Encode(v); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// everyRecord calls do with the bytes of each record in the samples and of each that
// earlier versions wrote.
func everyRecord(t testing.TB, do func(name string, data []byte)) (n int) {
	t.Helper()
	for _, root := range []string{"../../samples", "../../testdata/records1", "../../testdata/records2"} {
		err := filepath.WalkDir(root, func(name string, d fs.DirEntry, err error) error {
			if err != nil || d.IsDir() || filepath.Base(filepath.Dir(filepath.Dir(name))) != "records" {
				return err
			}
			data, err := os.ReadFile(name)
			if err == nil {
				n++
				do(name, data)
			}
			return err
		})
		if err != nil {
			t.Fatal(err)
		}
	}
	return n
}

// Every record that was ever written encodes to its own bytes, and to those of the
// standard library.
func TestEncodeAsTheLibrary(t *testing.T) {
	n := everyRecord(t, func(name string, data []byte) {
		r, err := Decode(data)
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		again, _, err := r.Encode()
		if err != nil || !bytes.Equal(again, data) || !bytes.Equal(again, reference(t, r.Form())) {
			t.Errorf("%s: another encoding, %v", name, err)
		}
	})
	if n < 40 {
		t.Errorf("only %d records", n)
	}
}

// Any JSON without blanks is set as the standard library sets it.
func FuzzIndented(f *testing.F) {
	for _, text := range []string{`{}`, `[]`, `""`, `{"a":[],"b":{},"c":[{},[1,-2e-7]]}`, `"\\\"{,:}[\\"`, `[[[]],"é ",true,null]`, `{"a b":"c: d, e"}`} {
		f.Add([]byte(text))
	}
	everyRecord(f, func(_ string, data []byte) { f.Add(data) })
	f.Fuzz(func(t *testing.T, text []byte) {
		var short, want bytes.Buffer
		if json.Compact(&short, text) != nil {
			return
		}
		if err := json.Indent(&want, short.Bytes(), "", "  "); err != nil {
			t.Fatal(err)
		}
		if got := indented(nil, short.Bytes(), "  "); !bytes.Equal(got, want.Bytes()) {
			t.Errorf("%s: %s\nwant %s", short.Bytes(), got, want.Bytes())
		}
	})
}

// A record of the size of most, decoded and encoded again.
func BenchmarkDecode(b *testing.B) {
	var all [][]byte
	size := 0
	everyRecord(b, func(_ string, data []byte) { all, size = append(all, data), size+len(data) })
	b.SetBytes(int64(size / len(all)))
	b.ReportAllocs()
	for i := 0; b.Loop(); i++ {
		if _, err := Decode(all[i%len(all)]); err != nil {
			b.Fatal(err)
		}
	}
}

// A record is encoded into the room that is there, and is the same text as without.
func TestEncodeIntoABuffer(t *testing.T) {
	r := example(t, "MCC-4", 6.518)
	want, id, err := r.Encode()
	if err != nil {
		t.Fatal(err)
	}
	room := make([]byte, 5, 4*len(want))
	got, is, err := r.encodeTo(room)
	if err != nil || is != id || !bytes.Equal(got, want) || &got[0] != &room[0] {
		t.Errorf("%d bytes of %s, want %d of %s, %v", len(got), is, len(want), id, err)
	}
}
