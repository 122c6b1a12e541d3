// Package archive puts what vouches for a site's labels into one file, for
// safekeeping: the ledger, the records, the other files that the ledger names, and
// the owner's policy, log of changes and trusted keys. It is a plain ZIP file;
// vouchmark audit reads it as it reads a folder.
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

// owners are the owner's files that an archive holds besides ledger and records.
var owners = []string{"site.toml", assess.ChangesFile, seal.KeysFile}

// written is the time of every file in an archive, so that the same folder
// gives the same bytes: the earliest time that ZIP can hold.
var written = time.Date(1980, 1, 1, 0, 0, 0, 0, time.UTC)

// contents are what the ledger of a folder names.
type contents struct {
	ledger  []byte
	records []*record.Named // by name
	others  []other         // in order
}

// other is a file that a line of the ledger names with its hash: in studies/, or half a
// line that the ledger once ended in.
type other struct {
	name, sha256 string
	line         int
}

// named are the records and other files that the ledger names. While another
// command writes, the folder may hold newer ones already.
func named(folder fs.FS) (*contents, error) {
	data, err := fs.ReadFile(folder, record.LedgerFile)
	if err != nil {
		return nil, err
	}
	l, err := record.ParseLedger(data)
	if err != nil {
		return nil, err
	}
	// Of a line that is being written only what is complete.
	c := &contents{ledger: slices.Concat(bytes.TrimSuffix(data, l.Torn), l.Lacks)}
	r := l.Replay(assess.Date{}, func(record.ID) bool { return false }, nil)
	for _, n := range r.Records {
		if n.Valid {
			c.records = append(c.records, n)
		}
	}
	slices.SortFunc(c.records, func(a, b *record.Named) int { return bytes.Compare(a.ID[:], b.ID[:]) })
	for _, s := range r.Studies {
		if record.StudyFile(s.File) {
			c.others = append(c.others, other{s.Path(), s.SHA256, s.Line})
		}
	}
	for _, t := range l.Asides() {
		c.others = append(c.others, other{t.File, t.SHA256, t.Line})
	}
	slices.SortFunc(c.others, func(a, b other) int { return strings.Compare(a.name, b.name) })
	return c, nil
}

