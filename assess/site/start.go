package site

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"runtime"
	"strings"
)

// notEmpty marks the error for a folder that is not empty: it is the user's mistake, not a fault
// of the disk.
type notEmpty struct{}

func (notEmpty) Error() string        { return "" }
func (notEmpty) Is(target error) bool { return target == os.ErrExist }

// step is called before every operation that changes the disk, so that tests can make any one of
// them fail, or the last.
var step = func(string) error { return nil }

// Start creates a starter folder with comments that reads without a problem. dir must not exist
// or must be empty. The folder appears complete or not at all: it is made under a name beside its place,
// and moved there. What a crash left beside it is removed by the next call for the same folder.
func Start(dir string) error {
	entries, err := os.ReadDir(dir)
	if err != nil && !errors.Is(err, os.ErrNotExist) {
		return err
	}
	if len(entries) > 0 {
		return fmt.Errorf("%s already exists and contains %q: name a new folder%w", dir, entries[0].Name(), notEmpty{})
	}
	dir = filepath.Clean(dir)
	above, pattern := filepath.Dir(dir), "."+filepath.Base(dir)+".starter-"
	if err := sweepStarters(above, pattern); err != nil {
		return err
	}
	if err := step("make folder"); err != nil {
		return err
	}
	temp, err := os.MkdirTemp(above, pattern+"*")
	if err != nil {
		return err
	}
	defer os.RemoveAll(temp) // removes what is left of it: nothing after the rename
	for _, name := range []string{policyFile, locationsFile} {
		data, err := starter.ReadFile("starter/" + name)
		if err != nil {
			return err
		}
		if err := writeLasting(filepath.Join(temp, name), data); err != nil {
			return err
		}
	}
	if err := os.Chmod(temp, 0o755); err != nil {
		return err
	}
	if err := syncFolder(temp); err != nil {
		return err
	}
	if err := moveFolder(temp, dir); err != nil {
		return err
	}
	return syncFolder(above)
}

// sweepStarters removes folders that a crash left. Each is renamed first: should another process be
// making it at this moment, that one fails, and moves nothing half removed into place.
func sweepStarters(above, pattern string) error {
	entries, err := os.ReadDir(above)
	if err != nil {
		return err
	}
	for _, e := range entries {
		if !e.IsDir() || !strings.HasPrefix(e.Name(), pattern) {
			continue
		}
		left := filepath.Join(above, e.Name())
		if err := step("sweep"); err != nil {
			return err
		}
		if os.Rename(left, left+"-old") == nil {
			os.RemoveAll(left + "-old")
		}
	}
	return nil
}

// moveFolder moves a folder to where nothing is, or an empty folder.
func moveFolder(from, to string) error {
	if err := step("move"); err != nil {
		return err
	}
	err := os.Rename(from, to)
	if err != nil && os.Remove(to) == nil { // not every system moves it over an empty folder
		err = os.Rename(from, to)
	}
	return err
}

// writeLasting writes a file that survives a power failure, once its folder was synced.
func writeLasting(file string, data []byte) error {
	if err := step("create"); err != nil {
		return err
	}
	f, err := os.OpenFile(file, os.O_CREATE|os.O_EXCL|os.O_WRONLY, 0o644)
	if err != nil {
		return err
	}
	if err = step("write"); err == nil {
		_, err = f.Write(data)
	}
	if err == nil {
		err = step("sync")
	}
	if err == nil {
		err = f.Sync()
	}
	if e := f.Close(); err == nil {
		err = e
	}
	return err
}

// syncFolder makes the names in a folder survive a power failure.
func syncFolder(dir string) error {
	if runtime.GOOS == "windows" { // a folder cannot be synced there
		return nil
	}
	if err := step("sync folder"); err != nil {
		return err
	}
	d, err := os.Open(dir)
	if err != nil {
		return err
	}
	err = d.Sync()
	if e := d.Close(); err == nil {
		err = e
	}
	return err
}
