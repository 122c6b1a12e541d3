package record

import (
	"fmt"
	"os"

	"golang.org/x/sys/unix"
)

// openHidden opens a new file in a folder that has no name yet, see open(2), O_TMPFILE. Its Name is a path to it
// while it is open.
func openHidden(dir string) (*os.File, error) {
	fd, err := unix.Open(dir, unix.O_TMPFILE|unix.O_RDWR|unix.O_CLOEXEC, 0o600)
	if err != nil {
		return nil, &os.PathError{Op: "open", Path: dir, Err: err}
	}
	f := os.NewFile(uintptr(fd), fmt.Sprintf("/proc/self/fd/%d", fd))
	if _, err := os.Stat(f.Name()); err != nil { // without that it could not be given a name
		f.Close()
		return nil, err
	}
	return f, nil
}

// linkHidden gives such a file a name.
func linkHidden(f *os.File, name string) error {
	return os.NewSyscallError("linkat", unix.Linkat(unix.AT_FDCWD, f.Name(), unix.AT_FDCWD, name, unix.AT_SYMLINK_FOLLOW))
}
