package record

import (
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
)

// fault makes the n-th operation on the disk fail, from 1; with 0 none fails.
type fault struct {
	n      int
	err    error
	half   bool // a failing write has written half
	onward bool // all later ones fail too, as on a full disk
	die    bool // the process is killed instead

	seen []string // the operations so far
}

func (f *fault) String() string {
	s := fmt.Sprintf("operation %d: %v", f.n, f.err)
	if f.half {
		s += ", half written"
	}
	if f.onward {
		s += ", and all after it"
	}
	return s
}

// next is the error of the next operation, as the system would give it.
func (f *fault) next(op, path string) error {
	f.seen = append(f.seen, op)
	if n := len(f.seen); f.n > 0 && (n == f.n || f.onward && n > f.n) {
		if f.die && !f.half {
			die()
		}
		return &fs.PathError{Op: op, Path: path, Err: f.err}
	}
	return nil
}

// die kills the process, as kill -9 does.
func die() {
	if p, err := os.FindProcess(os.Getpid()); err == nil {
		p.Kill()
	}
	select {}
}

// inject makes the disk fail until the returned function is called.
func (f *fault) inject() (mend func()) {
	sound, many := disk, writers
	writers = 1 // so that the operations have an order
	disk.mkdir = func(dir string, mode os.FileMode) error {
		if err := f.next("mkdir", dir); err != nil {
			return err
		}
		return sound.mkdir(dir, mode)
	}
	disk.openFile = func(path string, flag int, mode os.FileMode) (*os.File, error) {
		if err := f.next("open", path); err != nil {
			return nil, err
		}
		return sound.openFile(path, flag, mode)
	}
	disk.createTemp = func(dir, pattern string) (*os.File, error) {
		if err := f.next("open", filepath.Join(dir, pattern)); err != nil {
			return nil, err
		}
		return sound.createTemp(dir, pattern)
	}
	disk.openHidden = func(dir string) (*os.File, error) {
		if err := f.next("open", dir); err != nil {
			return nil, err
		}
		return sound.openHidden(dir)
	}
	disk.link = func(file *os.File, name string) error {
		if err := f.next("link", name); err != nil {
			return err
		}
		return sound.link(file, name)
	}
	disk.write = func(file *os.File, data []byte) (int, error) {
		err := f.next("write", file.Name())
		switch {
		case err == nil:
			return sound.write(file, data)
		case f.half:
			n, _ := sound.write(file, data[:len(data)/2])
			if f.die {
				die()
			}
			return n, err
		}
		return 0, err
	}
	disk.chmod = func(file *os.File, mode os.FileMode) error {
		if err := f.next("chmod", file.Name()); err != nil {
			return err
		}
		return sound.chmod(file, mode)
	}
	disk.truncate = func(file *os.File, size int64) error {
		if err := f.next("truncate", file.Name()); err != nil {
			return err
		}
		return sound.truncate(file, size)
	}
	disk.sync = func(file *os.File) error {
		if err := f.next("sync", file.Name()); err != nil {
			return err
		}
		return sound.sync(file)
	}
	disk.close = func(file *os.File) error { // as close(2): the file is closed, whatever it says
		err := f.next("close", file.Name())
		if e := sound.close(file); err == nil {
			err = e
		}
		return err
	}
	disk.rename = func(from, to string) error {
		if err := f.next("rename", to); err != nil {
			return &os.LinkError{Op: "rename", Old: from, New: to, Err: f.err}
		}
		return sound.rename(from, to)
	}
	disk.remove = func(path string) error {
		if err := f.next("remove", path); err != nil {
			return err
		}
		return sound.remove(path)
	}
	return func() { disk, writers = sound, many }
}
