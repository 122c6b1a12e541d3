package archive

import (
	"archive/zip"
	"bytes"
	"encoding/binary"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"vouchmark/label/record"
)

// reopened is the error of opening an archive with these bytes, or of reading any of its files.
func reopened(t *testing.T, data []byte) error {
	t.Helper()
	file := filepath.Join(t.TempDir(), "b.zip")
	if err := os.WriteFile(file, data, 0o644); err != nil {
		t.Fatal(err)
	}
	z, err := Open(file)
	if err != nil {
		return err
	}
	defer z.Close()
	return fs.WalkDir(z, ".", func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		_, err = fs.ReadFile(z, name)
		return err
	})
}

// list is where the list of files begins in an archive.
func list(data []byte) int { return int(binary.LittleEndian.Uint32(data[len(data)-6:])) }

// moved is an archive with bytes put in at a place before its list, which says so.
func moved(data []byte, at int, more string) []byte {
	moved := append(append(bytes.Clone(data[:at]), more...), data[at:]...)
	binary.LittleEndian.PutUint32(moved[len(moved)-6:], uint32(list(data)+len(more)))
	for entry := list(moved); binary.LittleEndian.Uint32(moved[entry:]) == 0x02014b50; {
		if start := binary.LittleEndian.Uint32(moved[entry+42:]); int(start) >= at {
			binary.LittleEndian.PutUint32(moved[entry+42:], start+uint32(len(more)))
		}
		n := func(at int) int { return int(binary.LittleEndian.Uint16(moved[entry+at:])) }
		entry += 46 + n(28) + n(30) + n(32)
	}
	return moved
}

// Nothing can be hidden in an archive: not before, between or behind its files, not in what is said about them, and
// not behind their packed data.
func TestNothingHidden(t *testing.T) {
	data, err := os.ReadFile(write(t, made(t)))
	if err != nil {
		t.Fatal(err)
	}
	if err := reopened(t, data); err != nil {
		t.Fatal(err)
	}
	second := bytes.Index(data[1:], data[:4]) + 1
	comment := bytes.Clone(data)
	binary.LittleEndian.PutUint16(comment[len(comment)-2:], 6)
	for name, bad := range map[string][]byte{
		"before":                    append([]byte("hidden"), data...),
		"before, and said so":       moved(data, 0, "hidden"),
		"between two files":         moved(data, second, "hidden"),
		"before the list":           moved(data, list(data), "hidden"),
		"between list and end":      append(append(bytes.Clone(data[:len(data)-22]), "hidden"...), data[len(data)-22:]...),
		"behind":                    append(bytes.Clone(data), "hidden"...),
		"a comment":                 append(comment, "hidden"...),
		"another archive behind":    append(bytes.Clone(data), data...),
		"a file that is not listed": moved(data, second, string(data[:second])),
	} {
		if err := reopened(t, bad); err == nil {
			t.Errorf("%s: it is taken", name)
		}
	}
	ledger, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	if err != nil {
		t.Fatal(err)
	}
	text, err := fs.ReadFile(ledger, record.LedgerFile)
	if err != nil {
		t.Fatal(err)
	}
	// made is an archive of a ledger alone.
	made := func(edit func(z *zip.Writer, h *zip.FileHeader) error) []byte {
		var b bytes.Buffer
		z := zip.NewWriter(&b)
		h := &zip.FileHeader{Name: record.LedgerFile, Method: zip.Deflate, Modified: written}
		if err := edit(z, h); err != nil {
			t.Fatal(err)
		}
		if err := z.Close(); err != nil {
			t.Fatal(err)
		}
		return b.Bytes()
	}
	plain := func(z *zip.Writer, h *zip.FileHeader) error {
		w, err := z.CreateHeader(h)
		if err == nil {
			_, err = w.Write(text)
		}
		return err
	}
	for name, c := range map[string]struct {
		edit func(z *zip.Writer, h *zip.FileHeader) error
		good bool
	}{
		"plain":  {plain, true},
		"stored": {func(z *zip.Writer, h *zip.FileHeader) error { h.Method = zip.Store; return plain(z, h) }, true},
		"another time": {func(z *zip.Writer, h *zip.FileHeader) error {
			h.Modified = time.Date(2026, 5, 1, 8, 0, 1, 0, time.UTC)
			return plain(z, h)
		}, true},
		"a comment of a file": {func(z *zip.Writer, h *zip.FileHeader) error { h.Comment = "hidden"; return plain(z, h) }, false},
		"an additional field": {func(z *zip.Writer, h *zip.FileHeader) error {
			h.Extra = []byte("\xfe\xca\x06\x00hidden")
			return plain(z, h)
		}, false},
		"behind the packed data": {func(z *zip.Writer, h *zip.FileHeader) error {
			var packed bytes.Buffer
			p, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
			if err != nil {
				return err
			}
			r, err := p.File[0].OpenRaw()
			if err != nil {
				return err
			}
			if _, err := io.Copy(&packed, r); err != nil {
				return err
			}
			packed.WriteString("hidden")
			h.CRC32, h.CompressedSize64, h.UncompressedSize64 = p.File[0].CRC32, uint64(packed.Len()), p.File[0].UncompressedSize64
			w, err := z.CreateRaw(h)
			if err != nil {
				return err
			}
			_, err = w.Write(packed.Bytes())
			return err
		}, false},
		"an empty folder": {func(z *zip.Writer, h *zip.FileHeader) error {
			if err := plain(z, h); err != nil {
				return err
			}
			_, err := z.Create("records/00/")
			return err
		}, false},
	} {
		if err := reopened(t, made(c.edit)); (err == nil) != c.good {
			t.Errorf("%s: %v", name, err)
		} else if err != nil && strings.Contains(err.Error(), "hidden") {
			t.Errorf("%s: it repeats what was hidden: %v", name, err)
		}
	}
}
