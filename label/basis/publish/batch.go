package publish

import (
	"bytes"
	"fmt"
	"os"
	"path"
	"runtime"
	"sync"
)

// Files are written in batches: all under temporary names, then made to last, then moved into their places, which
// is made to last too. So no name ever leads to bytes that a power failure could take, and a batch costs little
// more than not asking the disk at all. What failed to last is never asked for again: publishing starts over with
// new files.

const (
	// newFolder has the files that are not yet in their places. What a crash left in it is removed by the next
	// publishing.
	newFolder = ".publishing.new"
	mostNew   = 10000 // files in a batch
	syncers   = 16    // files that wait for the disk at once, where each is asked for
)

// batch is the files that are written and not yet in their places.
type batch struct {
	root  *os.Root
	whole *os.File // see operations.whole

	mu      sync.Mutex
	next    int
	waiting []staged
	there   map[string]bool // folders that were made or seen
}

// staged is a file of a batch. It has no temporary name where the file is there already.
type staged struct{ temp, name string }

func newBatch(root *os.Root) (*batch, error) {
	b := &batch{root: root, whole: disk.whole(root), there: map[string]bool{}} // before the first write
	if err := disk.remove(root, newFolder); err != nil {
		return nil, err
	}
	return b, nil
}

// put adds a file. One with the same bytes is left.
func (b *batch) put(name string, data []byte) (changed bool, err error) {
	name = stored(name)
	old, err := b.root.ReadFile(name)
	if changed = err != nil || !bytes.Equal(old, data); !changed {
		return false, b.stage(staged{name: name})
	}
	b.mu.Lock()
	b.next++
	temp := fmt.Sprintf("%s/%d.tmp", newFolder, b.next)
	err = b.folder(newFolder)
	b.mu.Unlock()
	if err != nil {
		return false, err
	}
	f, err := disk.create(b.root, temp)
	if err != nil {
		return false, err
	}
	_, err = disk.write(f, data)
	if e := disk.close(f); err == nil {
		err = e
	}
	if err != nil {
		return false, err
	}
	return true, b.stage(staged{temp, name})
}

func (b *batch) stage(s staged) error {
	b.mu.Lock()
	defer b.mu.Unlock()
	if b.waiting = append(b.waiting, s); len(b.waiting) < mostNew {
		return nil
	}
	return b.place()
}

// flush moves all files of the batch into their places. They last when it returns nil.
func (b *batch) flush() error {
	b.mu.Lock()
	defer b.mu.Unlock()
	return b.place()
}

func (b *batch) place() error {
	all := b.waiting
	b.waiting = nil
	if err := b.lastFiles(all); err != nil {
		return err
	}
	moved := false
	for _, s := range all {
		if s.temp == "" {
			continue
		}
		moved = true
		if err := b.folder(path.Dir(s.name)); err != nil {
			return &nameError{s.name, err}
		}
		if err := disk.rename(b.root, s.temp, s.name); err != nil {
			return &nameError{s.name, err}
		}
	}
	if !moved && b.whole != nil {
		return nil
	}
	return b.lastNames(all)
}

// folder makes a folder, unless it is there.
func (b *batch) folder(name string) error {
	if b.there[name] {
		return nil
	}
	if err := disk.mkdir(b.root, name); err != nil {
		return err
	}
	b.there[name] = true
	return nil
}

// lastFiles makes the bytes of files last. Those that are there already count too: a publishing that was
// interrupted may have put them there.
func (b *batch) lastFiles(all []staged) error {
	if len(all) == 0 {
		return nil
	}
	if b.whole != nil {
		return disk.syncAll(b.whole)
	}
	return eachOf(syncers, len(all), func(i int) error {
		name := all[i].name
		if all[i].temp != "" {
			name = all[i].temp
		}
		if err := disk.sync(b.root, name, false); err != nil {
			return &nameError{all[i].name, err}
		}
		return nil
	}, nil)
}

// lastNames makes the names of files last, and those of the folders above them.
func (b *batch) lastNames(all []staged) error {
	if b.whole != nil {
		return disk.syncAll(b.whole)
	}
	if runtime.GOOS == "windows" { // a folder cannot be synced there
		return nil
	}
	var dirs []string
	seen := map[string]bool{}
	for _, s := range all {
		for dir := path.Dir(s.name); !seen[dir]; dir = path.Dir(dir) {
			seen[dir] = true
			dirs = append(dirs, dir)
		}
	}
	return eachOf(syncers, len(dirs), func(i int) error {
		if err := disk.sync(b.root, dirs[i], true); err != nil {
			return &nameError{dirs[i], err}
		}
		return nil
	}, nil)
}

// leave drops what is not in its place.
func (b *batch) leave() {
	disk.remove(b.root, newFolder)
	if b.whole != nil {
		b.whole.Close()
	}
}

// nameError is an error of a file that is known by the name of its place.
type nameError struct {
	name string
	err  error
}

func (e *nameError) Error() string { return e.name + ": " + e.err.Error() }
func (e *nameError) Unwrap() error { return e.err }
