package record

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"reflect"
	"regexp"
)

// Half a line at the end of the ledger is what a crash left of a line that was never
// confirmed, or what somebody left who cut off the end: nothing in it shows which. So the next
// writer keeps it in a file of its own, named by the number that the line would have had and
// by its hash, and notes that in the ledger. A crash between two of these steps does no harm:
// the next writer finds either the half line or a file that no line names.

// tornName is the name of a file with half a line.
var tornName = regexp.MustCompile(`^ledger\.torn-[1-9][0-9]{0,8}-[0-9a-f]{12}$`)

const (
	tornFiles   = "ledger.torn-*"
	tornDigits  = 12 // of the hash in the name
	mostExcerpt = 100
)

// TornFile reports whether a file has the name of half a line that a writer moved there:
// ledger.torn-13-1b2c3d4e5f60 for what followed line 12, with the beginning of its SHA-256.
func TornFile(name string) bool { return tornName.MatchString(name) }

// TornName is the name of a file for half a line, given the number of the line and its bytes.
func TornName(number int, half []byte) string {
	return fmt.Sprintf("ledger.torn-%d-%s", number, SHA256(half)[:tornDigits])
}

// Aside is a file with half a line that a line of the ledger notes.
type Aside struct {
	Stored
	Line int // number of the line that notes it
}

// Asides are the files with half a line that the ledger notes.
func (l *Ledger) Asides() (all []Aside) {
	for i := range l.Lines {
		if line := &l.Lines[i]; line.Kind == Torn && line.tears() {
			all = append(all, Aside{*line.Torn, i + 1})
		}
	}
	return all
}

// tears reports whether a line notes a file with half a line and says nothing else.
func (l *Line) tears() bool {
	only := Line{Schema: l.Schema, Kind: l.Kind, Date: l.Date, Torn: l.Torn, Prev: l.Prev, Hash: l.Hash}
	return reflect.DeepEqual(*l, only) && l.Torn.named()
}

// named reports whether the name of a file with half a line is that of its bytes.
func (s *Stored) named() bool {
	return s != nil && TornFile(s.File) && isSHA256(s.SHA256) && s.File[len(s.File)-tornDigits:] == s.SHA256[:tornDigits] && s.Bytes > 0
}

// setAside copies half a line into a file, then cuts it off the ledger.
func (w *writer) setAside(s *Store) error {
	f, err := preparePlace(s.dir, TornName(len(w.Lines)+1, w.Torn), w.Torn)
	if err == nil && f != nil {
		err = f.Commit()
	}
	if err == nil {
		err = disk.truncate(w.file, w.size)
	}
	if err == nil {
		w.Torn = nil
	}
	return err
}

// noteAside notes the files with half a line that no line names yet.
func (w *writer) noteAside(s *Store) error {
	files, err := filepath.Glob(filepath.Join(s.dir, tornFiles))
	if err != nil || len(files) == 0 {
		return err
	}
	known := map[string]bool{}
	for _, a := range w.Asides() {
		known[a.File] = true
	}
	for _, path := range files {
		if known[filepath.Base(path)] {
			continue
		}
		file, begins, err := readTorn(path)
		if err != nil {
			return err
		}
		if !file.named() {
			continue // it is not what a writer left
		}
		line := Line{Kind: Torn, Torn: file}
		if n := len(w.Lines); n > 0 {
			line.Date = w.Lines[n-1].Date
		}
		if _, err := w.append(line); err != nil {
			return err
		}
		s.say("%s ended in half a line, which is now in %s: a command was stopped while it wrote, or somebody cut off the end. "+
			"Look at it: if it says that a label was withdrawn, mounted or removed, or anything else that you rely on, enter that again. "+
			"It begins with %q", LedgerFile, file.File, begins)
	}
	return nil
}

// readTorn reads a file with half a line: what it is, and how it begins.
func readTorn(path string) (*Stored, []byte, error) {
	file := &Stored{File: filepath.Base(path)}
	if info, err := os.Lstat(path); err != nil || !info.Mode().IsRegular() {
		return file, nil, err
	}
	f, err := os.Open(path)
	if err != nil {
		return nil, nil, err
	}
	defer f.Close()
	h, begins := sha256.New(), &bytes.Buffer{}
	n, err := io.CopyN(io.MultiWriter(h, begins), f, mostExcerpt)
	if err == nil {
		var more int64
		more, err = io.Copy(h, f)
		n += more
	}
	if err == io.EOF {
		err = nil
	}
	file.SHA256, file.Bytes = hex.EncodeToString(h.Sum(nil)), n
	return file, begins.Bytes(), err
}
