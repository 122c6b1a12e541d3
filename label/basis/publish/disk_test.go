package publish

import (
	"bytes"
	"errors"
	"io/fs"
	"maps"
	"math/rand/v2"
	"os"
	"path"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"sync"
	"syscall"
	"testing"

	"vouchmark/label/basis/page"
	"vouchmark/testdata/suite"
)

// realDisk is the disk; the tests in general do not wait for it: its power does not fail.
var realDisk = disk

func TestMain(m *testing.M) {
	disk.sync = func(*os.Root, string, bool) error { return nil }
	disk.syncAll = func(*os.File) error { return nil }
	os.Exit(m.Run())
}

// Both ways work on the disk of this machine.
func TestRealDisk(t *testing.T) {
	b := book(t, invented(t, 1), "2026-05-01")
	test := disk
	defer func() { disk = test }()
	for way, each := range ways {
		disk = realDisk
		if each {
			disk.whole = func(*os.Root) *os.File { return nil }
		}
		public := filepath.Join(t.TempDir(), "public")
		if s, err := Write(public, of(b), nil); err != nil || s.Written == 0 {
			t.Errorf("%s: %+v, %v", way, s, err)
		}
	}
	if f := wholeOf(t, t.TempDir()); runtime.GOOS == "linux" && f == nil {
		t.Error("this system makes all of a disk last at once, and it is not used")
	}
}

func wholeOf(t *testing.T, dir string) *os.File {
	root, err := os.OpenRoot(dir)
	if err != nil {
		t.Fatal(err)
	}
	f := realDisk.whole(root)
	t.Cleanup(func() { f.Close(); root.Close() })
	return f
}

// op is one operation on the disk.
type op struct {
	kind, name, to string
	data           []byte
	failed         bool
}

// watched notes every operation on the disk, and makes the n-th fail, from 1; with 0 none fails.
type watched struct {
	mu   sync.Mutex
	n    int
	err  error
	seen []op
}

func (w *watched) next(o op) error {
	w.mu.Lock()
	defer w.mu.Unlock()
	o.failed = len(w.seen)+1 == w.n
	w.seen = append(w.seen, o)
	if o.failed {
		return &fs.PathError{Op: o.kind, Path: o.name, Err: w.err}
	}
	return nil
}

// watch replaces the disk until the returned function is called. each says that the system has no way to make all of a disk
// last at once.
func (w *watched) watch(t *testing.T, each bool) (mend func()) {
	sound := disk
	disk.mkdir = func(root *os.Root, name string) error {
		if err := w.next(op{kind: "mkdir", name: name}); err != nil {
			return err
		}
		return sound.mkdir(root, name)
	}
	disk.create = func(root *os.Root, name string) (*os.File, error) {
		if err := w.next(op{kind: "create", name: name}); err != nil {
			return nil, err
		}
		return sound.create(root, name)
	}
	disk.write = func(f *os.File, data []byte) (int, error) {
		name := newFolder + "/" + filepath.Base(f.Name())
		if err := w.next(op{kind: "write", name: name, data: data}); err != nil {
			n, _ := sound.write(f, data[:len(data)/2])
			return n, err
		}
		return sound.write(f, data)
	}
	disk.close = func(f *os.File) error {
		err := w.next(op{kind: "close", name: newFolder + "/" + filepath.Base(f.Name())})
		if e := sound.close(f); err == nil {
			err = e
		}
		return err
	}
	disk.rename = func(root *os.Root, from, to string) error {
		if err := w.next(op{kind: "rename", name: from, to: to}); err != nil {
			return err
		}
		return sound.rename(root, from, to)
	}
	disk.remove = func(root *os.Root, name string) error {
		if err := w.next(op{kind: "remove", name: name}); err != nil {
			return err
		}
		return sound.remove(root, name)
	}
	disk.sync = func(root *os.Root, name string, dir bool) error {
		kind := "sync"
		if dir {
			kind = "sync folder"
		}
		if err := w.next(op{kind: kind, name: name}); err != nil {
			return err
		}
		_, err := root.Stat(name) // it must be there; the real disk would be slow
		return err
	}
	disk.whole = func(root *os.Root) *os.File {
		w.next(op{kind: "open whole"})
		if each {
			return nil
		}
		f, err := root.Open(".")
		if err != nil {
			t.Error(err)
		}
		return f
	}
	disk.syncAll = func(*os.File) error { return w.next(op{kind: "sync all"}) }
	return func() { disk = sound }
}

// ways are the two ways to make files last.
var ways = map[string]bool{"all of the disk": false, "file by file": true}

