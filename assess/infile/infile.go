// Package infile reads input files: regular ones only, and no more than a stated number of bytes
// of each. What a file is, is looked at before it is opened: opening a pipe may wait for ever, and
// a device may never end.
package infile

import (
	"bytes"
	"fmt"
	"io"
	"io/fs"
	"os"
)

// The units of sizes.
const (
	KiB = 1 << 10
	MiB = 1 << 20
	GiB = 1 << 30
)

// Size is a number of bytes in words: "4 MiB".
func Size(n int64) string {
	switch {
	case n >= GiB && n%GiB == 0:
		return fmt.Sprintf("%d GiB", n/GiB)
	case n >= MiB && n%MiB == 0:
		return fmt.Sprintf("%d MiB", n/MiB)
	case n >= KiB && n%KiB == 0:
		return fmt.Sprintf("%d KiB", n/KiB)
	}
	return fmt.Sprintf("%d bytes", n)
}

// Error says why a file is not read although it is there.
type Error struct{ File, Found, Expected, Do string }

func (e *Error) Error() string {
	return fmt.Sprintf("%s: found %s, expected %s; %s", e.File, e.Found, e.Expected, e.Do)
}

// Read reads a file of a folder. A file that is not a regular one, or has more than most bytes, is
// an [*Error]; a missing one is [fs.ErrNotExist].
func Read(folder fs.FS, name string, most int64) ([]byte, error) {
	f, size, err := open(name, most, func() (fs.FileInfo, error) { return fs.Stat(folder, name) },
		func() (fs.File, error) { return folder.Open(name) })
	return all(f, size, err)
}

// ReadPath is Read for a path of the system.
func ReadPath(path string, most int64) ([]byte, error) {
	f, size, err := openPath(path, most)
	return all(f, size, err)
}

// Open opens a file of a folder, to be read piece by piece. Its Read gives the [*Error] for the
// byte after most.
func Open(folder fs.FS, name string, most int64) (io.ReadCloser, error) {
	f, _, err := open(name, most, func() (fs.FileInfo, error) { return fs.Stat(folder, name) },
		func() (fs.File, error) { return folder.Open(name) })
	return f, err
}

// OpenPath is Open for a path of the system.
func OpenPath(path string, most int64) (io.ReadCloser, error) {
	f, _, err := openPath(path, most)
	return f, err
}

// Regular is an [*Error] for what is there and is not a regular file.
func Regular(file string, info fs.FileInfo) error {
	if info.Mode().IsRegular() {
		return nil
	}
	return &Error{file, kind(info.Mode()), "a regular file", "name another, or copy its contents into a file"}
}

func kind(m fs.FileMode) string {
	switch {
	case m.IsDir():
		return "a folder"
	case m&fs.ModeNamedPipe != 0:
		return "a pipe"
	case m&fs.ModeSocket != 0:
		return "a socket"
	case m&fs.ModeDevice != 0:
		return "a device"
	}
	return "something that is not a regular file"
}

func openPath(path string, most int64) (*file, int64, error) {
	return open(path, most, func() (fs.FileInfo, error) { return os.Stat(path) }, func() (fs.File, error) { return os.Open(path) })
}

// file is an open file that gives an error after most bytes.
type file struct {
	of   fs.File
	name string
	most int64
	left int64
}

func open(name string, most int64, stat func() (fs.FileInfo, error), opened func() (fs.File, error)) (*file, int64, error) {
	info, err := stat()
	if err != nil {
		return nil, 0, err
	}
	f := &file{name: name, most: most, left: most}
	if err := Regular(name, info); err != nil {
		return nil, 0, err
	}
	if info.Size() > most {
		return nil, 0, f.tooLarge()
	}
	if f.of, err = opened(); err != nil {
		return nil, 0, err
	}
	return f, info.Size(), nil
}

func (f *file) tooLarge() error {
	return &Error{f.name, "a file of more than " + Size(f.most), "at most " + Size(f.most),
		"split it, or delete what does not belong in it"}
}

func (f *file) Read(p []byte) (int, error) {
	if int64(len(p)) > f.left+1 {
		p = p[:f.left+1]
	}
	n, err := f.of.Read(p)
	if int64(n) > f.left {
		return int(f.left), f.tooLarge()
	}
	f.left -= int64(n)
	return n, err
}

func (f *file) Close() error { return f.of.Close() }

// all reads an open file into one buffer of its size.
func all(f *file, size int64, err error) ([]byte, error) {
	if err != nil {
		return nil, err
	}
	defer f.Close()
	var b bytes.Buffer
	b.Grow(int(size) + bytes.MinRead) // only a hint: what is read counts
	if _, err := b.ReadFrom(f); err != nil {
		return nil, err
	}
	return b.Bytes(), nil
}

// Limit is a limit of what is read, as README's table has it.
type Limit struct{ What, Most string }

// Count is a number of things in words: "1,048,576 rows".
func Count(n int, of string) string {
	s := fmt.Sprint(n)
	for i := len(s) - 3; i > 0; i -= 3 {
		s = s[:i] + "," + s[i:]
	}
	return s + " " + of
}
