package record

import (
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"runtime"
)

// WriteError says that something could not be written. No part of it is left.
type WriteError struct {
	Path string
	Err  error
}

func (e *WriteError) Error() string {
	err := e.Err
	var p *os.PathError
	var l *os.LinkError
	switch { // the name of the temporary file does not help the reader
	case errors.As(err, &p):
		err = p.Err
	case errors.As(err, &l):
		err = l.Err
	}
	return fmt.Sprintf("cannot write %s: %v", e.Path, err)
}

func (e *WriteError) Unwrap() error { return e.Err }

// unwritten adds to an error that nothing was written at all.
func unwritten(err error) error { return fmt.Errorf("%w; nothing was written", err) }

// Pending is a file that is written but not yet in its place.
type Pending struct {
	temp, path string
	file       *os.File // open while it has no name
	placed     bool     // it is in its place
}

// Prepare writes data to a temporary file next to path and makes sure that it
// is on disk. Then Commit moves it into place, or Discard drops it.
func Prepare(path string, data []byte, mode os.FileMode) (*Pending, error) {
	return PrepareFrom(path, mode, whole(data))
}

// whole writes data in one piece.
func whole(data []byte) func(io.Writer) error {
	return func(w io.Writer) error {
		_, err := w.Write(data)
		return err
	}
}

// toDisk is a file that is written, and the error of the disk.
type toDisk struct {
	file *os.File
	err  error
}

func (d *toDisk) Write(data []byte) (n int, err error) {
	if d.err != nil {
		return 0, d.err
	}
	n, d.err = disk.write(d.file, data)
	return n, d.err
}

// PrepareFrom is Prepare for data that write writes piece by piece. It returns
// write's own errors unchanged.
func PrepareFrom(path string, mode os.FileMode, write func(io.Writer) error) (*Pending, error) {
	f, err := disk.createTemp(filepath.Dir(path), "."+filepath.Base(path)+".*.tmp")
	if err != nil {
		return nil, &WriteError{path, err}
	}
	p := &Pending{temp: f.Name(), path: path}
	err, own := fill(f, mode, write)
	if e := disk.close(f); err == nil {
		err = e
	}
	return p.ready(err, own)
}

// fill writes a file and makes sure that it is on disk. own reports whether an error is that of write itself.
func fill(f *os.File, mode os.FileMode, write func(io.Writer) error) (err error, own bool) {
	to := &toDisk{file: f}
	if err = write(to); err != nil && to.err == nil {
		return err, true
	}
	if err = to.err; err == nil {
		err = disk.chmod(f, mode)
	}
	if err == nil {
		err = disk.sync(f)
	}
	return err, false
}

// ready is the file, unless there was an error.
func (p *Pending) ready(err error, own bool) (*Pending, error) {
	switch {
	case err == nil:
		return p, nil
	case !own:
		err = &WriteError{p.path, err}
	}
	p.Discard()
	return nil, err
}

// PreparePDF is Prepare for a PDF under a name that a person chose. It overwrites
// only an earlier PDF, so never a study, a ledger or a device.
func PreparePDF(path string, data []byte) (*Pending, error) {
	return PreparePDFFrom(path, whole(data))
}

// PreparePDFFrom is PreparePDF for a PDF that write writes piece by piece; see
// [PrepareFrom].
func PreparePDFFrom(path string, write func(io.Writer) error) (*Pending, error) {
	return prepareOver(path, write, func(file string) error {
		if isPDF(file) {
			return nil
		}
		return errors.New("a file is there that is not a PDF; choose another")
	})
}

// PrepareOver is Prepare for a file under a name that a person chose. over says why
// an existing file that is not empty must not be overwritten, or returns nil.
func PrepareOver(path string, data []byte, over func(file string) error) (*Pending, error) {
	return prepareOver(path, whole(data), over)
}

func prepareOver(path string, write func(io.Writer) error, over func(file string) error) (*Pending, error) {
	info, err := os.Lstat(path)
	switch {
	case err != nil: // nothing there, or PrepareFrom will say what is wrong
	case info.IsDir():
		return nil, &WriteError{path, errors.New("it is a folder; choose a file")}
	case !info.Mode().IsRegular():
		return nil, &WriteError{path, errors.New("not a regular file; choose another")}
	case info.Size() > 0:
		if err := over(path); err != nil {
			return nil, &WriteError{path, err}
		}
	}
	return PrepareOutput(path, 0o644, write)
}

func isPDF(path string) bool {
	f, err := os.Open(path)
	if err != nil {
		return false
	}
	defer f.Close()
	head := make([]byte, 5)
	_, err = io.ReadFull(f, head)
	return err == nil && string(head) == "%PDF-"
}

// Commit moves the file into its place, over what was there.
func (p *Pending) Commit() error {
	if err := p.place(); err != nil {
		return err
	}
	if err := syncDir(filepath.Dir(p.path)); err != nil {
		return fmt.Errorf("%w; %s is in its place, but a power failure may undo it", err, p.path)
	}
	return nil
}

// place is Commit, but a crash may undo it.
func (p *Pending) place() error {
	err := p.move()
	if err != nil {
		p.Discard()
		return &WriteError{p.path, err}
	}
	p.temp, p.placed = "", true
	p.Discard()
	return nil
}

// Discard removes the temporary file. After Commit it does nothing.
func (p *Pending) Discard() {
	if p.file != nil {
		disk.close(p.file)
		p.file = nil
	}
	if p.temp != "" {
		disk.remove(p.temp)
		p.temp = ""
	}
}

// WriteFile writes a whole file or nothing.
func WriteFile(path string, data []byte, mode os.FileMode) error {
	p, err := Prepare(path, data, mode)
	if err != nil {
		return err
	}
	return p.Commit()
}

// syncDir makes a new name in a folder survive a crash. Windows has no such call, and keeps
// names in order by itself.
func syncDir(dir string) error {
	if runtime.GOOS == "windows" {
		return nil
	}
	d, err := disk.openFile(dir, os.O_RDONLY, 0)
	if err != nil {
		return &WriteError{dir, err}
	}
	defer disk.close(d)
	if err := disk.sync(d); err != nil {
		return &WriteError{dir, err}
	}
	return nil
}

// mkdir makes a folder below one that exists, unless it is there already.
func mkdir(dir string) error {
	err := disk.mkdir(dir, 0o755)
	if os.IsExist(err) {
		return nil
	}
	if err != nil {
		return &WriteError{dir, err}
	}
	return syncDir(filepath.Dir(dir))
}
