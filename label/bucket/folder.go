package bucket

import (
	"bytes"
	"context"
	"crypto/md5"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"iter"
	"os"
	"path"
	"runtime"
	"slices"
	"strings"
	"sync"
	"sync/atomic"
	"time"

	"vouchmark/assess/infile"
)

// folder is a folder on a disk, into which nothing is written twice: files are only added. The library's own
// would let two processes both be the first, and would not wait for the disk.
type folder struct {
	root *os.Root
	sent atomic.Int64

	swept sync.Once
}

var temps atomic.Int64 // names given so far by this process

// tempFolder has files that are not yet in their places.
const tempFolder = ".new"

func openFolder(dir string) (Bucket, error) {
	if err := os.Mkdir(dir, 0o755); err != nil && !errors.Is(err, fs.ErrExist) {
		return nil, err
	}
	root, err := os.OpenRoot(dir)
	if err != nil {
		return nil, err
	}
	return &folder{root: root}, nil
}

// sweep removes what processes left that were killed long ago: whose a newer file is cannot be known.
func (f *folder) sweep() {
	const old = 24 * time.Hour
	left, _ := fs.ReadDir(f.root.FS(), tempFolder)
	for _, e := range left {
		if info, err := e.Info(); err == nil && info.Mode().IsRegular() && time.Since(info.ModTime()) > old {
			f.root.Remove(tempFolder + "/" + e.Name())
		}
	}
}

func (f *folder) Close() error    { return f.root.Close() }
func (f *folder) Requests() int64 { return f.sent.Load() }

// Put writes a new file alone: it is whole on the disk before it gets its name, and a name is given once.
func (f *folder) Put(_ context.Context, key string, data []byte, how How) (string, error) {
	f.sent.Add(1)
	tag := tagOf(data)
	switch there, err := f.root.ReadFile(key); {
	case err == nil && bytes.Equal(there, data):
		return tag, nil
	case err == nil:
		return "", ErrChanged
	case !errors.Is(err, fs.ErrNotExist):
		return "", err
	case how.Was != "":
		return "", ErrChanged
	case !how.New:
		return "", errors.New("a file in a folder is only written where there is none yet")
	case !how.Until.IsZero():
		return "", errors.New("a folder cannot lock a file until a day")
	}
	for _, dir := range []string{tempFolder, path.Dir(key)} {
		if err := f.folder(dir); err != nil {
			return "", err
		}
	}
	f.swept.Do(f.sweep)
	temp := fmt.Sprintf("%s/%d-%d", tempFolder, os.Getpid(), temps.Add(1))
	defer f.root.Remove(temp)
	if err := f.write(temp, data); err != nil {
		return "", err
	}
	err := f.root.Link(temp, key) // fails where the name is taken, also by another process
	if errors.Is(err, fs.ErrExist) {
		if there, e := f.root.ReadFile(key); e == nil && bytes.Equal(there, data) {
			return tag, nil
		}
		return "", ErrChanged
	}
	if err != nil {
		return "", err
	}
	return tag, f.last(path.Dir(key))
}

func (f *folder) write(name string, data []byte) error {
	f.root.Remove(name) // of a process that was killed
	file, err := f.root.OpenFile(name, os.O_CREATE|os.O_EXCL|os.O_WRONLY, 0o644)
	if err != nil {
		return err
	}
	_, err = file.Write(data)
	if err == nil {
		err = file.Sync()
	}
	return errors.Join(err, file.Close())
}

// folder makes a folder and those above, each of which lasts.
func (f *folder) folder(name string) error {
	if name == "." {
		return nil
	}
	err := f.root.Mkdir(name, 0o755)
	if errors.Is(err, fs.ErrNotExist) {
		if err := f.folder(path.Dir(name)); err != nil {
			return err
		}
		err = f.root.Mkdir(name, 0o755)
	}
	if errors.Is(err, fs.ErrExist) {
		return nil
	}
	if err != nil {
		return err
	}
	return f.last(path.Dir(name))
}