// power is a disk as it may be after its power failed: what was made to last, and what may be lost or not.
type power struct {
	data, dataLast map[string][]byte // of temporary files
	last           map[string][]byte // files under their names that nothing can take
	maybe          []op              // renames that may be lost, in any order, each one by itself
}

func newPower(files map[string][]byte) *power {
	return &power{data: map[string][]byte{}, dataLast: map[string][]byte{}, last: maps.Clone(files)}
}

func (p *power) do(t *testing.T, o op) {
	switch o.kind {
	case "write":
		p.data[o.name] = append(p.data[o.name], o.data...)
	case "rename":
		p.maybe = append(p.maybe, o)
	case "sync":
		if data, ok := p.data[o.name]; ok {
			p.dataLast[o.name] = data
		}
	case "sync all":
		maps.Copy(p.dataLast, p.data)
		for _, m := range p.maybe {
			p.settle(t, m)
		}
		p.maybe = nil
	case "sync folder":
		p.maybe = slices.DeleteFunc(p.maybe, func(m op) bool {
			if path.Dir(m.to) != o.name {
				return false
			}
			p.settle(t, m)
			return true
		})
	}
}

func (p *power) settle(t *testing.T, m op) {
	data, ok := p.dataLast[m.name]
	if !ok {
		t.Errorf("%s gets its name before its bytes last", m.to)
	}
	p.last[m.to] = data
}

// fail is what a disk may have after its power failed.
func (p *power) fail(t *testing.T, r *rand.Rand) map[string][]byte {
	files := maps.Clone(p.last)
	for _, m := range p.maybe {
		if _, ok := p.dataLast[m.name]; !ok {
			t.Errorf("%s gets its name before its bytes last", m.to)
		}
		if r.IntN(2) == 0 {
			files[m.to] = p.dataLast[m.name]
		}
	}
	return files
}

// files are those of a folder, but the lock.
func files(t *testing.T, dir string) map[string][]byte {
	t.Helper()
	all := map[string][]byte{}
	for name := range tree(t, dir) {
		data, err := os.ReadFile(filepath.Join(dir, name))
		if err != nil {
			t.Fatal(err)
		}
		all[filepath.ToSlash(name)] = data
	}
	delete(all, lockFile)
	return all
}

