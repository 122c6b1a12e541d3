// Package archive puts what vouches for a site's labels into one file, for
// safekeeping: the ledger, the records, the study files that were taken in, and
// the owner's policy, log and trusted keys. It is a plain ZIP file; vouchmark
// audit reads it as it reads a folder.
package archive

import (
	"archive/zip"
	"bufio"
	"bytes"
	"crypto/sha256"
	"encoding/hex"
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

// contents are what the ledger of a folder names.
type contents struct {
	ledger  []byte
	records []string        // in order
	studies []*record.Study // by name
}

// named are the records and study files that the ledger names: while somebody
// writes there may be newer ones already.
func named(folder fs.FS) (*contents, error) {
	data, err := fs.ReadFile(folder, record.LedgerFile)
	if err != nil {
		return nil, err
	}
	l, err := record.ParseLedger(data)
	if err != nil {
		return nil, err
	}
	c := &contents{ledger: data}
	r := l.Replay(assess.Date{}, func(record.ID) bool { return false }, nil)
	for _, n := range r.Records {
		if n.Valid {
			c.records = append(c.records, record.Path(n.ID))
		}
	}
	slices.Sort(c.records)
	for _, s := range r.Studies {
		if record.StudyFile(s.File) {
			c.studies = append(c.studies, s)
		}
	}
	slices.SortFunc(c.studies, func(a, b *record.Study) int { return strings.Compare(a.File, b.File) })
	return c, nil
}

// WriteFile writes the archive of a site folder into a file, whole or not at
// all, piece by piece. It writes over nothing but an earlier archive.
func WriteFile(file string, folder fs.FS) (files int, err error) {
	if _, err := os.Lstat(file); err == nil {
		old, err := Open(file)
		if err != nil {
			return 0, &record.WriteError{Path: file, Err: errors.New("a file is there that is no archive; name another")}
		}
		old.Close()
	}
	c, err := named(folder)
	if err != nil {
		return 0, err
	}
	var a writer
	p, err := record.PrepareFrom(file, 0o644, func(w io.Writer) error {
		b := bufio.NewWriterSize(w, 1<<16)
		a = writer{zip: zip.NewWriter(b), folder: folder}
		if err := a.all(c); err != nil {
			return err
		}
		return errors.Join(a.zip.Close(), b.Flush())
	})
	if err != nil {
		return 0, err
	}
	return a.files, p.Commit()
}

// writer is an archive that is being written.
type writer struct {
	zip    *zip.Writer
	folder fs.FS
	files  int
	bytes  uint64
}

func (a *writer) all(c *contents) error {
	if err := a.add(record.LedgerFile, mostLedger, bytes.NewReader(c.ledger)); err != nil {
		return err
	}
	for _, name := range slices.Concat(owners, c.records) {
		if _, err := a.copy(name, mostFile); err != nil && !errors.Is(err, fs.ErrNotExist) {
			return err
		}
	}
	for _, s := range c.studies {
		sum, err := a.copy(s.Path(), record.MostStudy)
		if err != nil {
			return err
		}
		if sum != s.SHA256 {
			return fmt.Errorf("%s: its bytes are not those that %s names; see vouchmark audit", s.Path(), record.LineName(s.Line))
		}
	}
	return nil
}

// copy adds a file of the folder, and gives the SHA-256 of what was written.
func (a *writer) copy(name string, most int64) (sum string, err error) {
	f, err := a.folder.Open(name)
	if err != nil {
		return "", err
	}
	defer f.Close()
	h := sha256.New()
	err = a.add(name, most, io.TeeReader(f, h))
	return hex.EncodeToString(h.Sum(nil)), err
}

// add adds a file, and refuses one with which [Open] would not take the archive.
func (a *writer) add(name string, most int64, from io.Reader) error {
	w, err := a.zip.CreateHeader(&zip.FileHeader{Name: name, Method: zip.Deflate, Modified: written})
	if err != nil {
		return err
	}
	n, err := io.Copy(w, io.LimitReader(from, most+1))
	a.bytes += uint64(n)
	switch {
	case err != nil:
		return err
	case n > most:
		return fmt.Errorf("%s has more than %d MiB, which no archive takes", name, most>>20)
	case a.bytes > mostArchive:
		return fmt.Errorf("the files of this folder have more than %d MiB together, which no archive takes", mostArchive>>20)
	}
	a.files++
	return nil
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
		switch {
		case f.Name == record.LedgerFile:
			most = mostLedger
		case path.Dir(f.Name) == record.StudiesFolder:
			most = record.MostStudy
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
	if study, ok := strings.CutPrefix(name, record.StudiesFolder+"/"); ok {
		return record.StudyFile(study)
	}
	ok, _ := path.Match("records/[0-9a-f][0-9a-f]/*.json", name)
	return ok && !strings.Contains(name, "..")
}

// Import puts the ledger, the records and the study files of a verified archive
// into a site folder, and names the files that it brought because the folder had
// none: the owner's, and those in studies/. Trusted keys are never brought:
// whoever made the archive could have put a key of his own among them.
func Import(from fs.FS, dir string) (records int, brought []string, err error) {
	c, err := named(from)
	if err != nil {
		return 0, nil, fmt.Errorf("the ledger of the archive: %w", err)
	}
	names, _ := fs.Glob(from, "records/??/*.json") // which fails for a bad pattern alone
	err = record.Open(dir).Extend(c.ledger, func() error {
		lacks, err := lacking(c, dir)
		if err != nil {
			return err
		}
		for _, name := range names {
			if err := place(from, dir, name); err != nil {
				return err
			}
		}
		for _, name := range lacks {
			if err := place(from, dir, name); err != nil {
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
		brought = append(brought, lacks...)
		return nil
	})
	return len(names), brought, err
}

// lacking are the study files that a folder lacks. One that it has otherwise is
// refused before anything is written.
func lacking(c *contents, dir string) (lacks []string, err error) {
	for _, s := range c.studies {
		data, err := os.ReadFile(filepath.Join(dir, filepath.FromSlash(s.Path())))
		switch {
		case errors.Is(err, fs.ErrNotExist):
			lacks = append(lacks, s.Path())
		case err != nil:
			return nil, err
		case record.SHA256(data) != s.SHA256:
			return nil, fmt.Errorf("%s is in this folder with other bytes: nothing was changed; move it away and run it again", s.Path())
		}
	}
	return lacks, nil
}

func place(from fs.FS, dir, name string) error {
	data, err := fs.ReadFile(from, name)
	if err != nil {
		return err
	}
	return record.Place(dir, name, data)
}
