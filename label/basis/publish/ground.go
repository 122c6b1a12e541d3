package publish

import (
	"cmp"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"time"

	"github.com/gofrs/flock"

	"vouchmark/label/basis/page"
	"vouchmark/label/record"
)

const (
	lockFile = ".publishing"
	patience = time.Minute
)

// ground is the folder that is written. Links that lead out of it are not
// followed.
type ground struct {
	dir  string
	root *os.Root
	lock *flock.Flock
	new  *batch

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
	if _, err := g.noted(); err != nil {
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
	if of := (*nameError)(nil); errors.As(err, &of) {
		name = of.name
	}
	file := g.dir
	if name != "" {
		file = filepath.Join(g.dir, filepath.FromSlash(name))
	}
	return &record.WriteError{Path: file, Err: err}
}

func (g *ground) leave() {
	if g.new != nil {
		g.new.leave()
	}
	g.lock.Unlock()
	g.root.Close()
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

// put writes a file with the next batch. A file with the same bytes is left.
func (g *ground) put(f *file) (size int64, changed bool, err error) {
	changed, err = g.new.put(f.name, f.data)
	return int64(len(f.data)), changed, g.wrong(f.name, err)
}

func (g *ground) atOnce() int { return 1 } // a batch asks the disk for all of its files at once

// flush puts all files that were written in their places, and makes them last.
func (g *ground) flush() error { return g.wrong("", g.new.flush()) }

// open opens a file or a folder to read it.
func (g *ground) open(name string) (*os.File, error) {
	if g.new != nil && g.new.whole != nil {
		if f := openBelow(g.new.whole, name); f != nil {
			return f, nil
		}
	}
	return g.root.Open(name)
}

// hash is the size of a file, and its SHA-256 as text.
func (g *ground) hash(name string, buf []byte) (size int64, sum string, err error) {
	f, err := g.open(stored(name))
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

// kept reads and hashes every file each time, since size and time do not prove its bytes.
func (g *ground) kept(p *page.Page, data string) (m made, size int64, ok bool) {
	m = g.known()[p.Name]
	if m.Data != data {
		return m, 0, false
	}
	buf := buffers.Get().(*[]byte)
	defer buffers.Put(buf)
	size, sum, err := g.hash(p.Name, *buf)
	return m, size, err == nil && sum == m.SHA256
}

// known are the pages in the folder that this program made, as the mark says.
func (g *ground) known() map[string]made {
	if m := g.last; m != nil && m.Program != "" && m.Program == program() {
		return m.Files
	}
	return nil
}

func (g *ground) below(folder string) (all []entry, err error) {
	f, err := g.open(folder)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	if err != nil {
		return nil, g.wrong(folder, err)
	}
	defer f.Close()
	entries, err := f.ReadDir(-1)
	for _, e := range entries {
		all = append(all, entry{e.Name(), e.IsDir()})
	}
	slices.SortFunc(all, func(a, b entry) int { return cmp.Compare(a.name, b.name) })
	return all, g.wrong(folder, err)
}

func (g *ground) stored(name string) string { return stored(name) }

func (g *ground) begin(m *mark) ([]page.File, error) { return m.file(headFile) }

func (g *ground) end(m *mark, pages map[string]made) ([]page.File, error) {
	if m.Program != "" {
		m.Files = pages
	}
	return m.file(markFile)
}

func (g *ground) done() error { return nil }
