package record

import "os"

// disk is every operation by which this package changes a disk. All go through
// here, so that tests can make any one of them fail.
var disk = operations{
	mkdir:      os.Mkdir,
	openFile:   os.OpenFile,
	createTemp: os.CreateTemp,
	openHidden: openHidden,
	link:       linkHidden,
	write:      (*os.File).Write,
	chmod:      (*os.File).Chmod,
	truncate:   (*os.File).Truncate,
	sync:       (*os.File).Sync,
	close:      (*os.File).Close,
	rename:     os.Rename,
	remove:     os.Remove,
}

type operations struct {
	mkdir      func(dir string, mode os.FileMode) error
	openFile   func(path string, flag int, mode os.FileMode) (*os.File, error)
	createTemp func(dir, pattern string) (*os.File, error)
	openHidden func(dir string) (*os.File, error) // a file without a name
	link       func(f *os.File, name string) error
	write      func(f *os.File, data []byte) (int, error)
	chmod      func(f *os.File, mode os.FileMode) error
	truncate   func(f *os.File, size int64) error
	sync       func(f *os.File) error
	close      func(f *os.File) error
	rename     func(from, to string) error
	remove     func(path string) error
}
