package publish

import (
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"slices"
	"time"

	"github.com/gofrs/flock"

	"vouchmark/assess"
	"vouchmark/label/basis/page"
	"vouchmark/label/record"
)

const (
	markFile = "site.json"
	lockFile = ".publishing"
	patience = time.Minute
)

// mark identifies the site whose pages a folder holds.
type mark struct {
	Pages   string      `json:"pages"` // who made them
	Site    string      `json:"site"`
	Ledger  string      `json:"ledger"` // hash of its first line; "" for none yet
	Head    string      `json:"head"`   // of the last one
	Log     int         `json:"log"`    // entries of changes.toml, which only grows
	Checked assess.Date `json:"checked"`

	// Program is the SHA-256 of the program that made the files, and Files are those
	// pages by name. Folders published by older versions have neither.
	Program string          `json:"program,omitempty"`
	Files   map[string]made `json:"files,omitempty"`
}

// made is a page as it was made.
type made struct {
	Data   string `json:"data"`   // the page's digest
	SHA256 string `json:"sha256"` // of the file
}

const maker = "vouchmark"

func newMark(b *page.Book) mark {
	v := b.Shelf.Site
	m := mark{Pages: maker, Site: v.Site.Policy.Name, Head: v.History.Ledger.Head(), Checked: v.Today}
	m.Log = len(v.Site.Log.Changes) + len(v.Site.Log.Settlements) + len(v.Site.Log.Reviews)
	if lines := v.History.Ledger.Lines; len(lines) > 0 {
		m.Ledger = lines[0].Hash
	}
	return m
}

// ground is the folder that is written. Links that lead out of it are not
// followed.
type ground struct {
	dir  string
	root *os.Root
	lock *flock.Flock

	text []byte // of the mark that was read last
	last *mark
}

// take makes the folder, if needed, and keeps other writers out. It refuses a
// folder that holds anything but published pages.
func take(dir string) (*ground, error) {
	if err := os.Mkdir(dir, 0o755); err != nil && !errors.Is(err, fs.ErrExist) {
		return nil, &record.WriteError{Path: dir, Err: err}
	}
	root, err := os.OpenRoot(dir)
	if err != nil {
		return nil, &record.WriteError{Path: dir, Err: err}
	}
	g := &ground{dir: dir, root: root, lock: flock.New(filepath.Join(dir, lockFile))}
	if err := g.keep(); err != nil {
		root.Close()
		return nil, err
	}
	return g, nil
}

// keep locks a folder of published pages, or an empty one.
func (g *ground) keep() error {
	if _, err := g.mark(); err != nil {
		return err
	}
	if info, err := g.root.Lstat(lockFile); err == nil && !info.Mode().IsRegular() {
		return g.wrong(lockFile, errors.New("not a regular file; remove it"))
	}
	ctx, cancel := context.WithTimeout(context.Background(), patience)
	defer cancel()
	_, err := g.lock.TryLockContext(ctx, 50*time.Millisecond)
	if errors.Is(err, context.DeadlineExceeded) {
		err = errors.New("another process has been publishing into this folder for a minute")
	}
	return g.wrong("", err)
}

// wrong is an error of a file in the folder, "" for the folder itself; nil for no
// error.
func (g *ground) wrong(name string, err error) error {
	if err == nil {
		return nil
	}
	file := g.dir
	if name != "" {
		file = filepath.Join(g.dir, filepath.FromSlash(name))
	}
	return &record.WriteError{Path: file, Err: err}
}

func (g *ground) leave() {
	g.lock.Unlock()
	g.root.Close()
}

// mark is that of the pages in the folder; nil where it has none yet.
func (g *ground) mark() (*mark, error) {
	data, err := g.root.ReadFile(markFile)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, g.checkNew()
	}
	if err != nil {
		return nil, g.wrong(markFile, err)
	}
	if g.last != nil && bytes.Equal(data, g.text) { // of a large site it is large
		return g.last, nil
	}
	var m mark
	if json.Unmarshal(data, &m) != nil || m.Pages != maker {
		return nil, fmt.Errorf("%s has a %s that vouchmark did not write; choose a new folder", g.dir, markFile)
	}
	g.text, g.last = data, &m
	return &m, nil
}

// check refuses to overwrite the pages of another site, or of a later day or
// state of the same one: a withdrawn label must not hold again because an older
// copy of the folder was published.
func (g *ground) check(b *page.Book) error {
	old, err := g.mark()
	if err != nil || old == nil {
		return err
	}
	m, l := newMark(b), b.Shelf.Site.History.Ledger
	known := old.Ledger == "" ||
		slices.ContainsFunc(l.Lines, func(line record.Line) bool { return line.Hash == old.Head })
	switch {
	case old.Ledger != "" && old.Ledger != m.Ledger:
		return fmt.Errorf("%s holds the pages of %q, from another ledger; choose a separate folder for each site",
			g.dir, old.Site)
	case m.Checked.Before(old.Checked):
		return fmt.Errorf("the pages in %s were checked on %s, after %s; "+
			"publish with that date or a later one, or into another folder", g.dir, old.Checked, m.Checked)
	case !known || m.Log < old.Log:
		return fmt.Errorf("the pages in %s are from a later state of this site: the ledger or %s lacks entries that they show; "+
			"publish from the current folder, not from an older copy", g.dir, assess.ChangesFile)
	}
	return nil
}

// checkNew refuses a folder without a mark unless it is empty or holds the start
// of an interrupted publishing, or of one that another writer started a moment
// ago. That is why it looks for the lock only after it has found something.
func (g *ground) checkNew() error {
	f, err := g.root.Open(".")
	if err != nil {
		return g.wrong("", err)
	}
	defer f.Close()
	names, _ := f.Readdirnames(1)
	if len(names) == 0 {
		return nil
	}
	if _, err := g.root.Stat(lockFile); err == nil {
		return nil
	}
	return fmt.Errorf("%s holds other files, such as %s; choose a new folder or an empty one", g.dir, names[0])
}

// replace writes a file by renaming a temporary one, and makes the folders above
// it first. A file with the same bytes is left. A temporary file left by a crash
// is overwritten when its file is written.
func (g *ground) replace(name string, data []byte) (changed bool, err error) {
	if old, err := g.root.ReadFile(name); err == nil && bytes.Equal(old, data) {
		return false, nil
	}
	dir, base := path.Split(name)
	temp := dir + "." + base + ".tmp"
	if dir != "" {
		if err := g.root.MkdirAll(path.Clean(dir), 0o755); err != nil {
			return false, g.wrong(name, err)
		}
	}
	if err = g.root.WriteFile(temp, data, 0o644); err == nil {
		err = g.root.Rename(temp, name)
	}
	if err != nil {
		g.root.Remove(temp)
	}
	return err == nil, g.wrong(name, err)
}

// hash is the size of a file, and its SHA-256 as text.
func (g *ground) hash(name string, buf []byte) (size int64, sum string, err error) {
	f, err := g.root.Open(name)
	if err != nil {
		return 0, "", err
	}
	defer f.Close()
	return sumOf(f, buf)
}

func sumOf(r io.Reader, buf []byte) (size int64, sum string, err error) {
	h := sha256.New()
	size, err = io.CopyBuffer(h, struct{ io.Reader }{r}, buf)
	return size, hex.EncodeToString(h.Sum(nil)), err
}

// list is what a folder holds: nothing where it does not exist.
func (g *ground) list(name string) ([]fs.DirEntry, error) {
	entries, err := fs.ReadDir(g.root.FS(), name)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	return entries, g.wrong(name, err)
}