// last makes the names in a folder last.
func (f *folder) last(name string) error {
	if runtime.GOOS == "windows" { // a folder cannot be synced there
		return nil
	}
	dir, err := f.root.Open(name)
	if err != nil {
		return err
	}
	return errors.Join(dir.Sync(), dir.Close())
}

func (f *folder) Get(_ context.Context, key string, most int64) (File, error) {
	f.sent.Add(1)
	file, err := f.root.Open(key)
	if errors.Is(err, fs.ErrNotExist) {
		return File{}, ErrMissing
	}
	if err != nil {
		return File{}, err
	}
	defer file.Close()
	data, err := io.ReadAll(io.LimitReader(file, most+1))
	if err == nil && int64(len(data)) > most {
		err = fmt.Errorf("it has more than the %d bytes that are read", most)
	}
	return File{data, tagOf(data)}, err
}

func (f *folder) Start(_ context.Context, key string, most int64) ([]byte, error) {
	f.sent.Add(1)
	file, err := f.root.Open(key)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, ErrMissing
	}
	if err != nil {
		return nil, err
	}
	defer file.Close()
	return io.ReadAll(io.LimitReader(file, most))
}

func tagOf(data []byte) string {
	sum := md5.Sum(data)
	return hex.EncodeToString(sum[:])
}

func (f *folder) List(_ context.Context, prefix string) iter.Seq2[Entry, error] {
	return func(yield func(Entry, error) bool) {
		f.sent.Add(1)
		var keys []string
		err := fs.WalkDir(f.root.FS(), ".", func(name string, d fs.DirEntry, err error) error {
			switch {
			case err != nil:
				return err
			case d.IsDir() && name == tempFolder:
				return fs.SkipDir
			case d.IsDir() && name != "." && !strings.HasPrefix(name+"/", prefix) && !strings.HasPrefix(prefix, name+"/"):
				return fs.SkipDir
			case d.Type().IsRegular() && strings.HasPrefix(name, prefix):
				keys = append(keys, name)
			}
			return nil
		})
		if err != nil {
			yield(Entry{}, err)
			return
		}
		slices.Sort(keys)
		for _, key := range keys {
			e, err := f.entry(key)
			if !yield(e, err) || err != nil {
				return
			}
		}
	}
}

func (f *folder) entry(key string) (Entry, error) {
	info, err := f.root.Stat(key)
	if err != nil {
		return Entry{}, err
	}
	file, err := f.root.Open(key)
	if err != nil {
		return Entry{}, err
	}
	defer file.Close()
	sum := md5.New()
	if _, err := io.CopyBuffer(sum, struct{ io.Reader }{file}, make([]byte, 64*infile.KiB)); err != nil {
		return Entry{}, err
	}
	md := sum.Sum(nil)
	return Entry{Key: key, Size: info.Size(), Tag: hex.EncodeToString(md), MD5: md, Modified: info.ModTime()}, nil
}

func (f *folder) First(ctx context.Context, prefix string, n int) (all []Entry, err error) {
	for e, err := range f.List(ctx, prefix) {
		if err != nil || len(all) >= n {
			return all, err
		}
		all = append(all, e)
	}
	return all, nil
}

func (f *folder) Folders(_ context.Context, dir string) iter.Seq2[string, error] {
	return func(yield func(string, error) bool) {
		f.sent.Add(1)
		entries, err := fs.ReadDir(f.root.FS(), path.Clean("./"+dir))
		if err != nil && !errors.Is(err, fs.ErrNotExist) {
			yield("", err)
			return
		}
		for _, e := range entries {
			if e.IsDir() && e.Name() != tempFolder && !yield(dir+e.Name()+"/", nil) {
				return
			}
		}
	}
}

func (f *folder) Delete(_ context.Context, key string) error {
	f.sent.Add(1)
	err := f.root.Remove(key)
	if errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	return err
}