// WriteFile writes the archive of a site folder into a file, whole or not at
// all. The only file that it overwrites is an earlier archive.
func WriteFile(file string, folder fs.FS) (files int, err error) {
	if _, err := os.Lstat(file); err == nil {
		old, err := Open(file)
		if err != nil {
			return 0, &record.WriteError{Path: file, Err: errors.New("this file exists and is not an archive; choose another")}
		}
		old.Close()
	}
	c, err := named(folder)
	if err != nil {
		return 0, err
	}
	var a writer
	p, err := record.PrepareOutput(file, 0o644, func(w io.Writer) error {
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
	for _, name := range owners {
		if _, err := a.copy(name, mostFile); err != nil && !errors.Is(err, fs.ErrNotExist) {
			return err
		}
	}
	for _, n := range c.records {
		name := record.Path(n.ID)
		switch _, err := a.copy(name, mostFile); {
		case errors.Is(err, fs.ErrNotExist) && n.Needed > 0:
			return fmt.Errorf("%s is missing, which %s needs; see vouchmark audit", name, record.LineName(n.Needed))
		case err != nil && !errors.Is(err, fs.ErrNotExist):
			return err
		}
	}
	for _, o := range c.others {
		sum, err := a.copy(o.name, most(o.name))
		if err != nil {
			return err
		}
		if sum != o.sha256 {
			return fmt.Errorf("%s: its bytes do not match %s; see vouchmark audit", o.name, record.LineName(o.line))
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

// add adds a file, unless [Open] would refuse the archive because of it.
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
		return fmt.Errorf("%s is larger than %d MiB, the most that an archive takes of one file", name, most>>20)
	case a.bytes > mostArchive:
		return fmt.Errorf("the files of this folder are larger than %d MiB together, the most that an archive takes",
			mostArchive>>20)
	}
	a.files++
	return nil
}

// How large an archive and a file in it may be: far more than any plant needs,
// and no more than a machine can handle.
const (
	mostArchive = 4 << 30
	mostLedger  = 1 << 30
	mostFile    = record.MostRecord
)

// most is how many bytes an archive takes of a file.
func most(name string) int64 {
	switch {
	case name == record.LedgerFile, record.TornFile(name):
		return mostLedger
	case path.Dir(name) == record.StudiesFolder:
		return record.MostStudy
	}
	return mostFile
}

// Open opens an archive as a folder. It refuses a file that is not an archive,
// and an archive with files that do not belong in one.
func Open(file string) (*zip.ReadCloser, error) {
	info, err := os.Stat(file)
	if err != nil {
		return nil, err
	}
	if info.Size() > mostArchive {
		return nil, fmt.Errorf("%s is larger than an archive may be", file)
	}
	z, err := zip.OpenReader(file)
	if err != nil {
		return nil, fmt.Errorf("%s is not an archive made by vouchmark records export: %w", file, err)
	}
	z.RegisterDecompressor(zip.Deflate, inflater)
	err = sound(file, z.File)
	if err == nil {
		err = exactFile(file, info.Size(), z.File)
	}
	if err != nil {
		z.Close()
		return nil, err
	}
	return z, nil
}

func exactFile(file string, size int64, all []*zip.File) error {
	f, err := os.Open(file)
	if err != nil {
		return err
	}
	defer f.Close()
	if err := exact(f, size, all); err != nil {
		return fmt.Errorf("%s is not as vouchmark records export wrote it: %w", file, err)
	}
	return nil
}

// sound refuses files that do not belong in an archive.
func sound(file string, all []*zip.File) error {
	seen, total := map[string]bool{}, uint64(0)
	for _, f := range all {
		total += f.UncompressedSize64
		if !belongs(f.Name) || seen[f.Name] || !f.Mode().IsRegular() || f.UncompressedSize64 > uint64(most(f.Name)) || total > mostArchive {
			return fmt.Errorf("%s holds %q in a way that archives of records never do", file, f.Name)
		}
		seen[f.Name] = true
	}
	if !seen[record.LedgerFile] {
		return fmt.Errorf("%s has no %s: it is not an archive made by vouchmark records export", file, record.LedgerFile)
	}
	return nil
}

// belongs reports whether a file may be in an archive.
func belongs(name string) bool {
	if name == record.LedgerFile || record.TornFile(name) || slices.Contains(owners, name) {
		return true
	}
	if study, ok := strings.CutPrefix(name, record.StudiesFolder+"/"); ok {
		return record.StudyFile(study)
	}
	ok, _ := path.Match("records/[0-9a-f][0-9a-f]/*.json", name)
	return ok && !strings.Contains(name, "..")
}

// Import puts the ledger, the records and the other files that the ledger of a verified
// archive names into a site folder. It names the files that the folder lacked and that
// it brought, apart from records. It never brings trusted keys: whoever made the archive
// could have added a key to them.
func Import(from fs.FS, to *record.Store) (records int, brought []string, err error) {
	dir := to.Dir()
	c, err := named(from)
	if err != nil {
		return 0, nil, fmt.Errorf("the ledger of the archive: %w", err)
	}
	names, _ := fs.Glob(from, "records/??/*.json") // fails only for a bad pattern
	err = to.Extend(c.ledger, func() error {
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

// lacking are the other files that a folder lacks. One that it has with other
// bytes is refused before anything is written.
func lacking(c *contents, dir string) (lacks []string, err error) {
	for _, o := range c.others {
		data, err := os.ReadFile(filepath.Join(dir, filepath.FromSlash(o.name)))
		switch {
		case errors.Is(err, fs.ErrNotExist):
			lacks = append(lacks, o.name)
		case err != nil:
			return nil, err
		case record.SHA256(data) != o.sha256:
			return nil, fmt.Errorf("this folder has a different %s: nothing was changed; move that file away and run it again",
				o.name)
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
