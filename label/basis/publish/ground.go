package publish

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
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

// mark tells whose pages a folder holds.
type mark struct {
	Pages   string      `json:"pages"` // who made them
	Site    string      `json:"site"`
	Ledger  string      `json:"ledger"` // hash of its first line; "" for none yet
	Head    string      `json:"head"`   // of the last one
	Log     int         `json:"log"`    // entries of changes.toml, which is only appended to
	Checked assess.Date `json:"checked"`
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

// ground is the folder that is written. It is never left: no link in it is
// followed out of it.
type ground struct {
	dir  string
	root *os.Root
	lock *flock.Flock
}

// take makes the folder, if it is not there, and keeps other writers off. It
// refuses a folder that holds anything but published pages.
func take(dir string) (*ground, error) {
	if err := os.Mkdir(dir, 0o755); err != nil && !errors.Is(err, fs.ErrExist) {
		return nil, &record.WriteError{Path: dir, Err: err}
	}
	root, err := os.OpenRoot(dir)
	if err != nil {
		return nil, &record.WriteError{Path: dir, Err: err}
	}
	g := &ground{dir, root, flock.New(filepath.Join(dir, lockFile))}
	if err := g.keep(); err != nil {
		root.Close()
		return nil, err
	}
	return g, nil
}

// keep locks a folder of published pages, or of nothing.
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
		err = errors.New("another process has been publishing into it for a minute")
	}
	return g.wrong("", err)
}

// wrong is an error of a file in the folder, "" for the folder itself; nil where
// there is none.
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

// mark is that of the pages in the folder; nil where there are none yet.
func (g *ground) mark() (*mark, error) {
	data, err := g.root.ReadFile(markFile)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, g.checkNew()
	}
	if err != nil {
		return nil, g.wrong(markFile, err)
	}
	var m mark
	if json.Unmarshal(data, &m) != nil || m.Pages != maker {
		return nil, fmt.Errorf("%s holds a %s that vouchmark did not write; name a folder of its own", g.dir, markFile)
	}
	return &m, nil
}

// check refuses to write a book over pages of another site, or of a later day
// or state of the same one: a label that was withdrawn must not hold again
// because an older copy of the folder was published.
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
		return fmt.Errorf("%s holds the pages of %q, of another ledger; name a folder of its own for each site",
			g.dir, old.Site)
	case m.Checked.Before(old.Checked):
		return fmt.Errorf("the pages in %s were checked on %s, after %s; "+
			"publish with that day or a later one, or into another folder", g.dir, old.Checked, m.Checked)
	case !known || m.Log < old.Log:
		return fmt.Errorf("the pages in %s are of a later state of this site: its ledger or its %s lacks what they know; "+
			"publish from the folder that is written to, not from an older copy", g.dir, assess.ChangesFile)
	}
	return nil
}

// checkNew refuses a folder without a mark that holds anything but the
// beginning of a publishing that was interrupted, or that another writer started
// a moment ago: so it looks for the lock after it has found something.
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
	return fmt.Errorf("%s holds other files, such as %s; name a new folder or an empty one", g.dir, names[0])
}

// replace makes the folders above a file and moves it into place by renaming, unless it
// is already there with the same bytes. A temporary file that a crash left is
// overwritten when its file is written.
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

// list is what a folder holds: nothing where it is not there.
func (g *ground) list(name string) ([]fs.DirEntry, error) {
	entries, err := fs.ReadDir(g.root.FS(), name)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	return entries, g.wrong(name, err)
}
