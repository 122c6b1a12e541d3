package commands

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"

	"vouchmark/assess/site"
	"vouchmark/fonts"
	"vouchmark/label"
	"vouchmark/label/record"
	"vouchmark/label/report"
	"vouchmark/label/seal"
)

// folder is the site folder as a command reads it. Its err is kept until the
// rest of the folder was read too, so that all problems come at once.
type folder struct {
	fs        fs.FS
	options   site.Options
	catalogue *label.Catalogue
	err       error
}

func (e *Env) folder() folder {
	f := folder{fs: os.DirFS(e.site), options: site.Options{Missing: fonts.Missing}}
	f.catalogue, f.err = label.ReadCatalogue(f.fs, f.options)
	if f.catalogue != nil {
		f.options.Languages = f.catalogue.Languages()
	}
	return f
}

// view reads and judges the site folder.
func (e *Env) view() (*report.View, folder, error) {
	f := e.folder()
	s, err := site.Read(f.fs, f.options)
	if err = site.Join(f.err, err); err != nil {
		return nil, f, err
	}
	h, err := record.Open(e.site).History(e.today)
	if err != nil {
		return nil, f, err
	}
	v, err := report.New(s, h, e.today)
	if err != nil {
		return nil, f, err
	}
	v.Keys, err = e.keys("")
	return v, f, err
}

// keys are the public keys that are trusted: those of a file, else the site's.
func (e *Env) keys(file string) (*seal.Keyring, error) {
	path := file
	given := file != ""
	if !given {
		file, path = seal.KeysFile, filepath.Join(e.site, seal.KeysFile)
	}
	data, err := os.ReadFile(path)
	if err != nil && (given || !errors.Is(err, os.ErrNotExist)) {
		return nil, err
	}
	return seal.ParseKeys(file, data)
}
