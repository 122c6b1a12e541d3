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
	"vouchmark/assess/infile"
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
	data, err := infile.Read(folder, record.LedgerFile, record.MostLedger)
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
	a, p, err := prepare(file, folder, c, zip.Deflate)
	if err == nil && a.bytes > most.unpacked(a.packed) { // which [Open] would take for a trap
		p.Discard()
		a, p, err = prepare(file, folder, c, zip.Store)
	}
	if err != nil {
		return 0, err
	}
	return a.files, p.Commit()
}

// prepare writes an archive to a temporary file.
func prepare(file string, folder fs.FS, c *contents, method uint16) (a *writer, p *record.Pending, err error) {
	p, err = record.PrepareOutput(file, 0o644, func(w io.Writer) error {
		b := bufio.NewWriterSize(w, 1<<16)
		a = &writer{folder: folder, method: method}
		a.zip = zip.NewWriter(io.MultiWriter(b, &a.packed))
		if err := a.all(c); err != nil {
			return err
		}
		return errors.Join(a.zip.Close(), b.Flush())
	})
	return a, p, err
}

// writer is an archive that is being written.
type writer struct {
	zip    *zip.Writer
	folder fs.FS
	method uint16
	files  int
	bytes  int64 // of the files
	packed count // of the archive
}

// count counts the bytes that are written to it.
type count int64

func (c *count) Write(data []byte) (int, error) {
	*c += count(len(data))
	return len(data), nil
}

func (a *writer) all(c *contents) error {
	if err := a.add(record.LedgerFile, bytes.NewReader(c.ledger)); err != nil {
		return err
	}
	for _, name := range owners {
		if _, err := a.copy(name); err != nil && !errors.Is(err, fs.ErrNotExist) {
			return err
		}
	}
	for _, n := range c.records {
		name := record.Path(n.ID)
		switch _, err := a.copy(name); {
		case errors.Is(err, fs.ErrNotExist) && n.Needed > 0:
			return fmt.Errorf("%s is missing, which %s needs; see vouchmark audit", name, record.LineName(n.Needed))
		case err != nil && !errors.Is(err, fs.ErrNotExist):
			return err
		}
	}
	for _, o := range c.others {
		sum, err := a.copy(o.name)
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
func (a *writer) copy(name string) (sum string, err error) {
	f, err := infile.Open(a.folder, name, most.of(name))
	if err != nil {
		return "", err
	}
	defer f.Close()
	h := sha256.New()
	err = a.add(name, io.TeeReader(f, h))
	return hex.EncodeToString(h.Sum(nil)), err
}

// add adds a file, unless [Open] would refuse the archive because of it.
func (a *writer) add(name string, from io.Reader) error {
	w, err := a.zip.CreateHeader(&zip.FileHeader{Name: name, Method: a.method, Modified: written})
	if err != nil {
		return err
	}
	n, err := io.Copy(w, from)
	a.bytes += n
	a.files++
	switch {
	case err != nil:
		return err
	case a.bytes > most.total:
		return fmt.Errorf("the files of this folder are larger than %s together, the most that an archive takes",
			infile.Size(most.total))
	case a.files > most.files:
		return fmt.Errorf("this folder has more than %d files, the most that an archive takes", most.files)
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
			data, err := infile.Read(from, name, most.of(name))
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
		data, err := infile.ReadPath(filepath.Join(dir, filepath.FromSlash(o.name)), most.of(o.name))
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
	data, err := infile.Read(from, name, most.of(name))
	if err != nil {
		return err
	}
	return record.Place(dir, name, data)
}
