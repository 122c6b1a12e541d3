package publish

import (
	"errors"
	"io/fs"
	"os"

	"vouchmark/label/basis/page"
	"vouchmark/label/record"
)

// Parts writes files into a folder, which it makes if it is not there: each part lasts before one of the next gets its
// name, and a file with the same bytes is left. What a killed run left is removed by the next one.
func Parts(dir string, parts ...[]page.File) (err error) {
	made := false
	switch err := os.Mkdir(dir, 0o755); {
	case err == nil:
		made = true
	case !errors.Is(err, fs.ErrExist):
		return &record.WriteError{Path: dir, Err: err}
	}
	root, err := os.OpenRoot(dir)
	if err != nil {
		return &record.WriteError{Path: dir, Err: err}
	}
	defer func() {
		root.Close()
		if err != nil && made {
			os.Remove(dir) // unless there is something in it
		}
	}()
	g := &ground{dir: dir, root: root}
	if g.new, err = newBatch(root); err != nil {
		return g.wrong("", err)
	}
	defer g.new.leave()
	for _, files := range parts {
		for _, f := range files {
			if _, _, err := g.put(&file{name: f.Name, data: f.Data}); err != nil {
				return err
			}
		}
		if err := g.flush(); err != nil {
			return err
		}
	}
	return nil
}

// Unfinished is the name of what a killed run leaves in a folder.
const Unfinished = newFolder
