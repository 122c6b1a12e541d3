package publish

import (
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"syscall"

	"golang.org/x/sys/unix"
)

// wholeDisk opens the folder for syncfs(2), which says what failed since the folder was opened from Linux 5.8
// on. It is nil for older systems, and if a folder in it is on another disk.
func wholeDisk(root *os.Root) *os.File {
	var name unix.Utsname
	var major, minor int
	if unix.Uname(&name) != nil {
		return nil
	}
	if _, err := fmt.Sscanf(unix.ByteSliceToString(name.Release[:]), "%d.%d", &major, &minor); err != nil ||
		major < 5 || major == 5 && minor < 8 {
		return nil
	}
	on := func(info fs.FileInfo, err error) uint64 {
		if err == nil {
			if s, ok := info.Sys().(*syscall.Stat_t); ok {
				return uint64(s.Dev)
			}
		}
		return 0
	}
	disk := on(root.Stat("."))
	entries, err := fs.ReadDir(root.FS(), ".")
	if err != nil {
		return nil
	}
	for _, e := range entries {
		if e.IsDir() && on(root.Stat(e.Name())) != disk {
			return nil
		}
	}
	f, err := root.Open(".")
	if err != nil {
		return nil
	}
	return f
}

// openBelow opens what is in a folder by one system call, where [os.Root] takes one for each folder above it;
// it follows links as that does, never out of the folder. nil for what cannot be opened so.
func openBelow(folder *os.File, name string) *os.File {
	fd, err := unix.Openat2(int(folder.Fd()), name, &unix.OpenHow{
		Flags: unix.O_RDONLY | unix.O_CLOEXEC, Resolve: unix.RESOLVE_BENEATH | unix.RESOLVE_NO_MAGICLINKS})
	if err != nil {
		return nil
	}
	return os.NewFile(uintptr(fd), filepath.Join(folder.Name(), name))
}

func syncDisk(whole *os.File) error {
	if err := unix.Syncfs(int(whole.Fd())); err != nil {
		return os.NewSyscallError("syncfs", err)
	}
	return nil
}
