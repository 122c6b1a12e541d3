package archive

import (
	"archive/zip"
	"bytes"
	"io/fs"
	"os"
	"testing"

	"vouchmark/assess/infile"
	"vouchmark/label/audit"
	"vouchmark/label/record"
	"vouchmark/testdata/suite"
)

// small are limits that show in a short time what takes too much.
var small = limits{packed: infile.MiB, directory: 128 * infile.KiB, files: 100, total: 4 * infile.MiB, ratio: 100, free: infile.MiB}

// opened checks an archive: it is refused, or each of its files is within its limit and an audit ends.
func opened(t *testing.T, data []byte) {
	t.Helper()
	z, err := openFrom("a.zip", bytes.NewReader(data), int64(len(data)))
	if err != nil {
		return
	}
	total := int64(0)
	for _, f := range z.File {
		of, err := fs.ReadFile(z, f.Name)
		if total += int64(len(of)); err == nil && (int64(len(of)) > most.of(f.Name) || !belongs(f.Name)) {
			t.Errorf("%s has %d bytes", f.Name, len(of))
		}
	}
	if total > most.unpacked(count(len(data))) {
		t.Errorf("%d bytes are unpacked from %d", total, len(data))
	}
	if _, err := audit.Run(z, day(t), audit.Options{}); err == nil {
		named(z) // an import reads it so
	}
}

// FuzzArchive: whatever a file is, it is refused or read within the limits.
func FuzzArchive(f *testing.F) {
	was := most
	f.Cleanup(func() { most = was })
	for _, file := range []string{write(f, made(f)), archiveOf(f, 3)} {
		data, err := os.ReadFile(file)
		if err != nil {
			f.Fatal(err)
		}
		f.Add(data)
	}
	f.Add([]byte("PK\x05\x06" + "\x00\x00\x00\x00\xff\xff\xff\xff\xff\xff\xff\xff\x00\x00\x00\x00\x00\x00"))
	most = small
	f.Fuzz(func(t *testing.T, data []byte) {
		if len(data) <= suite.Longest {
			suite.Bounded(t, len(data), 1024, 8*infile.MiB, func() { opened(t, data) })
		}
	})
}

// FuzzArchived is FuzzArchive for what is within an archive: a change of a byte of a ZIP file is
// found by its checksum at once.
func FuzzArchived(f *testing.F) {
	was := most
	f.Cleanup(func() { most = was })
	m := unpack(f, write(f, made(f)))
	for name, file := range m {
		f.Add(m[record.LedgerFile].Data, name, file.Data)
	}
	f.Add([]byte("{}\n"), "changes.toml", []byte("a.b = 1"))
	f.Add([]byte("\n"), "../x", []byte{})
	most = small
	f.Fuzz(func(t *testing.T, ledger []byte, name string, data []byte) {
		if len(ledger)+len(name)+len(data) > suite.Longest {
			return
		}
		var b bytes.Buffer
		z := zip.NewWriter(&b)
		for _, part := range []struct {
			name string
			data []byte
		}{{record.LedgerFile, ledger}, {name, data}} {
			w, err := z.Create(part.name)
			if err == nil {
				_, err = w.Write(part.data)
			}
			if err != nil {
				return // no ZIP file can have it
			}
		}
		if z.Close() == nil {
			suite.Bounded(t, len(ledger)+len(data), 1024, 8*infile.MiB, func() { opened(t, b.Bytes()) })
		}
	})
}
