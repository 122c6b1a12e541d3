package site

import (
	"embed"
	"errors"
	"fmt"
	"os"
	"path/filepath"
)

//go:embed starter
var starter embed.FS

// notEmpty marks the error for a folder that holds something: it is the
// caller's mistake and no fault of the disk.
type notEmpty struct{}

func (notEmpty) Error() string        { return "" }
func (notEmpty) Is(target error) bool { return target == os.ErrExist }

// Start makes a commented starter folder that reads without a problem. dir
// must not exist, or be empty. The folder appears whole or not at all.
func Start(dir string) error {
	entries, err := os.ReadDir(dir)
	if err != nil && !errors.Is(err, os.ErrNotExist) {
		return err
	}
	if len(entries) > 0 {
		return fmt.Errorf("%s is there already and holds %q: name a new folder%w", dir, entries[0].Name(), notEmpty{})
	}
	dir = filepath.Clean(dir)
	temp, err := os.MkdirTemp(filepath.Dir(dir), ".starter-*")
	if err != nil {
		return err
	}
	defer os.RemoveAll(temp) // what is left of it: nothing after the rename
	for _, name := range []string{policyFile, locationsFile} {
		data, err := starter.ReadFile("starter/" + name)
		if err != nil {
			return err
		}
		if err := os.WriteFile(filepath.Join(temp, name), data, 0o644); err != nil {
			return err
		}
	}
	if err := os.Chmod(temp, 0o755); err != nil {
		return err
	}
	if err := os.Remove(dir); err != nil && !errors.Is(err, os.ErrNotExist) {
		return err
	}
	return os.Rename(temp, dir)
}
