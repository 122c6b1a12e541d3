package record

import (
	"bytes"
	"cmp"
	"fmt"
	"io/fs"
	"maps"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"vouchmark/testdata/suite"
)

// journal is what a disk has kept for certain, and what it was asked since and may lose in a
// power failure: POSIX promises the bytes of a file only after fsync of the file, and a name
// only after fsync of its folder; what was not promised may come in any order, or not at all.
type journal struct {
	root  string
	nodes []*node
	now   map[string]int // node of each name, as programs see it
	kept  map[string]int // for certain
	names []naming       // since, in order
	files map[*os.File]int
	ops   int
	after func() // called after each operation
}

// node is a file or a folder.
type node struct {
	folder bool
	kept   []byte   // for certain
	writes [][]byte // contents after each write since
}

// naming is a new name, a name taken away, or both at once in a rename.
type naming struct {
	dir, from, to string // from and to are "" for none
	node          int
}

// watch records what is done to a folder until the returned function is called.
func watch(t *testing.T, root string, after func()) (j *journal, stop func()) {
	t.Helper()
	j = &journal{root: root, now: map[string]int{}, files: map[*os.File]int{}, after: after}
	err := filepath.WalkDir(root, func(path string, d fs.DirEntry, err error) error {
		n := &node{folder: d.IsDir()}
		if !n.folder {
			n.kept, err = os.ReadFile(path)
		}
		j.now[path] = j.add(n)
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	j.kept = maps.Clone(j.now)
	sound, many := disk, writers
	writers = 1 // so that the operations have an order
	disk.mkdir = func(dir string, mode os.FileMode) error {
		err := sound.mkdir(dir, mode)
		if err == nil {
			j.name("", dir, j.add(&node{folder: true}))
		}
		return err
	}
	disk.openFile = func(path string, flag int, mode os.FileMode) (*os.File, error) {
		f, err := sound.openFile(path, flag, mode)
		return j.opened(f, path, err)
	}
	disk.createTemp = func(dir, pattern string) (*os.File, error) {
		f, err := sound.createTemp(dir, pattern)
		if err != nil {
			return nil, err
		}
		return j.opened(f, f.Name(), nil)
	}
	disk.openHidden = func(dir string) (*os.File, error) {
		f, err := sound.openHidden(dir)
		if err == nil {
			j.files[f] = j.add(&node{})
		}
		return f, err
	}
	disk.link = func(f *os.File, name string) error {
		err := sound.link(f, name)
		if err == nil {
			j.name("", name, j.files[f])
		}
		return err
	}
	disk.write = func(f *os.File, data []byte) (int, error) {
		n, err := sound.write(f, data)
		j.wrote(f)
		return n, err
	}
	disk.truncate = func(f *os.File, size int64) error {
		err := sound.truncate(f, size)
		j.wrote(f)
		return err
	}
	disk.sync = func(f *os.File) error { // only noted: the disk of the test has power
		j.sync(j.files[f], f.Name())
		return nil
	}
	disk.rename = func(from, to string) error {
		err := sound.rename(from, to)
		if err == nil {
			j.name(from, to, j.now[from])
		}
		return err
	}
	disk.remove = func(path string) error {
		err := sound.remove(path)
		if err == nil {
			j.name(path, "", 0)
		}
		return err
	}
	return j, func() { disk, writers = sound, many }
}

func (j *journal) add(n *node) int {
	j.nodes = append(j.nodes, n)
	return len(j.nodes) - 1
}

func (j *journal) did() {
	j.ops++
	j.after()
}

// name notes a change of names.
func (j *journal) name(from, to string, n int) {
	delete(j.now, from)
	if to != "" {
		j.now[to] = n
	}
	j.names = append(j.names, naming{filepath.Dir(cmp.Or(to, from)), from, to, n})
	j.did()
}

func (j *journal) opened(f *os.File, path string, err error) (*os.File, error) {
	if err != nil {
		return nil, err
	}
	n, known := j.now[path]
	if !known {
		n = j.add(&node{})
		j.name("", path, n)
	}
	j.files[f] = n
	return f, nil
}

// wrote notes the contents of a file after a write.
func (j *journal) wrote(f *os.File) {
	if data, err := os.ReadFile(f.Name()); err == nil {
		n := j.nodes[j.files[f]]
		n.writes = append(n.writes, data)
	}
	j.did()
}

// sync makes the bytes of a file, or the names in a folder, last.
func (j *journal) sync(i int, path string) {
	if n := j.nodes[i]; n.folder {
		j.names = slices.DeleteFunc(j.names, func(c naming) bool {
			if c.dir == path {
				c.on(j.kept)
			}
			return c.dir == path
		})
	} else if len(n.writes) > 0 {
		n.kept, n.writes = n.writes[len(n.writes)-1], nil
	}
	j.did()
}

func (c naming) on(names map[string]int) {
	delete(names, c.from)
	if c.to != "" {
		names[c.to] = c.node
	}
}

// cut makes a folder as a power failure now may leave it.
func (j *journal) cut(t *testing.T, rnd *rand.Rand) (dir string) {
	t.Helper()
	names := maps.Clone(j.kept)
	for _, c := range j.names {
		if rnd.IntN(2) == 0 {
			c.on(names)
		}
	}
	dir = t.TempDir()
	for _, path := range slices.Sorted(maps.Keys(names)) {
		n := j.nodes[names[path]]
		rel, _ := filepath.Rel(j.root, path)
		to := filepath.Join(dir, rel)
		if _, err := os.Stat(filepath.Dir(to)); err != nil {
			continue // its folder is lost
		}
		var err error
		if n.folder {
			err = os.MkdirAll(to, 0o755)
		} else {
			err = os.WriteFile(to, n.lost(rnd), 0o644)
		}
		if err != nil {
			t.Fatal(err)
		}
	}
	return dir
}

// lost is what a power failure may leave in a file: any earlier contents, the beginning of
// later ones, or their size with zeros in place of bytes.
func (n *node) lost(rnd *rand.Rand) []byte {
	i := rnd.IntN(len(n.writes) + 1)
	if i == 0 {
		return n.kept
	}
	data := slices.Clone(n.writes[i-1])
	same := 0 // what was there before is not written again
	for same < min(len(n.kept), len(data)) && n.kept[same] == data[same] {
		same++
	}
	switch from := same + rnd.IntN(len(data)-same+1); rnd.IntN(3) {
	case 0:
		return data[:from]
	case 1:
		copy(data[from:], bytes.Repeat([]byte{0}, len(data)-from))
	}
	return data
}

// Whatever a power failure at any moment loses of what the disk did not promise yet: records
// are whole, what lines vouch for is there, no line is lost that a command has reported, and
// the next writer puts the folder in order.
func TestPowerCut(t *testing.T) {
	tries := 2
	if suite.Exhaustive {
		tries = 40
	}
	cuts := 0
	for name, work := range works {
		t.Run(name, func(t *testing.T) {
			dir := t.TempDir()
			ruin(t, dir)
			seed := uint64(0)
			var j *journal
			check := func(reported *state) {
				for range tries {
					seed++
					cuts++
					rnd := rand.New(rand.NewPCG(seed, uint64(len(name))))
					what := fmt.Sprintf("operation %d, seed %d", j.ops, seed)
					j.survives(t, what, rnd, reported, name)
				}
			}
			j, stop := watch(t, dir, func() { check(nil) })
			err := work(t, dir)
			stop()
			if err != nil || j.ops < 8 {
				t.Fatalf("%d operations, %v", j.ops, err)
			}
			is := look(t, dir)
			check(&is)
		})
	}
	t.Logf("%d power failures", cuts)
}

// survives checks one power failure. reported is the folder when the work was reported as
// done; nil while it is not.
func (j *journal) survives(t *testing.T, what string, rnd *rand.Rand, reported *state, name string) {
	t.Helper()
	watched, many := disk, writers
	defer func() { disk, writers = watched, many }()
	disk = unwatched
	disk.sync = func(*os.File) error { return nil }
	dir := j.cut(t, rnd)
	is := look(t, dir)
	least := ruined
	if reported != nil {
		least = len(reported.ledger.Lines)
		if is.pdf != reported.pdf || is.log != reported.log {
			t.Errorf("%s: what was reported is lost", what)
		}
	}
	if len(is.ledger.Lines) < least {
		t.Errorf("%s: %d lines of %d", what, len(is.ledger.Lines), least)
	}
	if err := works[name](t, dir); err != nil && !strings.Contains(err.Error(), "already withdrawn") {
		t.Errorf("%s: the next writer: %v", what, err)
	}
	after := look(t, dir)
	if len(after.ledger.Lines) < len(is.ledger.Lines) || after.temps > 0 || len(after.ledger.Torn) > 0 || len(after.replay.Open) > 0 {
		t.Errorf("%s: after the next writer: %d lines, %d temporary files, %q, open: %v", what, len(after.ledger.Lines), after.temps,
			after.ledger.Torn, after.replay.Open)
	}
}

// unwatched is the disk itself.
var unwatched = disk
