package commands

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"os"
	"runtime"
	"sync"

	"vouchmark/assess/infile"
	"vouchmark/label/basis/people"
	"vouchmark/label/record"
	"vouchmark/label/seal"
)

// secret says why a file must not be used as one that only its owner may read: others can read it, or it
// is in a site folder, which is published, copied and archived. nil for a good one. site is the site
// folder of the call; "" for none.
func secret(file, site string) error {
	info, err := os.Stat(file)
	if err == nil {
		err = infile.Regular(file, info)
	}
	if err != nil {
		return err
	}
	if runtime.GOOS != "windows" && info.Mode().Perm()&0o077 != 0 {
		return fmt.Errorf("%s can be read by others (mode %o); run chmod 600 on it", file, info.Mode().Perm())
	}
	if site != "" && inside(file, site) {
		return fmt.Errorf("%s is inside the site folder %s; keep it elsewhere", file, site)
	}
	_, err = seal.Outside(file)
	return err
}

// peopleFile is a people.toml on the disk. What was read last is kept, so that a file that is looked at for
// every request is read again only as bytes.
type peopleFile struct {
	path, site string

	mu   sync.Mutex
	text []byte
	list *people.List
}

// read is the file as it is now.
func (f *peopleFile) read() (*people.List, error) {
	if err := secret(f.path, f.site); err != nil {
		return nil, err
	}
	data, err := infile.ReadPath(f.path, people.MostBytes)
	if err != nil {
		return nil, err
	}
	f.mu.Lock()
	defer f.mu.Unlock()
	if f.list != nil && bytes.Equal(f.text, data) {
		return f.list, nil
	}
	list, err := people.Parse(f.path, data)
	if err != nil {
		return nil, err
	}
	f.text, f.list = data, list
	return list, nil
}

// edit replaces the file with what change returns for it, completely or not at all, readable only by its
// owner. A file that does not exist is made.
func (f *peopleFile) edit(change func(old []byte) ([]byte, error)) error {
	old, err := f.old()
	if err != nil {
		return err
	}
	text, err := change(old)
	if err != nil {
		return err
	}
	p, err := record.PrepareOutput(f.path, 0o600, func(w io.Writer) error {
		_, err := w.Write(text)
		return err
	})
	if err != nil {
		return err
	}
	defer p.Discard()
	if now, err := f.old(); err != nil || !bytes.Equal(now, old) {
		return errors.Join(err, fmt.Errorf("%s was changed in the meantime; nothing was written: run the command again", f.path))
	}
	return p.Commit()
}

// old is the text of the file; that of one that does not exist is empty.
func (f *peopleFile) old() ([]byte, error) {
	path, err := seal.Outside(f.path)
	if err != nil {
		return nil, err
	}
	if _, err := os.Lstat(path); errors.Is(err, os.ErrNotExist) {
		return nil, nil
	}
	if err := secret(f.path, f.site); err != nil {
		return nil, err
	}
	return infile.ReadPath(f.path, people.MostBytes)
}
