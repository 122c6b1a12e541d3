// Package archive puts what vouches for a site's labels into one file, for
// safekeeping: the ledger, the records, and the owner's policy, log and trusted
// keys. It is a plain ZIP file; vouchmark audit reads it as it reads a folder.
package archive

import (
	"archive/zip"
	"bytes"
	"errors"
	"fmt"
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

// named are the records that the ledger names: while somebody prints there may
// be newer ones already.
func named(folder fs.FS) ([]string, error) {
	data, err := fs.ReadFile(folder, record.LedgerFile)
	if err != nil {
		return nil, err
	}
	l, err := record.ParseLedger(data)
	if err != nil {
		return nil, err
	}
	var files []string
	for _, line := range l.Lines {
		for _, p := range line.Labels {
			if id, err := record.ParseID(p.Record); err == nil {
				files = append(files, record.Path(id))
			}
		}
	}
	slices.Sort(files)
	return slices.Compact(files), nil
}

// WriteFile writes the archive of a site folder into a file, whole or not at
// all. It writes over nothing but an earlier archive.
func WriteFile(file string, folder fs.FS) (files int, err error) {
	if _, err := os.Lstat(file); err == nil {
		old, err := Open(file)
		if err != nil {
			return 0, &record.WriteError{Path: file, Err: errors.New("a file is there that is no archive; name another")}
		}
		old.Close()
	}
	records, err := named(folder)
	if err != nil {
		return 0, err
	}
	var b bytes.Buffer // which takes everything
	z := zip.NewWriter(&b)
	for _, name := range slices.Concat([]string{record.LedgerFile}, owners, records) {
		data, err := fs.ReadFile(folder, name)
		if errors.Is(err, fs.ErrNotExist) {
			continue
		}
		if err != nil {
			return 0, err
		}
		w, err := z.CreateHeader(&zip.FileHeader{Name: name, Method: zip.Deflate, Modified: written})
		if err != nil {
			return 0, err
		}
		w.Write(data)
		files++
	}
	if err := z.Close(); err != nil {
		return 0, err
	}
	return files, record.WriteFile(file, b.Bytes(), 0o644)
}

// most is how large an archive and a file in it may be: far more than any
// plant has, and no more than a machine bears.
const (
	mostArchive = 4 << 30
	mostLedger  = 1 << 30
	mostFile    = 16 << 20
)

// Open opens an archive as a folder. What is no archive, or holds a file that
// none has, is refused.
func Open(file string) (*zip.ReadCloser, error) {
	info, err := os.Stat(file)
	if err != nil {
		return nil, err
	}
	if info.Size() > mostArchive {
		return nil, fmt.Errorf("%s is larger than any archive", file)
	}
	z, err := zip.OpenReader(file)
	if err != nil {
		return nil, fmt.Errorf("%s is no archive that vouchmark records export made: %w", file, err)
	}
	if err := sound(file, z.File); err != nil {
		z.Close()
		return nil, err
	}
	return z, nil
}

// sound refuses the files of an archive that none has.
func sound(file string, all []*zip.File) error {
	seen, total := map[string]bool{}, uint64(0)
	for _, f := range all {
		most := uint64(mostFile)
		if f.Name == record.LedgerFile {
			most = mostLedger
		}
		total += f.UncompressedSize64
		if !belongs(f.Name) || seen[f.Name] || !f.Mode().IsRegular() || f.UncompressedSize64 > most || total > mostArchive {
			return fmt.Errorf("%s holds %q in a way in which no archive of records does", file, f.Name)
		}
		seen[f.Name] = true
	}
	if !seen[record.LedgerFile] {
		return fmt.Errorf("%s has no %s: it is no archive that vouchmark records export made", file, record.LedgerFile)
	}
	return nil
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
// folder, and names the owner's files that it brought because the folder had
// none. Trusted keys are never brought: whoever made the archive could have put
// a key of his own among them.
func Import(from fs.FS, dir string) (records int, brought []string, err error) {
	ledger, err := fs.ReadFile(from, record.LedgerFile)
	if err != nil {
		return 0, nil, fmt.Errorf("the archive has no %s: %w", record.LedgerFile, err)
	}
	names, _ := fs.Glob(from, "records/??/*.json") // which fails for a bad pattern alone
	err = record.Open(dir).Extend(ledger, func() error {
		for _, name := range names {
			data, err := fs.ReadFile(from, name)
			if err != nil {
				return err
			}
			if err := record.Place(dir, name, data); err != nil {
				return err
			}
		}
		for _, name := range owners {
			data, err := fs.ReadFile(from, name)
			file := filepath.Join(dir, name)
			if _, there := os.Stat(file); err != nil || name == seal.KeysFile || !errors.Is(there, fs.ErrNotExist) {
				continue
			}
			if err := record.WriteFile(file, data, 0o644); err != nil {
				return err
			}
			brought = append(brought, name)
		}
		return nil
	})
	return len(names), brought, err
}
