package site

import (
	"bytes"
	"io/fs"
	"time"
)

// With is a site folder in which one file has another content. A nil folder has no other files.
func With(folder fs.FS, file string, data []byte) fs.FS { return with{folder, file, data} }

type with struct {
	folder fs.FS
	file   string
	data   []byte
}

func (w with) Open(name string) (fs.File, error) {
	switch {
	case name == w.file:
		return &inMemory{w, bytes.NewReader(w.data)}, nil
	case w.folder == nil:
		return nil, &fs.PathError{Op: "open", Path: name, Err: fs.ErrNotExist}
	}
	return w.folder.Open(name)
}

// Stat makes it an fs.StatFS: a file need not be opened to see what it is.
func (w with) Stat(name string) (fs.FileInfo, error) {
	switch {
	case name == w.file:
		return w, nil
	case w.folder == nil:
		return nil, &fs.PathError{Op: "stat", Path: name, Err: fs.ErrNotExist}
	}
	return fs.Stat(w.folder, name)
}

// It is also what there is to know about its file.
func (w with) Name() string     { return w.file }
func (w with) Size() int64      { return int64(len(w.data)) }
func (with) Mode() fs.FileMode  { return 0o444 }
func (with) ModTime() time.Time { return time.Time{} }
func (with) IsDir() bool        { return false }
func (with) Sys() any           { return nil }

// inMemory is that file, open.
type inMemory struct {
	with
	*bytes.Reader
}

func (f *inMemory) Stat() (fs.FileInfo, error) { return f.with, nil }
func (f *inMemory) Size() int64                { return f.with.Size() }
func (f *inMemory) Close() error               { return nil }
