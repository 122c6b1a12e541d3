package publish

import "os"

// disk is every operation by which this package changes a disk. All go through here, so that tests can
// make any one of them fail, and see their order.
var disk = operations{
	mkdir: func(root *os.Root, name string) error { return root.MkdirAll(name, 0o755) },
	create: func(root *os.Root, name string) (*os.File, error) {
		return root.OpenFile(name, os.O_CREATE|os.O_EXCL|os.O_WRONLY, 0o644)
	},
	write:   (*os.File).Write,
	close:   (*os.File).Close,
	rename:  (*os.Root).Rename,
	remove:  (*os.Root).RemoveAll,
	sync:    syncOne,
	whole:   wholeDisk,
	syncAll: syncDisk,
}

type operations struct {
	mkdir  func(root *os.Root, name string) error
	create func(root *os.Root, name string) (*os.File, error)
	write  func(f *os.File, data []byte) (int, error)
	close  func(f *os.File) error
	rename func(root *os.Root, from, to string) error
	remove func(root *os.Root, name string) error
	sync   func(root *os.Root, name string, dir bool) error
	// whole is a handle by which everything on the folder's disk can be made to last in one go; nil where the
	// system has nothing like it.
	whole   func(root *os.Root) *os.File
	syncAll func(whole *os.File) error
}

// syncOne makes a file, or the names in a folder, last.
func syncOne(root *os.Root, name string, dir bool) error {
	flag := os.O_RDWR // some systems sync only what can be written
	if dir {
		flag = os.O_RDONLY
	}
	f, err := root.OpenFile(name, flag, 0)
	if err != nil {
		return err
	}
	err = f.Sync()
	if e := f.Close(); err == nil {
		err = e
	}
	return err
}
