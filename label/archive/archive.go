// Package archive puts what vouches for a site's labels into one file, for
// safekeeping: the ledger, the records, and the owner's policy, log and trusted
// keys. It is a plain ZIP file; vouchmark audit reads it as it reads a folder.
package archive

import (
	"archive/zip"
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"vouchmark/assess"
	"vouchmark/label/record"
	"vouchmark/label/seal"
)

// owners are the owner's files that an archive holds beside ledger and records.
var owners = []string{"site.toml", assess.ChangesFile, seal.KeysFile}

// written is the time of every file in an archive, so that the same folder
// gives the same bytes: the first that ZIP can tell.
var written = time.Date(1980, 1, 1, 0, 0, 0, 0, time.UTC)

// Write writes the archive of a site folder.
func Write(w io.Writer, folder fs.FS) (files int, err error) {
	names := append([]string{record.LedgerFile}, owners...)
	records, err := fs.Glob(folder, "records/??/*.json")
	if err != nil {
		return 0, err
	}
	slices.Sort(records)
	z := zip.NewWriter(w)
	for _, name := range append(names, records...) {
		data, err := fs.ReadFile(folder, name)
		if errors.Is(err, fs.ErrNotExist) {
			continue
		}
		if err != nil {
			return files, err
		}
		f, err := z.CreateHeader(&zip.FileHeader{Name: name, Method: zip.Deflate, Modified: written})
		if err != nil {
			return files, err
		}
		if _, err := f.Write(data); err != nil {
			return files, err
		}
		files++
	}
	return files, z.Close()
}

// WriteFile writes the archive of a site folder into a file, whole or not at
// all. It writes over nothing but an earlier archive.
func WriteFile(file string, folder fs.FS) (files int, err error) {
	if old, err := os.ReadFile(file); err == nil && !bytes.HasPrefix(old, []byte("PK")) {
		return 0, &record.WriteError{Path: file, Err: errors.New("a file is there that is no archive; name another")}
	}
	var b bytes.Buffer
	if files, err = Write(&b, folder); err != nil {
		return 0, err
	}
	return files, record.WriteFile(file, b.Bytes(), 0o644)
}

// most is how large an archive and a file in it may be: far more than any
// plant has, and no more than a machine bears.
const (
	mostArchive = 4 << 30
	mostFile    = 256 << 20
)

// Open opens an archive as a folder. What is no archive, or holds a file that
// none has, is refused.
func Open(file string) (fs.FS, io.Closer, error) {
	info, err := os.Stat(file)
	if err != nil {
		return nil, nil, err
	}
	if info.Size() > mostArchive {
		return nil, nil, fmt.Errorf("%s is larger than any archive", file)
	}
	z, err := zip.OpenReader(file)
	if err != nil {
		return nil, nil, fmt.Errorf("%s is no archive that vouchmark records export made: %w", file, err)
	}
	for _, f := range z.File {
		if !belongs(f.Name) || f.UncompressedSize64 > mostFile {
			z.Close()
			return nil, nil, fmt.Errorf("%s holds %q, which no archive of records does", file, f.Name)
		}
	}
	return z, z, nil
}

// belongs reports whether a file may stand in an archive.
func belongs(name string) bool {
	if name == record.LedgerFile || slices.Contains(owners, name) {
		return true
	}
	ok, _ := path.Match("records/[0-9a-f][0-9a-f]/*.json", name)
	return ok && !strings.Contains(name, "..")
}

// Import puts the ledger and the records of a verified archive into a site
// folder, and the owner's files where it has none. A folder with a ledger of
// its own is refused unless the archive's goes on from it.
func Import(from fs.FS, dir string) (records int, err error) {
	ledger, err := fs.ReadFile(from, record.LedgerFile)
	if err != nil {
		return 0, fmt.Errorf("the archive has no %s: %w", record.LedgerFile, err)
	}
	own, err := os.ReadFile(filepath.Join(dir, record.LedgerFile))
	switch {
	case errors.Is(err, fs.ErrNotExist):
	case err != nil:
		return 0, err
	case bytes.HasPrefix(own, ledger):
		return 0, fmt.Errorf("%s has all of the archive's ledger already", dir)
	case !bytes.HasPrefix(ledger, own):
		return 0, fmt.Errorf("the ledger of %s is another one than the archive's, or has lines that the archive lacks: nothing was imported; import into a folder without a ledger", dir)
	}
	names, err := fs.Glob(from, "records/??/*.json")
	if err != nil {
		return 0, err
	}
	for _, name := range names {
		data, err := fs.ReadFile(from, name)
		if err != nil {
			return records, err
		}
		if err := record.Place(dir, name, data, 0o444); err != nil {
			return records, err
		}
		records++
	}
	for _, name := range owners {
		if data, err := fs.ReadFile(from, name); err == nil {
			if _, err := os.Stat(filepath.Join(dir, name)); errors.Is(err, fs.ErrNotExist) {
				if err := record.WriteFile(filepath.Join(dir, name), data, 0o644); err != nil {
					return records, err
				}
			}
		}
	}
	// Last: until here the folder's own ledger stands, and knows none of it.
	return records, record.WriteFile(filepath.Join(dir, record.LedgerFile), ledger, 0o644)
}
