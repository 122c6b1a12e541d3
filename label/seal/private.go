package seal

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"vouchmark/assess/infile"
	"vouchmark/label/record"
)

// mostKey is the most bytes that a file with a private key has.
const mostKey = 4 * infile.KiB

// WritePrivate writes a private key to a new file that only its owner can read. It
// refuses a file inside a site folder: a folder that is published, copied or put
// under version control must not contain the key.
func WritePrivate(file, private string) error {
	path, err := Outside(file)
	if err != nil {
		return err
	}
	if _, err := os.Lstat(path); err == nil {
		return &record.WriteError{Path: file, Err: errors.New("this file exists already; a key is never overwritten")}
	}
	p, err := record.PrepareOutput(path, 0o600, func(w io.Writer) error {
		_, err := io.WriteString(w, private+"\n")
		return err
	})
	if err != nil {
		return err
	}
	return p.Commit()
}

// ReadPrivate reads a private key from a file that only its owner can read.
func ReadPrivate(file string) (string, error) {
	info, err := os.Stat(file)
	if errors.Is(err, fs.ErrNotExist) {
		return "", fmt.Errorf("%s: no such file", file)
	}
	if err != nil {
		return "", err
	}
	if err := infile.Regular(file, info); err != nil {
		return "", err
	}
	if open := info.Mode().Perm() & 0o077; open != 0 {
		return "", fmt.Errorf("%s can be read by others (mode %o): restrict it with chmod 600, "+
			"and consider whether it is still secret", file, info.Mode().Perm())
	}
	if _, err := Outside(file); err != nil {
		return "", err
	}
	data, err := infile.ReadPath(file, mostKey)
	return strings.TrimSpace(string(data)), err
}

// Outside is the full path of a file with links resolved, or an error if it is inside
// a site folder.
func Outside(file string) (string, error) {
	path, err := filepath.Abs(file)
	if err != nil {
		return "", err
	}
	parent, err := filepath.EvalSymlinks(filepath.Dir(path))
	if err != nil {
		return path, nil // the folder does not exist: writing says so
	}
	for dir := parent; ; dir = filepath.Dir(dir) {
		for _, sign := range []string{"site.toml", record.LedgerFile} {
			if _, err := os.Stat(filepath.Join(dir, sign)); err == nil {
				return "", fmt.Errorf("%s is inside the site folder %s: keep it elsewhere", file, dir)
			}
		}
		if dir == filepath.Dir(dir) {
			return path, nil
		}
	}
}