// lay writes files into a new folder.
func lay(t *testing.T, all map[string][]byte) string {
	t.Helper()
	dir := filepath.Join(t.TempDir(), "public")
	for name, data := range all {
		file := filepath.Join(dir, filepath.FromSlash(name))
		if err := os.MkdirAll(filepath.Dir(file), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(file, data, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	if err := os.MkdirAll(dir, 0o755); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(dir, lockFile), nil, 0o644); err != nil {
		t.Fatal(err)
	}
	return dir
}

// Wherever the power fails, and whatever of what was not asked to last is lost: every file is whole, the state
// is noted before any page of it is there, the day comes after all pages that it is the day of, what is known of
// the pages after them, and the next publishing finishes.
func TestPowerFails(t *testing.T) {
	dir := invented(t, 3)
	public := filepath.Join(t.TempDir(), "public")
	if _, err := Write(public, of(book(t, dir, "2026-05-01")), nil); err != nil {
		t.Fatal(err)
	}
	old := files(t, public)
	if err := os.WriteFile(filepath.Join(dir, "changes.toml"),
		[]byte("[[change]]\ndate = 2026-05-01\nat = \"REP-TX3\"\nkind = \"fuse replaced\"\nby = \"A. Sample\"\n"), 0o644); err != nil {
		t.Fatal(err)
	}
	next := book(t, dir, "2026-05-02")
	for way, each := range ways {
		for what, before := range map[string]map[string][]byte{"first": {}, "again": old} {
			t.Run(what+", "+way, func(t *testing.T) {
				public := lay(t, before)
				var w watched
				mend := w.watch(t, each)
				_, err := Write(public, of(next), nil)
				mend()
				if err != nil {
					t.Fatal(err)
				}
				after := files(t, public)
				if w.seen[0].kind != "open whole" {
					t.Errorf("the disk is opened after %s", w.seen[0].kind)
				}
				p, r := newPower(before), rand.New(rand.NewPCG(1, 2))
				for i, o := range w.seen {
					p.do(t, o)
					tries := 3
					if o.kind == "rename" {
						tries = 10
					}
					for range tries {
						left := p.fail(t, r)
						wholeOrOld(t, left, before, after)
						if i%97 == 0 || suite.Exhaustive && i%7 == 0 || o.to == headFile || o.to == dayFile || o.to == markFile {
							finish(t, left, after, next)
						}
					}
				}
				if left := p.fail(t, r); len(p.maybe) > 0 || !same(left, after) {
					t.Errorf("%d names may be lost when it says that all is well", len(p.maybe))
				}
			})
		}
	}
}

func same(a, b map[string][]byte) bool { return maps.EqualFunc(a, b, bytes.Equal) }

// wholeOrOld checks what a power failure left.
func wholeOrOld(t *testing.T, left, before, after map[string][]byte) {
	t.Helper()
	is := func(name string, all map[string][]byte) bool {
		return left[name] != nil && bytes.Equal(left[name], all[name])
	}
	var day, start, mark bool
	for name := range left {
		switch isNew := is(name, after); {
		case !isNew && !is(name, before):
			t.Errorf("%s is neither old nor new", name)
		case !isNew || is(name, before):
		case name == dayFile:
			day = true
		case name == "index.html":
			start = true
		case name == markFile:
			mark = true
		}
		if is(name, after) && !is(name, before) && !is(headFile, after) {
			t.Errorf("%s is there before the state is noted", name)
		}
	}
	for name := range after {
		own := name == dayFile || name == "index.html" || name == markFile
		if (day || start || mark) && !own && !is(name, after) {
			t.Errorf("the day or the start page lasts before %s", name)
		}
		if mark && !is(name, after) {
			t.Errorf("the pages are known before %s lasts", name)
		}
	}
}

// finish publishes again into what is left.
func finish(t *testing.T, left, after map[string][]byte, b *page.Book) {
	t.Helper()
	public := lay(t, left)
	if _, err := Write(public, of(b), nil); err != nil {
		t.Error(err)
	}
	if got := files(t, public); !same(got, after) {
		t.Errorf("publishing again gives %d files, some of them others than the %d that it should", len(got), len(after))
	}
}

// Whichever operation fails: the error names a file of the folder, what failed to last is never asked for again
// nor given its name, no temporary file is left, and the next publishing finishes.
func TestDiskFails(t *testing.T) {
	b := book(t, invented(t, 1), "2026-05-01")
	for way, each := range ways {
		t.Run(way, func(t *testing.T) {
			public := filepath.Join(t.TempDir(), "public")
			var all watched
			mend := all.watch(t, each)
			_, err := Write(public, of(b), nil)
			mend()
			if err != nil {
				t.Fatal(err)
			}
			after := files(t, public)
			last := len(all.seen) - 1 // the removal of an empty folder: nothing depends on it
			for n := 2; n <= last; n++ {
				if o := all.seen[n-1]; !suite.Exhaustive && o.kind != "sync all" && n%11 != 0 {
					continue
				}
				w := watched{n: n, err: syscall.EIO}
				public := lay(t, nil)
				mend := w.watch(t, each)
				_, err := Write(public, of(b), nil)
				mend()
				failed := w.seen[n-1]
				if !errors.Is(err, syscall.EIO) || strings.Contains(err.Error(), ".tmp") || !strings.Contains(err.Error(), "cannot write "+public) {
					t.Errorf("%s %s fails: %v", failed.kind, failed.name, err)
				}
				for _, o := range w.seen[n:] {
					if strings.HasPrefix(failed.kind, "sync") && (o.kind == "rename" || o.kind == "sync all" || o.kind == failed.kind && o.name == failed.name) {
						t.Errorf("after %s failed: %s %s", failed.kind, o.kind, o.name)
					}
				}
				left := files(t, public)
				for name := range left {
					if !bytes.Equal(left[name], after[name]) {
						t.Errorf("%s %s fails: %s is left", failed.kind, failed.name, name)
					}
				}
				finish(t, left, after, b)
			}
		})
	}
}

// A publishing that was killed leaves files that no name leads to; the next one removes them.
func TestKilledPublishing(t *testing.T) {
	b := book(t, invented(t, 1), "2026-05-01")
	public := lay(t, map[string][]byte{newFolder + "/17.tmp": []byte("half a pa")})
	if _, err := Write(public, of(b), nil); err != nil {
		t.Fatal(err)
	}
	if _, err := os.Lstat(filepath.Join(public, newFolder)); err == nil {
		t.Error("it is still there")
	}
}

// Many files are made to last at once: what a publishing asks of the disk does not grow with the labels.
func TestSyncsAreFew(t *testing.T) {
	public := filepath.Join(t.TempDir(), "public")
	var w watched
	mend := w.watch(t, false)
	_, err := Write(public, of(book(t, invented(t, 30), "2026-05-01")), nil)
	mend()
	n := 0
	for _, o := range w.seen {
		if o.kind == "sync all" {
			n++
		}
	}
	if err != nil || n != 10 { // the state; what all share; all pages; the day and the start page; what is known of them: twice each
		t.Errorf("%d times for 100 files, %v", n, err)
	}
}
